"""Which worked designs the self-check works out again."""

from itertools import pairwise
from pathlib import Path

import pytest

from tests.contract.scenes import ROOT


@pytest.fixture
def library(monkeypatch):
    """The build step that prints the reports."""
    monkeypatch.syspath_prepend(str(ROOT / "site_src" / "hooks"))
    import library as step

    return step


@pytest.mark.parametrize("count", [0, 1, 7, 24])
def test_few_designs_are_all_worked_out_again(library, count):
    """As long as there are few, the self-check leaves none out."""
    files = [Path(f"{number:03}.toml") for number in range(count)]

    assert library.sample(files) == set(files)


def test_of_many_designs_the_self_check_takes_some_evenly(library):
    """A large collection neither makes the page of the self-check large nor is looked at from its beginning only."""
    files = [Path(f"{number:03}.toml") for number in range(400)]
    places = sorted(int(file.stem) for file in library.sample(files))

    assert len(places) == library.SAMPLE
    assert {later - earlier for earlier, later in pairwise(places)} <= {16, 17}
