"""Further looks at one design, as the terminal's commands print them: each worked out once, then as text or as data."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace

from calc.assess import assess
from calc.make.order import order_of
from calc.make.parts import parts_of
from calc.meter.compare import diagnose
from calc.meter.expected import meter_sheet
from calc.model.design import Design
from calc.model.layouts import LayoutReport, Wishes
from calc.model.meter import Readings
from calc.plan.adding import adding_of
from calc.plan.day import day_of
from calc.plan.fault_cases import Shades
from calc.plan.faults import faults_of
from calc.plan.layouts import layouts_of
from calc.plan.limits import limits_of
from calc.plan.sensitivity import sensitivity_of
from calc.render.adding.plain import as_adding_json
from calc.render.adding.text import as_adding_text
from calc.render.day.plain import as_day_json
from calc.render.day.text import as_day_text
from calc.render.faults.plain import as_faults_json
from calc.render.faults.text import as_faults_text
from calc.render.layouts.plain import as_layouts_json
from calc.render.layouts.text import as_layouts_text
from calc.render.make.plain import as_parts_csv, as_parts_json
from calc.render.make.text import as_order_text, as_parts_text
from calc.render.meter.plain import as_meter_json
from calc.render.meter.text import as_meter_text
from calc.tables import RuleBook


@dataclass(frozen=True, slots=True)
class Look:
    """What a command can print, by form (``text``, ``json``, ``csv``); each is made when it is asked for."""

    forms: Mapping[str, Callable[[], str]]


@dataclass(frozen=True, slots=True)
class Asked:
    """A design and how to print what is found: its name where it has no title, the unit system, ASCII alone or not.

    ``readings`` are those of a file; ``moment`` holds the sun and the temperatures that were asked for beside it. With
    ``add`` the question is what happens when modules are added, those of the ``other`` design too where there is one.
    ``wishes`` are about layouts, ``shades`` are cases of shade beside those of the table.
    """

    design: Design
    book: RuleBook
    name: str
    system: str
    ascii_only: bool
    readings: Readings | None = None
    moment: Readings | None = None
    add: bool = False
    other: Design | None = None
    wishes: Wishes = field(default_factory=Wishes)
    shades: Shades = ()


def layouts(asked: Asked) -> Look:
    """Every way to join the modules, how far the design stretches, and what moves its verdict first; or what adding does."""
    if asked.add:
        return _adding(asked)
    wishes = asked.wishes

    def tried(design: Design) -> LayoutReport:
        return layouts_of(design, asked.book, leave_out=wishes.leave_out, prices=wishes.prices)

    report, others = tried(asked.design), wishes.options or asked.design.options
    options = tuple((said, tried(design)) for said, design in others)
    limits, moves = limits_of(asked.design, asked.book), sensitivity_of(asked.design, asked.book)
    return Look(
        {
            "text": lambda: as_layouts_text(
                report,
                limits,
                moves,
                asked.name,
                options=options,
                system=asked.system,
                ascii_only=asked.ascii_only,
            ),
            "json": lambda: as_layouts_json(report, limits, moves, options=options),
        }
    )


def _adding(asked: Asked) -> Look:
    """What adding modules opens again, and what it gains."""
    added = adding_of(asked.design, asked.book, other=asked.other)
    return Look(
        {
            "text": lambda: as_adding_text(
                added, asked.name, system=asked.system, ascii_only=asked.ascii_only
            ),
            "json": lambda: as_adding_json(added),
        }
    )


def faults(asked: Asked) -> Look:
    """What shade and single faults leave."""
    report = faults_of(asked.design, asked.book, shades=asked.shades)
    return Look(
        {
            "text": lambda: as_faults_text(
                report, asked.name, system=asked.system, ascii_only=asked.ascii_only
            ),
            "json": lambda: as_faults_json(report),
        }
    )


def day(asked: Asked) -> Look:
    """When charging begins and ends, and the energy by month."""
    report = day_of(asked.design, asked.book)
    return Look(
        {
            "text": lambda: as_day_text(report, asked.name, system=asked.system, ascii_only=asked.ascii_only),
            "json": lambda: as_day_json(report),
        }
    )


def parts(asked: Asked) -> Look:
    """What it takes to build the design."""
    found = parts_of(assess(asked.design, asked.book), asked.book)
    return Look(
        {
            "text": lambda: as_parts_text(
                found, asked.name, system=asked.system, ascii_only=asked.ascii_only
            ),
            "json": lambda: as_parts_json(found),
            "csv": lambda: as_parts_csv(found),
        }
    )


def steps(asked: Asked) -> Look:
    """In which order to build it and take it down, with labels and cautions."""
    order = order_of(assess(asked.design, asked.book), asked.book)
    return Look(
        {"text": lambda: as_order_text(order, asked.name, system=asked.system, ascii_only=asked.ascii_only)}
    )


def meter(asked: Asked) -> Look:
    """What a meter should read, and with readings, what may be behind those that do not fit."""
    known = _known(asked)
    readings = None if asked.readings is None else known
    sheet = meter_sheet(asked.design, asked.book, sun=known.sun, air=known.air, module=known.module)
    diagnosis = None if readings is None else diagnose(sheet, readings)
    return Look(
        {
            "text": lambda: as_meter_text(
                sheet,
                asked.name,
                diagnosis=diagnosis,
                system=asked.system,
                ascii_only=asked.ascii_only,
            ),
            "json": lambda: as_meter_json(sheet, diagnosis),
        }
    )


def _known(asked: Asked) -> Readings:
    """The readings, with what was asked for in place of what the file says of sun and temperatures."""
    known, moment = asked.readings or Readings(), asked.moment or Readings()
    said = {name: getattr(moment, name) for name in ("sun", "air", "module")}
    return replace(known, **{name: value for name, value in said.items() if value is not None})


LOOKS: Mapping[str, Callable[[Asked], Look]] = {
    "layouts": layouts,
    "faults": faults,
    "day": day,
    "parts": parts,
    "steps": steps,
    "meter": meter,
}
"""Every further command, in the order of the help."""
