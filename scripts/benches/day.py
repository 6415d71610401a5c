"""How long a day takes: twelve months of one layout, and the three days of every layout with their drawing.

What the core keeps from one change to the next would be found again in a second round, so each round is about another
place and another array.
"""

import statistics
import time
from collections.abc import Callable, Iterator
from itertools import count
from typing import TypeVar

from benches import AT_MOST, Figure
from calc import Design, load_book, read_design
from calc.model.assessment import Unknown
from calc.model.design import Given
from calc.physics.day import charging
from calc.plan.day import day_of
from calc.plan.day_inputs import MONTHS, Inputs, inputs
from calc.render.catalogue import load_words
from calc.render.drawings.day import day_drawing
from floor import ROOT, Stop

ROUNDS = 40
T = TypeVar("T")
DESIGN = "scenarios/examples/stock-water-pump.toml"


def measure_day() -> dict[str, Figure]:
    """Time both by the processor's own clock, because other work on the machine does not count."""
    book = load_book()
    design = read_design((ROOT / DESIGN).read_text(encoding="utf-8"))
    if not isinstance(design, Design):
        raise Stop(f"{DESIGN} cannot be read.")
    words = load_words()
    places = others(design)
    return {
        "year_energy_ms": Figure(
            middle_ms(lambda: inputs(next(places), book)[1], year_energy), 150, AT_MOST, "ms"
        ),
        "day_figure_ms": Figure(
            middle_ms(
                lambda: next(places),
                lambda one: day_drawing(day_of(one, book, year=False), words),
            ),
            50,
            AT_MOST,
            "ms",
        ),
    }


def others(design: Design) -> Iterator[Design]:
    """The design at ever other places, with ever other voltages."""
    latitude, vmp = design.number("site.latitude") or 0.0, design.number("module.vmp") or 0.0
    for step in count(1):
        share = step / 10_000
        changed = {"site.latitude": (latitude + share, "deg"), "module.vmp": (vmp * (1.0 - share / 10), "V")}
        yield design.changed(
            {path: Given(value, unit, f"{value} {unit}") for path, (value, unit) in changed.items()}
        )


def year_energy(found: Inputs | Unknown) -> float:
    """The energy of twelve months of one layout, from the sun's place to the battery, Wh a day summed over months."""
    if isinstance(found, Unknown):
        raise Stop(f"{DESIGN} has no day to measure.")
    table = found.book.table("day_months")
    array = found.array()
    days = [int(table.cell("day", month=float(month)).number) for month in range(1, MONTHS + 1)]
    return sum(
        charging(found.day(month, date), array, found.controller, found.battery).energy_Wh
        for month, date in enumerate(days, 1)
    )


def middle_ms(prepare: Callable[[], T], work: Callable[[T], object]) -> float:
    """Do the work once to warm up, then the middle of several runs, each on something else."""
    work(prepare())
    taken = []
    for _ in range(ROUNDS):
        what = prepare()
        start = time.process_time()
        work(what)
        taken.append(time.process_time() - start)
    return round(1000 * statistics.median(taken), 3)
