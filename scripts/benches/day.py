"""How long a day takes: twelve months of one layout, and the three days of every layout with their drawing."""

import statistics
import time
from collections.abc import Callable

from benches import AT_MOST, Figure
from calc import Design, load_book, read_design
from calc.physics.day import charging
from calc.plan.day import day_of
from calc.plan.day_inputs import MONTHS, Inputs, inputs
from calc.render.catalogue import load_words
from calc.render.drawings.day import day_drawing
from floor import ROOT, Stop

ROUNDS = 40
DESIGN = "scenarios/examples/stock-water-pump.toml"


def measure_day() -> dict[str, Figure]:
    """Time both by the processor's own clock, because other work on the machine does not count."""
    book = load_book()
    design = read_design((ROOT / DESIGN).read_text(encoding="utf-8"))
    _, found = inputs(design, book) if isinstance(design, Design) else (None, None)
    if not isinstance(design, Design) or not isinstance(found, Inputs):
        raise Stop(f"{DESIGN} has no day to measure.")
    words = load_words()
    return {
        "year_energy_ms": Figure(middle_ms(lambda: year_energy(found)), 150, AT_MOST, "ms"),
        "day_figure_ms": Figure(
            middle_ms(lambda: day_drawing(day_of(design, book, year=False), words)), 50, AT_MOST, "ms"
        ),
    }


def year_energy(found: Inputs) -> float:
    """The energy of twelve months of one layout, from the sun's place to the battery, Wh a day summed over months."""
    table = found.book.table("day_months")
    array = found.array()
    days = [int(table.cell("day", month=float(month)).number) for month in range(1, MONTHS + 1)]
    return sum(
        charging(found.day(month, date), array, found.controller, found.battery).energy_Wh
        for month, date in enumerate(days, 1)
    )


def middle_ms(work: Callable[[], object]) -> float:
    """Do the work once to warm up, then the middle of several runs."""
    work()
    taken = []
    for _ in range(ROUNDS):
        start = time.process_time()
        work()
        taken.append(time.process_time() - start)
    return round(1000 * statistics.median(taken), 3)
