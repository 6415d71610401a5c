"""Every design file of the project, read and checked once for all contract tests."""

from functools import cache
from pathlib import Path

from calc.assess import assess
from calc.model.problems import Refused
from calc.plan.fixes import check
from calc.read.scenario import read_design
from calc.tables import load_book

ROOT = Path(__file__).parents[2]
CALC = ROOT / "calc"
FILES = sorted((ROOT / "scenarios").rglob("*.toml"))
NAMES = [f"{file.parent.name}/{file.stem}" for file in FILES]


@cache
def text(name):
    return FILES[NAMES.index(name)].read_text(encoding="utf-8")


@cache
def design(name):
    found = read_design(text(name))
    assert not isinstance(found, Refused), (name, [problem.line() for problem in found.problems])
    return found


@cache
def assessed(name):
    return assess(design(name), load_book())


@cache
def checked(name):
    """With fixes."""
    return check(design(name), load_book())


def modules(*folders):
    """The Python files of the core, or of some of its folders."""
    return sorted(path for folder in (folders or ("",)) for path in (CALC / folder).rglob("*.py"))
