"""The sections of a report that go beyond the rules: what the array really does, and how it is built.

Each is slower than the check, so each is made alone, when it is asked for: by the build for every page, and by the page
when a reader has changed something and comes to look.
"""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property

from calc.make.order import order_of
from calc.make.parts import parts_of
from calc.meter.suns import sheets_by_sun
from calc.model.assessment import Assessment
from calc.model.day import DayReport
from calc.model.design import Design
from calc.model.faults import FaultReport
from calc.model.parts import Order, Parts
from calc.model.sections import NAMES
from calc.plan.adding import adding_of
from calc.plan.again import Again, again_on
from calc.plan.curves import curves_of
from calc.plan.day import day_of
from calc.plan.faults import faults_of
from calc.plan.layouts import Known
from calc.plan.limits import limits_of
from calc.plan.options import Trials, trials_of
from calc.plan.sensitivity import sensitivity_of
from calc.render.adding.section import as_adding_html
from calc.render.day.section import as_day_html
from calc.render.faults.section import as_curves_html, as_faults_html
from calc.render.layouts.section import as_layouts_html, as_limits_html
from calc.render.make.section import FRAGMENTS as MADE
from calc.render.make.section import as_make_html
from calc.render.meter.section import as_meter_html
from calc.tables import RuleBook

Maker = Callable[[Assessment, RuleBook, str, str, str], str]


@dataclass
class Work:
    """What several sections of one assessed design stand on, each worked out when it is first asked for."""

    assessment: Assessment
    book: RuleBook

    @cached_property
    def faults(self) -> FaultReport:
        """What shade and single faults leave."""
        return faults_of(self.assessment.design, self.book, self.assessment)

    @cached_property
    def day(self) -> DayReport:
        """What it does through the day."""
        return day_of(self.assessment.design, self.book, self.assessment)

    @cached_property
    def parts(self) -> Parts:
        """What it is made of."""
        return parts_of(self.assessment, self.book)

    @cached_property
    def order(self) -> Order:
        """How it is put up and taken down."""
        return order_of(self.assessment, self.book)

    @cached_property
    def layouts(self) -> Trials:
        """Its layouts, and those with other values, one by one; what is known of its day and its faults is used again."""
        known = Known(self.again, self.__dict__.get("day"), self.__dict__.get("faults"))
        return trials_of(self.assessment.design, self.book, known)

    @cached_property
    def turns(self) -> Iterator[int]:
        """The bits of that work."""
        return self.layouts.in_turn()

    @cached_property
    def again(self) -> Again:
        """The design, to be checked again and again."""
        return again_on(self.assessment.design, self.book)


_last: list[Work] = []
"""The work on the design whose section was made last: the sections of one design are made one after the other."""


def work_on(assessment: Assessment, book: RuleBook) -> Work:
    """The work on an assessed design: begun, or what was done on it when its last section was made."""
    if not _last or _last[0].assessment is not assessment or _last[0].book is not book:
        _last[:] = [Work(assessment, book)]
    return _last[0]


def _curves(assessment: Assessment, book: RuleBook, system: str, language: str, home: str) -> str:  # noqa: ARG001
    return as_curves_html(curves_of(assessment.design, book, assessment), system, language=language)


def _faults(assessment: Assessment, book: RuleBook, system: str, language: str, home: str) -> str:  # noqa: ARG001
    return as_faults_html(work_on(assessment, book).faults, system, language=language)


def _day(assessment: Assessment, book: RuleBook, system: str, language: str, home: str) -> str:
    return as_day_html(work_on(assessment, book).day, system, language=language, home=home)


def layouts_html(
    work: Work,
    system: str = "us",
    *,
    language: str = "en",
    home: str = "",
    axes: tuple[str, str] = ("", ""),
    bits: int | None = None,
) -> str:
    """Print the section of the layouts, with all of them or with what is known after so many ``bits`` of work.

    Args:
        work: the work on an assessed design; it goes on where it stopped.
        system: ``us`` or ``metric``.
        language: folder of the word catalogue.
        home: the way from the page to the start of the site.
        axes: of the drawing, of ``calc.model.layouts.AXES``; chosen by itself where empty.
        bits: how far to go, of ``work.layouts.whole``; all the way when left out.
    """
    trials = work.layouts
    while bits is None or trials.done < max(bits, 1):
        if next(work.turns, None) is None:
            break
    return as_layouts_html(
        trials.report(),
        system,
        options=trials.options(),
        so_far=trials.so_far,
        language=language,
        home=home,
        across=axes[0],
        up=axes[1],
    )


def _layouts(assessment: Assessment, book: RuleBook, system: str, language: str, home: str) -> str:
    return layouts_html(work_on(assessment, book), system, language=language, home=home)


def adding_html(
    assessment: Assessment,
    book: RuleBook,
    system: str = "us",
    *,
    language: str = "en",
    other: Design | None = None,
) -> str:
    """Print the section of what adding modules does, as a whole; a report holds a short one that offers it.

    It takes as long as all other sections together, and is a question that few readers of a report have.

    Args:
        assessment: the design's assessment.
        book: the rule book it was made under.
        system: ``us`` or ``metric``.
        language: folder of the word catalogue.
        other: a design whose modules may be added too.
    """
    report = adding_of(assessment.design, book, assessment, other=other)
    return as_adding_html(report, system, language=language)


def _adding(assessment: Assessment, book: RuleBook, system: str, language: str, home: str) -> str:  # noqa: ARG001
    return as_adding_html(None, system, language=language)


def limits_html(
    work: Work, system: str = "us", *, language: str = "en", home: str = "", moves: bool = True
) -> str:
    """Print the section of how far each input stretches, and of what moves the verdict first.

    Args:
        work: the work on an assessed design.
        system: ``us`` or ``metric``.
        language: folder of the word catalogue.
        home: the way from the page to the start of the site.
        moves: whether inputs are moved too, which takes as long again; a report only offers it.
    """
    design, book, again = work.assessment.design, work.book, work.again
    moved = sensitivity_of(design, book, again) if moves else None
    return as_limits_html(limits_of(design, book, again), moved, system, language=language, home=home)


def _limits(assessment: Assessment, book: RuleBook, system: str, language: str, home: str) -> str:
    return limits_html(work_on(assessment, book), system, language=language, home=home, moves=False)


def _made(name: str) -> Maker:
    """What the design is made of and how it is put up: one of the fragments that come from its net of wires."""

    def make(assessment: Assessment, book: RuleBook, system: str, language: str, home: str) -> str:
        work = work_on(assessment, book)
        made = as_make_html(work.parts, work.order, system, language=language, home=home, wanted=(name,))
        return made[name]

    return make


def _meter(assessment: Assessment, book: RuleBook, system: str, language: str, home: str) -> str:
    """The meter sheet for full sun, as the last of those for several suns."""
    sheets = sheets_by_sun(assessment.design, book, assessment)
    return as_meter_html(sheets[-1], system, suns=sheets, language=language, home=home)


_MAKERS: Mapping[str, Maker] = {
    "limits": _limits,
    "curves": _curves,
    "faults": _faults,
    "day": _day,
    "layouts": _layouts,
    "adding": _adding,
    **{name: _made(name) for name in MADE},
    "meter": _meter,
}
SECTIONS: Mapping[str, Maker] = {name: _MAKERS[name] for name in NAMES}
"""Every section by name, in the order of a report."""
AFTER: Mapping[str, tuple[str, ...]] = {
    "ladder": ("limits",),
    "wiring": tuple(name for name in SECTIONS if name != "limits"),
}
"""The fragments of the report after which sections stand, with those sections."""


def section_html(
    name: str,
    assessment: Assessment,
    book: RuleBook,
    system: str = "us",
    *,
    language: str = "en",
    home: str = "",
) -> str:
    """Print one section of an assessed design as an HTML fragment whose root is ``report-<name>``.

    Args:
        name: one of ``SECTIONS``; another name is a fault of ours (KeyError).
        assessment: the design's assessment.
        book: the rule book it was made under.
        system: ``us`` or ``metric``.
        language: folder of the word catalogue.
        home: the way from the page to the start of the site.
    """
    return SECTIONS[name](assessment, book, system, language, home)


def with_sections(fragments: Mapping[str, str], sections: Mapping[str, str]) -> dict[str, str]:
    """The fragments of a report with the sections in their place among them."""
    placed: dict[str, str] = {}
    for name, html in fragments.items():
        placed[name] = html
        placed |= {section: sections[section] for section in AFTER.get(name, ()) if section in sections}
    return placed
