"""The bench: a page that begins from any worked design, with one layout pinned beside another and the two compared.

It is finished without a script: a worked design as its author joined it, beside the same modules joined another way.
"""

from collections.abc import Mapping
from dataclasses import dataclass

from library import Report, load_reports
from mkdocs.config.defaults import MkDocsConfig
from mkdocs.exceptions import PluginError
from mkdocs.structure.nav import Navigation
from mkdocs.structure.pages import Page

from calc import Assessment, Refused, as_html, check, load_book, read_design
from calc.read.change import changed_document
from calc.read.text import read_toml
from calc.read.write import write_document
from calc.render.as_form import Bench, as_bench, as_state
from calc.render.compare import as_compare
from calc.sections import adding_html, layouts_html, limits_html, with_sections, work_on

PAGE = "try.md"
BEGIN = "designs/bee-yard.md"
PINNED = {"array.modules_in_series": "2", "array.strings_in_parallel": "2"}
HOME = "../"


@dataclass(frozen=True, slots=True)
class Shown:
    """What the page shows."""

    bench: str
    compare: str
    fragments: Mapping[str, str]
    bar: str


def on_page_context(context: dict[str, object], page: Page, config: MkDocsConfig, nav: Navigation) -> None:
    """Hand bench, comparison and report to the template."""
    if page.file.src_uri == PAGE:
        context["shown"] = _shown()


def _shown() -> Shown:
    listed = [report for report in load_reports().values() if not report.hidden]
    begin = load_reports().get(BEGIN) or listed[0]
    here, pinned = _checked(begin.file), _checked(_changed(begin, PINNED))
    bases = tuple((report.name, report.title, report.file) for report in listed)
    return Shown(
        bench=as_bench(here, Bench(begin.name, begin.file, HOME, bases, PINNED)),
        compare=as_compare(pinned, here),
        fragments=with_sections(as_html(here, home=HOME), _sections(here)),
        bar=as_state(here),
    )


def _sections(here: Assessment) -> dict[str, str]:
    """Those sections of a report that are about layouts, as a whole."""
    book = load_book(here.rules)
    work = work_on(here, book)
    return {
        "limits": limits_html(work, home=HOME),
        "layouts": layouts_html(work, home=HOME),
        "adding": adding_html(here, book),
    }


def _changed(report: Report, change: Mapping[str, str]) -> str:
    """The design file of a report with some values changed."""
    document = read_toml(report.file)
    if not isinstance(document, Mapping):
        raise PluginError(f"{report.name} cannot be read")  # it was, a moment ago
    return write_document(changed_document(document, change))


def _checked(text: str) -> Assessment:
    design = read_design(text)
    if isinstance(design, Refused):
        lines = "\n".join(f"  {problem.line()}" for problem in design.problems)
        raise PluginError(f"the bench cannot begin with this layout:\n{lines}")
    return check(design, load_book(design.text("site.rules") or "us-2023"))
