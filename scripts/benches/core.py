"""How long the calculation takes for one design: the findings, and the findings with every fragment and drawing.

It is the processor's time for this process that is counted: the work neither waits for anything nor runs in parts side
by side, so on a machine with nothing else to do that is the time on the clock, and on a busy one it still is the work.
"""

import itertools
import statistics
import time
from collections.abc import Callable, Iterator

from benches import AT_MOST, Figure
from calc import Design, as_html, assess, load_book, read_design
from calc.model.design import Given
from floor import ROOT, Stop

ROUNDS = 500
WARM_DEGC, STEPS_IN_DEGC = 35.0, 100


def measure_core() -> dict[str, Figure]:
    """Time both over all design files in turn; the middle of all runs counts."""
    book = load_book()
    designs = all_designs()
    return {
        "assess_ms": Figure(middle_ms(lambda one: assess(one, book), designs), 2, AT_MOST, "ms"),
        "assess_and_render_ms": Figure(
            middle_ms(lambda one: as_html(assess(one, book)), designs), 10, AT_MOST, "ms"
        ),
    }


def others(design: Design) -> Iterator[Design]:
    """The same design at one hotter site after another: what is kept of an earlier question answers none of them."""
    warmest = design.number("site.hottest") or WARM_DEGC
    for step in itertools.count(1):
        hotter = warmest + step / STEPS_IN_DEGC
        yield design.changed({"site.hottest": Given(hotter, "degC", f"{hotter:g} degC")})


def all_designs() -> list[Design]:
    """Read every design file that is meant to be read."""
    texts = [file.read_text(encoding="utf-8") for file in sorted((ROOT / "scenarios").rglob("*.toml"))]
    designs = [design for design in map(read_design, texts) if isinstance(design, Design)]
    if not designs:
        raise Stop("There is no design file to measure with.")
    return designs


def middle_ms(work: Callable[[Design], object], designs: list[Design]) -> float:
    """Do the work once for each design to warm up, then time it one run at a time."""
    for design in designs:
        work(design)
    seconds = []
    for design in itertools.islice(itertools.cycle(designs), ROUNDS):
        start = time.process_time()
        work(design)
        seconds.append(time.process_time() - start)
    return round(1000 * statistics.median(seconds), 3)
