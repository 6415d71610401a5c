"""Shade that a terminal may ask for: how many groups of cells of one string lose how much of their light."""

import math
from collections.abc import Sequence

from calc.model.problems import InputProblem, Refused

EXAMPLE = "2=40 %"
MOST_GROUPS = 10_000
MOST_SHOWN = 40
WHOLE = 100.0


def read_shades(said: Sequence[str]) -> tuple[tuple[int, float], ...] | Refused:
    """Read cases of shade, each as groups of cells and the percent of their light that is lost.

    Refuses with everything that is wrong at once.

    Args:
        said: ``groups=percent`` each.
    """
    found = [(one, _shade(one)) for one in said]
    wanted = "how many groups of cells, the sign =, and the percent of their light that is lost"
    problems = tuple(
        InputProblem("--shade", f'"{one[:MOST_SHOWN]}"', wanted, EXAMPLE)
        for one, shade in found
        if shade is None
    )
    return Refused(problems) if problems else tuple(dict.fromkeys(shade for _, shade in found if shade))


def _shade(said: str) -> tuple[int, float] | None:
    groups, _, percent = said.partition("=")
    try:
        count, lost = int(groups), float(percent.strip().removesuffix("%"))
    except ValueError:
        return None
    fits = 1 <= count <= MOST_GROUPS and math.isfinite(lost) and 0.0 < lost <= WHOLE
    return (count, lost) if fits else None
