"""Arraybook's calculation core: a small solar array's design in, every limit checked with its working shown, out.

The public names are loaded when first used, so that a part of the core can be imported without the rest.
"""

from importlib import import_module
from typing import TYPE_CHECKING

# Not when first used like the others: the function has its module's name, and whoever imports the module would hide it.
from calc.assess import CORE, assess

if TYPE_CHECKING:
    from calc.model.assessment import Assessment, Finding, Fix, Step, Verdict
    from calc.model.design import Design, Given
    from calc.model.problems import InputProblem, Refused
    from calc.plan.fixes import check
    from calc.read.scenario import read_design
    from calc.render.as_html import as_html
    from calc.render.as_json import as_json
    from calc.render.as_text import as_text
    from calc.tables import RuleBook, load_book

_HOME = {
    "Assessment": "calc.model.assessment",
    "Finding": "calc.model.assessment",
    "Fix": "calc.model.assessment",
    "Step": "calc.model.assessment",
    "Verdict": "calc.model.assessment",
    "Design": "calc.model.design",
    "Given": "calc.model.design",
    "InputProblem": "calc.model.problems",
    "Refused": "calc.model.problems",
    "check": "calc.plan.fixes",
    "read_design": "calc.read.scenario",
    "as_html": "calc.render.as_html",
    "as_json": "calc.render.as_json",
    "as_text": "calc.render.as_text",
    "RuleBook": "calc.tables",
    "load_book": "calc.tables",
}

__all__ = [
    "CORE",
    "Assessment",
    "Design",
    "Finding",
    "Fix",
    "Given",
    "InputProblem",
    "Refused",
    "RuleBook",
    "Step",
    "Verdict",
    "as_html",
    "as_json",
    "as_text",
    "assess",
    "check",
    "load_book",
    "read_design",
]


def __getattr__(name: str) -> object:
    """Load a public name from its module when it is first asked for."""
    home = _HOME.get(name)
    if home is None:
        raise AttributeError(f"calc has no public name {name!r}")
    return getattr(import_module(home), name)
