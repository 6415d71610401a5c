"""The site's own style, script and mark; what the theme brings and no page uses is left out.

Style and script are one file each, with a name that follows the content: a host can keep it for ever, and a page never
meets the style of another build.
"""

import hashlib
import re
from pathlib import Path

from mkdocs.config.defaults import MkDocsConfig
from mkdocs.structure.files import File, Files

from calc.render.drawings.icons import mark

SOURCES = Path(__file__).resolve().parents[1]
DRAWINGS = SOURCES.parent / "calc" / "render" / "drawings" / "drawing.css"
MARK = "assets/mark.svg"
# The theme's style, palettes, widgets and source maps; its search worker stays, being the part that is used.
UNUSED = re.compile(r"assets/(stylesheets/|images/favicon|javascripts/(bundle|lunr/)|.*\.map$)")
WORKER = re.compile(r"assets/javascripts/workers/search\.\w+\.min\.js$")


def style() -> str:
    """The sheets of ``styles/`` in the order of their numbers, then the drawings' own, without comments and indents."""
    sheets = [
        *sorted((SOURCES / "styles").glob("*.css"), key=lambda sheet: int(sheet.name.partition("-")[0])),
        DRAWINGS,
    ]
    text = "\n".join(sheet.read_text("utf-8") for sheet in sheets)
    text = re.sub(r"/\*.*?\*/", "", text, flags=re.DOTALL)
    return re.sub(r"\s*\n\s*", "\n", text).strip() + "\n"


def named(name: str, content: str, config: MkDocsConfig, files: Files) -> str:
    """Add ``content`` to the site under ``name`` with a hash of it set in, and return that address."""
    stem, dot, ending = name.rpartition(".")
    address = f"{stem}.{hashlib.sha256(content.encode()).hexdigest()[:8]}{dot}{ending}"
    files.append(File.generated(config, address, content=content))
    return address


def on_files(files: Files, config: MkDocsConfig) -> Files:
    """Add style, script and mark, tell the templates where they are, and drop what the theme brings unused."""
    worker = ""
    for file in list(files):
        if WORKER.match(file.src_uri):
            worker = file.src_uri
        elif UNUSED.match(file.src_uri):
            files.remove(file)
    files.append(File.generated(config, MARK, content=mark(alone=True)))
    config.extra["mark"] = mark()
    script = (SOURCES / "live" / "shell.js").read_text("utf-8")
    config.extra["assets"] = {
        "style": named("assets/arraybook.css", style(), config, files),
        "script": named("assets/shell.js", script, config, files),
        "search": worker,
    }
    return files
