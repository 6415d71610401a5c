"""Pages that show the core's own registers: a line ``<!-- show: tables -->`` in a page is replaced by what it names.

A show gives Markdown headings, so that the page's contents list them, and boxes of ready HTML that never pass through
Markdown. A name that does not exist stops the build with the page and the line.
"""

import re

from mkdocs.config.defaults import MkDocsConfig
from mkdocs.exceptions import PluginError
from mkdocs.structure.files import Files
from mkdocs.structure.pages import Page
from shows import SHOWS, Block

LINE = re.compile(r"^<!--\s*show\b(?P<rest>.*?)-->\s*$")
CALL = re.compile(r":\s*(?P<name>[a-z-]+)\s*")
BOX = '<div class="wide" data-show="{number}"></div>'
FILLED = '<div class="wide">{content}</div>'


def on_page_markdown(markdown: str, page: Page, config: MkDocsConfig, files: Files) -> str:
    """Replace every show by its headings and by boxes that are filled once Markdown is done."""
    boxes: list[str] = []
    lines = markdown.split("\n")
    before = (page.file.content_string.count("\n") + 1) - len(lines)
    for place, line in enumerate(lines):
        found = LINE.match(line)
        if found:
            blocks = SHOWS[_name(found["rest"], page, before + place + 1)](page, files)
            lines[place] = "\n\n".join(_written(block, boxes) for block in blocks)
    page.meta["boxes"] = boxes
    return "\n".join(lines)


def on_page_content(html: str, page: Page, config: MkDocsConfig, files: Files) -> str:
    """Fill the boxes."""
    for number, content in enumerate(page.meta.pop("boxes", [])):
        html = html.replace(BOX.format(number=number), FILLED.format(content=content), 1)
    return html


def _name(rest: str, page: Page, line: int) -> str:
    call = CALL.fullmatch(rest)
    if call is None or call["name"] not in SHOWS:
        wanted = ", ".join(f"<!-- show: {name} -->" for name in SHOWS)
        raise PluginError(
            f"{page.file.src_path}, line {line}: there is nothing to show for {rest.strip()!r}; wanted one of {wanted}"
        )
    return call["name"]


def _written(block: Block, boxes: list[str]) -> str:
    boxes.append(block.html)
    heading = f"{'#' * block.level} {block.title} {{ #{block.anchor} }}\n\n" if block.title else ""
    return heading + BOX.format(number=len(boxes) - 1)
