"""Every fault, worked out from curves, read with a meter's errors, and found again: how often it comes first."""

import os
import random

import pytest

from calc.tables import load_book
from tests.unit.meter_cases import FAULTS, draw, measure

CASES = int(os.environ.get("ARRAYBOOK_METER_CASES", "60"))
"""Arrays with a fault, and as many without; 2000 for the whole proof."""
SEED = 5


def test_the_true_cause_is_among_the_first():
    """First in 90 of 100, among the first three in 98 of 100; of healthy arrays at most 1 in 100 is called faulty."""
    faulty, healthy = measure(CASES, SEED, load_book())
    ranks = [case.rank() for case in faulty]

    assert sum(rank == 1 for rank in ranks) >= 0.90 * CASES
    assert sum(0 < rank <= 3 for rank in ranks) >= 0.98 * CASES
    folded = [case for case, rank in zip(faulty, ranks, strict=True) if rank and case.told(rank).unlikely]
    assert len(folded) <= 0.01 * CASES, "a true cause is not put among the unlikely ones"
    assert sum(case.rank() != 1 for case in healthy) <= 0.01 * CASES


@pytest.mark.parametrize("fault", FAULTS)
def test_each_fault_is_found(fault):
    """None is carried by the others: most of each are found first."""
    rng = random.Random(SEED)
    ranks = [draw(rng, fault, load_book()).rank() for _ in range(8)]

    assert sum(rank == 1 for rank in ranks) >= 6


def test_complete_darkness_is_among_the_first_three():
    """A group, module or string in complete darkness reads like a shorted or an open one; it is still named."""
    rng = random.Random(SEED)
    ranks = [draw(rng, "shade", load_book(), "dark").rank() for _ in range(12)]

    assert sum(0 < rank <= 3 for rank in ranks) >= 10
