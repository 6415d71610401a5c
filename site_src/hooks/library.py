"""The design files of ``scenarios/``, each read, checked and printed once for a build."""

import gc
import multiprocessing
import os
from collections.abc import Iterable, Mapping
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass
from functools import cache
from html import escape
from pathlib import Path

from calc import Assessment, Design, Refused, as_html, check, load_book, read_design
from calc.bridge.proved import digest_of
from calc.render.as_form import Bench, as_bench, as_state
from calc.render.catalogue import Words, load_words
from calc.render.drawings.icons import layout_icon
from calc.render.numbers import show_text
from calc.render.view import MARKS, Viewer, closest
from calc.sections import SECTIONS, section_html, with_sections

ROOT = Path(__file__).resolve().parents[2]
FOLDERS: Mapping[str, str] = {"examples": "designs", "gallery": "gallery", "guide": "guide/designs"}
ENOUGH, CHUNK = 16, 4
"""Designs for which further processes pay, and how many each is handed at a time."""
SELDOM = (100_000, 20, 20)
"""How seldom a process that only prints reports looks for garbage: there is hardly any, and each look costs."""
SAMPLE = 24
"""How many worked designs the self-check works out again at most, evenly among them."""
COUNTS = ("modules_in_series", "strings_in_parallel")


class RefusedFile(ValueError):
    """A design file cannot be read; the message names the file and everything that is wrong in it."""


@dataclass(frozen=True, slots=True)
class Place:
    """A design file, the section of the site for its report, and whether the self-check works the report out again."""

    file: Path
    section: str
    proved: bool


@dataclass(frozen=True, slots=True)
class Content:
    """One line of a report's list of contents."""

    title: str
    url: str


@dataclass(frozen=True, slots=True)
class Report:
    """A design file with its assessment and the fragments of its report.

    ``digest`` is what the self-check compares; empty where it does not look.
    """

    page: str
    name: str
    title: str
    story: str
    description: str
    summary: str
    hidden: bool
    lesson: bool
    mark: str
    verdict: str
    rules: str
    facts: tuple[str, ...]
    pictogram: str
    fragments: Mapping[str, str]
    contents: tuple[Content, ...]
    file: str
    bench: str
    bar: str
    digest: str


@cache
def load_reports() -> Mapping[str, Report]:
    """Every design of ``scenarios/`` by the source path of its page, in the order of the files' names."""
    files = {folder: sorted((ROOT / "scenarios" / folder).glob("*.toml")) for folder in FOLDERS}
    proved = sample(files["examples"])
    places = [
        Place(file, section, file in proved) for folder, section in FOLDERS.items() for file in files[folder]
    ]
    return {report.page: report for report in _side_by_side(places)}


def sample(files: list[Path]) -> set[Path]:
    """The files whose reports the self-check works out again: all of a few, else as many evenly among them."""
    count = min(len(files), SAMPLE)
    return {files[len(files) * place // count] for place in range(count)}


def _side_by_side(places: list[Place]) -> Iterable[Report]:
    """Print the reports on all processors, where a process can be had by a mere fork; else one after the other."""
    workers = len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else 1
    if workers == 1 or len(places) < ENOUGH or "fork" not in multiprocessing.get_all_start_methods():
        return [_report(one) for one in places]
    context = multiprocessing.get_context("fork")
    gc.freeze()  # what stands already is shared with the processes, and stays so
    with ProcessPoolExecutor(workers, context, initializer=gc.set_threshold, initargs=SELDOM) as pool:
        return list(pool.map(_report, places, chunksize=CHUNK))


def _report(place: Place) -> Report:
    file, section = place.file, place.section
    text = file.read_text("utf-8")
    design = read_design(text)
    if isinstance(design, Refused):
        lines = "\n".join(f"  {problem.line()}" for problem in design.problems)
        raise RefusedFile(f"{file.relative_to(ROOT).as_posix()} is not a design that can be read:\n{lines}")
    book = load_book(design.text("site.rules") or "us-2023")
    assessment = check(design, book)
    home = "../" * (section.count("/") + 2)
    sections = {name: section_html(name, assessment, book, home=home) for name in SECTIONS}
    printed = as_html(assessment, home=home)
    fragments = with_sections(printed, sections)
    title = design.text("title") or file.stem.replace("-", " ").capitalize()
    story = design.text("story") or ""
    return Report(
        page=f"{section}/{file.stem}.md",
        name=file.stem,
        title=title,
        story=story,
        description=f"{title}: design report with verdict, margins and every step. {story}".strip(),
        summary=f"<p>{escape(story)}</p>\n<p>{escape(_says(assessment))}</p>",
        hidden=section != FOLDERS["examples"],
        lesson=section == FOLDERS["guide"],
        mark=MARKS[assessment.verdict],
        verdict=load_words()(f"verdict.{assessment.verdict}"),
        rules=load_book(assessment.rules).title,
        facts=_facts(assessment),
        pictogram=_pictogram(design),
        fragments=fragments,
        contents=_contents(fragments),
        file=text,
        bench=as_bench(assessment, Bench(file.stem, text, home)),
        bar=as_state(assessment),
        digest=digest_of(assessment, printed) if place.proved else "",
    )


def _says(assessment: Assessment) -> str:
    """The verdict in a sentence."""
    words = load_words()
    return f"{words(f'verdict.{assessment.verdict}')}: {Viewer(assessment, words, 'us').says(closest(assessment))}"


def _facts(assessment: Assessment) -> tuple[str, ...]:
    """The layout and the power in a few words."""
    words, design = load_words(), assessment.design
    series, strings = (design.number(f"array.{count}") for count in COUNTS)
    layout = (
        words("page.shelf.unlike")
        if series is None or strings is None
        else _layout(int(series), int(strings))
    )
    power = assessment.steps.get("power_stc_W")
    nominal = design.values.get("battery.nominal")
    return tuple(
        filter(
            None,
            (
                layout,
                show_text(float(power.result), power.unit) if power else "",
                words("page.shelf.battery", voltage=show_text(float(nominal.value), nominal.unit))
                if nominal
                else "",
            ),
        )
    )


def _pictogram(design: Design) -> str:
    """The layout as a small drawing; none for strings that are not alike."""
    series, strings = (design.number(f"array.{count}") for count in COUNTS)
    return "" if series is None or strings is None else layout_icon(int(series), int(strings), load_words())


def _layout(series: int, strings: int) -> str:
    words = load_words()
    one, other = ("one" if count == 1 else "more" for count in (series, strings))
    modules = words(f"page.shelf.series.{one}", number=series)
    return words(f"page.shelf.strings.{other}", number=strings, series=modules)


def _contents(fragments: Mapping[str, str]) -> tuple[Content, ...]:
    """The parts of the report that have something to say."""
    words = load_words()
    names = (name.replace("_", "-") for name, fragment in fragments.items() if "<h2" in fragment)
    return tuple(Content(_title(name, words), f"#report-{name}") for name in names)


def _title(name: str, words: Words) -> str:
    """The heading of a part of the report, wherever its words stand."""
    keys = (f"page.{name}.title", f"{name}.title", f"make.{name}.title")
    return next(filter(None, map(words.find, keys)))
