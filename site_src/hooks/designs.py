"""One report page a design file, without a line of Markdown or an entry in the menu for any of them.

``scenarios/examples`` are published under ``designs/``, ``scenarios/gallery`` under ``gallery/``; nothing links there.
A design file that is refused stops the build with everything that is wrong with it.
"""

from library import RefusedFile, load_reports
from mkdocs.config.defaults import MkDocsConfig
from mkdocs.exceptions import PluginError
from mkdocs.structure.files import File, Files
from mkdocs.structure.nav import Navigation
from mkdocs.structure.pages import Page


def on_pre_build(config: MkDocsConfig) -> None:
    """Read the design files anew, so that a served site follows them."""
    load_reports.cache_clear()


def on_files(files: Files, config: MkDocsConfig) -> Files:
    """Add a page for every design; what stands in it comes with the template."""
    try:
        for report in load_reports().values():
            page = File.generated(config, report.page, content=" ")
            files.append(page)
    except RefusedFile as problem:
        raise PluginError(str(problem)) from None
    return files


def on_page_markdown(markdown: str, page: Page, config: MkDocsConfig, files: Files) -> str | None:
    """Give a report page its title, description and template; its text is only what a search should find."""
    report = load_reports().get(page.file.src_uri)
    if report is None:
        return None
    page.title = report.title
    page.meta |= {
        "template": "report.html",
        "title": report.title,
        "description": report.description,
        "unlisted": report.hidden,
    }
    if report.hidden:
        page.meta["search"] = {"exclude": True}
    return ""


def on_page_content(html: str, page: Page, config: MkDocsConfig, files: Files) -> str | None:
    """The text of a report page for the search: what the design is, and its verdict. The working would only bury it."""
    report = load_reports().get(page.file.src_uri)
    return None if report is None else report.summary


def on_page_context(context: dict[str, object], page: Page, config: MkDocsConfig, nav: Navigation) -> None:
    """Hand the fragments to the template."""
    report = load_reports().get(page.file.src_uri)
    if report is not None:
        context["report"] = report
        context["contents"] = report.contents
