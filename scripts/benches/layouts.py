"""How long it takes to try every way to join 24 modules, with every check, the day and the faults of each.

The processor's time counts, as for the other parts of the calculation.
"""

import statistics
import time
from itertools import islice

from benches import AT_MOST, Figure
from benches.core import all_designs, others
from calc import Design, load_book
from calc.model.design import Given
from calc.plan.layouts import layouts_of

MODULES, WAYS = 24, 8
LAYOUT = {"array.modules_in_series": 4, "array.strings_in_parallel": 6}
ROUNDS = 5
TARGET_S = 0.5


def measure_layouts() -> dict[str, Figure]:
    """Give each design file 24 modules, and time those of which everything can be worked out; the slowest counts."""
    return {"layouts_24_s": Figure(round(max(map(middle_s, complete_designs())), 3), TARGET_S, AT_MOST, "s")}


def complete_designs() -> list[Design]:
    """The design files with a place, a run and alike strings, so that no column stays empty."""
    wanted = ("site.latitude", "battery.nominal", "controller.max_voltage")
    counts = {path: Given(count, "", str(count)) for path, count in LAYOUT.items()}
    return [
        design.changed(counts)
        for design in all_designs()
        if design.runs and not design.strings and all(path in design.values for path in wanted)
    ]


def middle_s(design: Design) -> float:
    """Try every layout a few times; the middle counts."""
    book = load_book()
    seconds = []
    for other in islice(others(design), ROUNDS):
        start = time.process_time()
        report = layouts_of(other, book, leave_out=0)
        seconds.append(time.process_time() - start)
        if (report.modules, len(report.layouts)) != (MODULES, WAYS):
            raise RuntimeError(f"tried {len(report.layouts)} layouts of {report.modules} modules")
    return statistics.median(seconds)
