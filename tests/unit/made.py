"""Designs that are made into parts: from the examples, from a few lines, and any valid one at all."""

from functools import cache
from pathlib import Path

from hypothesis import given, settings

from calc.assess import assess
from calc.make.order import order_of
from calc.make.parts import parts_of
from calc.model.problems import Refused
from calc.read.scenario import read_design
from calc.tables import load_book
from tests.contract.anydesign import documents, written

BOOK = load_book()
SCENARIOS = sorted((Path(__file__).parents[2] / "scenarios").glob("*/*.toml"))
MODULE = """
[module]
label = "110 W, 36 cells"
voc = "22.4 V"
isc = "{isc} A"
vmp = "18.2 V"
imp = "{imp} A"
voc_coefficient = "-0.30 %/degC"
max_series_fuse = "{fuse} A"
"""


def assessed(text):
    """A design file's text, judged; None when it is refused."""
    design = read_design(text)
    return None if isinstance(design, Refused) else assess(design, BOOK)


def simple(series=1, parallel=4, *, isc=6.3, fuse=15, array="", more=""):
    """A design in a few lines, judged."""
    module = MODULE.format(isc=isc, imp=isc * 0.95, fuse=fuse)
    counts = f"[array]\nmodules_in_series = {series}\nstrings_in_parallel = {parallel}\n{array}\n"
    found = assessed(module + counts + more)
    assert found is not None
    return found


@cache
def scenario(name):
    """One of the project's own designs, judged."""
    return assessed(next(path for path in SCENARIOS if path.stem == name).read_text("utf-8"))


def parts(assessment):
    return parts_of(assessment, BOOK)


def order(assessment):
    return order_of(assessment, BOOK)


def line(found, code):
    """The one line of a list that has this code."""
    (one,) = (line for line in found.lines if line.code == code)
    return one


def on_any(examples):
    """Run a test on any valid design with not too many strings to wait for; a failing one is shown as its file."""

    def around(test):
        @given(documents(most_strings=40).map(written))
        @settings(max_examples=examples, deadline=None)
        def on_text(text):
            found = assessed(text)
            assert found is not None, "a design that is made to be valid was refused"
            test(found)

        on_text.__doc__ = test.__doc__
        return on_text

    return around
