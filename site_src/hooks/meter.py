"""The page on which readings are entered, finished without a script as the blank sheet of the first worked design."""

from dataclasses import dataclass

from library import load_reports
from mkdocs.config.defaults import MkDocsConfig
from mkdocs.exceptions import PluginError
from mkdocs.structure.nav import Navigation
from mkdocs.structure.pages import Page

from calc.bridge.metering import metered
from calc.render.as_form import Bench
from calc.render.catalogue import load_words
from calc.render.meter.page import as_meter_bar, as_meter_bench

PAGE = "meter.md"
HOME = "../"


@dataclass(frozen=True, slots=True)
class Shown:
    """What the page shows."""

    title: str
    bench: str
    sheet: str
    bar: str
    no_script: str


def on_page_context(context: dict[str, object], page: Page, config: MkDocsConfig, nav: Navigation) -> None:
    """Hand form and sheet to the template."""
    if page.file.src_uri == PAGE:
        context["shown"] = _shown()


def _shown() -> Shown:
    listed = [report for report in load_reports().values() if not report.hidden]
    begin = listed[0]
    parts = metered({"base": begin.file}).get("fragments", {})
    if "meter" not in parts:
        raise PluginError(f"{begin.name} has no meter sheet")  # it was read, a moment ago
    bases = tuple((report.name, report.title, report.file) for report in listed)
    return Shown(
        title=begin.title,
        bench=as_meter_bench(Bench(begin.name, begin.file, HOME, bases), parts),
        sheet=parts["meter"],
        bar=as_meter_bar(parts),
        no_script=load_words()("meter-page.no-script"),
    )
