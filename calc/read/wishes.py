"""What a terminal may wish of layouts: modules left out, what wire costs, and other values that are tried as well."""

from collections.abc import Mapping, Sequence
from types import MappingProxyType

from calc.model.design import Design
from calc.model.layouts import Wishes
from calc.model.problems import InputProblem, Refused
from calc.read.scenario import read_document, read_with
from calc.read.size import read_size
from calc.read.text import read_toml

MOST_LEFT_OUT = 40
PRICE, OPTION = "6 AWG=2.40", "run.home run.size=6 AWG"


def read_wishes(
    text: str | bytes, leave_out: str | None, prices: Sequence[str], options: Sequence[str]
) -> Wishes | Refused:
    """Read what was wished for on the command line; refuses with everything that is wrong at once.

    Args:
        text: the design file, which can be read.
        leave_out: a whole number of modules.
        prices: ``size=price`` each, the price of one metre of a single wire in any currency.
        options: ``path=value`` each, as the design file would say it; an empty value takes one out.
    """
    problems: list[InputProblem] = []
    number = _count(leave_out, problems)
    priced = dict(filter(None, (_price(one, problems) for one in prices)))
    tried = tuple(filter(None, (_option(text, one, problems) for one in options)))
    return Refused(tuple(problems)) if problems else Wishes(number, MappingProxyType(priced), tried)


def _count(said: str | None, problems: list[InputProblem]) -> int | None:
    if said is None:
        return None
    if (
        said.isascii()
        and said.isdigit()
        and len(said) < len(str(MOST_LEFT_OUT)) + 1
        and int(said) <= MOST_LEFT_OUT
    ):
        return int(said)
    problems.append(
        InputProblem("--leave-out", _shown(said), f"a whole number from 0 to {MOST_LEFT_OUT}", "2")
    )
    return None


def _price(said: str, problems: list[InputProblem]) -> tuple[str, float] | None:
    size, sign, price = said.partition("=")
    found = read_size(size)
    try:
        cost = float(price)
    except ValueError:
        cost = -1.0
    if sign and isinstance(found, str) and 0.0 <= cost < 1e6:  # noqa: PLR2004  # and not infinite
        return found, cost
    wanted = "a wire size, the sign =, and what one metre of it costs"
    problems.append(InputProblem("--price", _shown(said), wanted, PRICE))
    return None


def _option(text: str | bytes, said: str, problems: list[InputProblem]) -> tuple[str, Design] | None:
    path, sign, value = (part.strip() for part in said.partition("="))
    document = read_toml(text)
    if not sign or not path or not isinstance(document, Mapping):
        wanted = "the path of an input, the sign =, and another value"
        problems.append(InputProblem("--or", _shown(said), wanted, OPTION))
        return None
    design = read_document(document)
    found = design if isinstance(design, Refused) else read_with(document, design, path, value)
    if isinstance(found, Refused):
        problems.extend(found.problems)
        return None
    return f"{path} = {value}" if value else f"{path} left out", found


def _shown(said: str) -> str:
    return f"«{said[:60]}»"
