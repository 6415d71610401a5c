"""What a page can show: each name gives headings and boxes of ready HTML, made from a register of the core."""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from itertools import groupby
from pathlib import Path

from entries import assumption_rows, case_files, field_sections, proof_files, reading_sections, symbol_rows
from jinja2 import ChoiceLoader, Environment, FileSystemLoader, StrictUndefined
from kept_run import last_run
from library import load_reports
from methods import chapters
from mkdocs.structure.files import Files
from mkdocs.structure.pages import Page
from sheets import sheets

from calc import Verdict, load_book
from calc.render.anchors import slug
from calc.render.as_html import TEMPLATES
from calc.render.catalogue import load_words
from calc.render.view import MARKS

EXAMPLE = "designs/high-tunnel.md"
REGISTERS = Path(__file__).resolve().parents[1] / "registers"
SAID = ("start", "again", "starting", "working", "stopped", "stopped-bad", "good", "bad", "same", "other")
"""What the self-check may say, with the names of values left as written: the page sets them in."""
AS_WRITTEN = {name: f"{{{name}}}" for name in ("done", "all", "bad", "figures", "designs")}
STANDINGS = ("seen in print", "computed", "from memory", "common practice", "our own choice")


@dataclass(frozen=True, slots=True)
class Block:
    """A heading (or none) and the HTML under it."""

    html: str
    title: str = ""
    anchor: str = ""
    level: int = 2


Show = Callable[[Page, Files], Iterator[Block]]


@cache
def _environment() -> Environment:
    """The registers' templates beside the report's own, whose marks they use."""
    return Environment(
        loader=ChoiceLoader([FileSystemLoader(REGISTERS), FileSystemLoader(TEMPLATES)]),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )


def _html(template: str, **values: object) -> str:
    return _environment().get_template(template).render(w=load_words(), book=load_book(), **values)


def verdicts(page: Page, files: Files) -> Iterator[Block]:
    """The five verdicts with their marks and meanings."""
    yield Block(_html("verdicts.html", verdicts=[(str(one), MARKS[one]) for one in Verdict]))


def tight(page: Page, files: Files) -> Iterator[Block]:
    """The room below which a finding is tight."""
    table = load_book().table("tight_margins")
    cells = [table.cell(column.name) for column in table.columns]
    yield Block(_html("tight.html", rows=list(zip(table.columns, cells, strict=True)), table=table))


def designs(page: Page, files: Files) -> Iterator[Block]:
    """Every published design with its verdict, layout and power."""
    yield Block(_html("designs.html", reports=[one for one in load_reports().values() if not one.hidden]))


def example(page: Page, files: Files) -> Iterator[Block]:
    """One published design: its verdict and its voltage ladder."""
    report = load_reports().get(EXAMPLE) or next(iter(load_reports().values()))
    yield Block(_html("example.html", report=report, url=report.page.removesuffix(".md") + "/"))


def methods(page: Page, files: Files) -> Iterator[Block]:
    """Every formula, chapter by chapter."""
    words = load_words()
    for key, lines in chapters(words).items():
        yield Block(_html("methods.html", lines=lines), words(f"page.chapter.{key}"), f"methods-{key}")


def symbols(page: Page, files: Files) -> Iterator[Block]:
    """Every symbol of the register."""
    yield Block(_html("symbols.html", symbols=symbol_rows(load_words())))


def standings(page: Page, files: Files) -> Iterator[Block]:
    """What the words for how far a figure was seen mean."""
    yield Block(_html("standings.html", standings=STANDINGS))


def tables(page: Page, files: Files) -> Iterator[Block]:
    """Every table and single value, by the file it stands in."""
    words = load_words()
    for subject, entries in groupby(sheets(load_book()), key=lambda sheet: sheet.subject):
        title = words.find(f"page.subject.{subject}") or subject.replace("-", " ").capitalize()
        yield Block(_html("tables.html", sheets=list(entries)), title, f"subject-{subject}")


def assumptions(page: Page, files: Files) -> Iterator[Block]:
    """Every value that is taken when nobody gives one."""
    yield Block(_html("assumptions_register.html", rows=assumption_rows(load_book(), load_words())))


def coverage(page: Page, files: Files) -> Iterator[Block]:
    """What was considered: first what is not checked, then what is checked in part, then what is checked."""
    words = load_words()
    anchors = {clause.clause: f"clause-{slug(clause.clause)}" for clause in load_book().coverage}
    for status in ("not checked", "partly", "checked"):
        clauses = [clause for clause in load_book().coverage if clause.status == status]
        key = status.replace(" ", "-")
        yield Block(
            _html("coverage.html", clauses=clauses, anchors=anchors),
            words(f"page.coverage.{key}"),
            f"coverage-{key}",
        )


def published(page: Page, files: Files) -> Iterator[Block]:
    """Every published figure beside ours, by the file of cases it stands in."""
    for file in proof_files(load_book(), load_words()):
        yield Block(_html("published.html", cases=file.cases, intro=file.intro), file.title, file.anchor)


def proof(page: Page, files: Files) -> Iterator[Block]:
    """The self-check: what the reader's own device is to work out again, with what it is to be compared with."""
    words = load_words()
    designs = [(one, one.digest) for one in load_reports().values() if one.digest]
    data = {
        "cases": case_files(),
        "designs": {one.name: one.file for one, _ in designs},
        "words": {key: words(f"proof.self.{key}", **AS_WRITTEN) for key in SAID},
    }
    yield Block(_html("proof.html", designs=designs, data=data), words("proof.self.title"), "self-check")


def measures(page: Page, files: Files) -> Iterator[Block]:
    """The last measured run that was kept, each figure beside its target."""
    yield Block(_html("measures.html", measured=last_run(load_words())))


def sources(page: Page, files: Files) -> Iterator[Block]:
    """The bibliography."""
    found = sorted(load_book().sources.values(), key=lambda source: source.title.lower())
    yield Block(_html("sources.html", sources=found))


def fields(page: Page, files: Files) -> Iterator[Block]:
    """Every field of a design file, section by section."""
    for section in field_sections(load_words()):
        yield Block(_html("fields.html", rows=section.rows), section.title, section.anchor, level=3)


def readings(page: Page, files: Files) -> Iterator[Block]:
    """Every line of a file of readings, table by table."""
    for section in reading_sections(load_words()):
        yield Block(_html("fields.html", rows=section.rows), section.title, section.anchor, level=3)


SHOWS: Mapping[str, Show] = {
    show.__name__: show
    for show in (
        verdicts,
        tight,
        designs,
        example,
        methods,
        symbols,
        standings,
        tables,
        assumptions,
        coverage,
        proof,
        published,
        measures,
        sources,
        fields,
        readings,
    )
}
