"""Parts that a design may have more or fewer of: what a form offers to add, and what to leave out, as ready changes."""

import json
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Protocol

from calc.render.anchors import slug
from calc.render.catalogue import Words

CARRIES = ("string", "array", "battery")
"""What a run may carry: a new one begins with that."""
FEWEST_INPUTS = "2"
OPTIONAL = ("combiner", "disconnect", "grounding")
COUNTS = ("modules_in_series", "strings_in_parallel")

Texts = Mapping[str, str]


class Parts(Protocol):
    """What is known of a design here: its texts by path, and the parts that repeat."""

    @property
    def texts(self) -> Texts:
        """Texts by path."""

    @property
    def runs(self) -> tuple[str, ...]:
        """Names of the runs."""

    @property
    def strings(self) -> int:
        """How many groups of strings are described one by one; 0 where all are alike."""

    @property
    def couplers(self) -> int:
        """How many kinds of couplers there are."""


@dataclass(frozen=True, slots=True)
class Offer:
    """A button that adds or leaves out a part: what it says, its change, and the field or button that is next."""

    id: str
    says: str
    of: str
    change: str
    next: str


def adding(kind: str, parts: Parts, words: Words) -> Iterator[Offer]:
    """What can be added after the last part of a kind: ``run``, ``string`` or ``coupler``."""
    if kind == "run":
        for carries in CARRIES:
            name = _free(words(f"form.add.name.{carries}"), parts.runs)
            change = {f"run.{name}.carries": carries}
            yield _add(f"run-{carries}", change, f"run.{name}.length", words)
    elif kind == "string":
        number = max(parts.strings, 1) + 1
        yield _add("string", _one_more(parts), f"string.{number}.modules_in_series", words)
    elif kind == "coupler" and parts.couplers:
        place = f"coupler.{parts.couplers + 1}.inputs"
        like = parts.texts.get(f"coupler.{parts.couplers}.inputs") or FEWEST_INPUTS
        yield _add("coupler", {place: like}, place, words)


def leaving_out(section: str, parts: Parts, words: Words, title: str) -> Iterator[Offer]:
    """How a section is left out; of numbered ones only the last, since the others would change their numbers."""
    kind, _, name = section.partition(".")
    last = {"string": parts.strings if parts.strings > 1 else 0, "coupler": parts.couplers}
    removable = (
        (kind == "run" and name in parts.runs)
        or (kind in last and name == str(last[kind]))
        or section in OPTIONAL
    )
    start = f"{section}."
    change = {path: "" for path in parts.texts if path.startswith(start)}
    if section == "string.2":
        change |= _alike(parts)
    if removable and any(parts.texts.get(path) for path in change):
        after = {"run": "add-run-array", "string": "add-string", "coupler": f"in-{slug('coupler.1.inputs')}"}
        first = f"form-{slug(section)}"
        says = words(f"form.leave-out.{kind if name else 'part'}")
        yield Offer(f"leave-out-{slug(section)}", says, title, json.dumps(change), after.get(kind, first))


def _add(what: str, change: Texts, path: str, words: Words) -> Offer:
    return Offer(f"add-{what}", words(f"form.add.{what}"), "", json.dumps(change), f"in-{slug(path)}")


def _one_more(parts: Parts) -> Texts:
    """One group of strings more, like the last; strings that were all alike become the first group."""
    if parts.strings:
        last = f"string.{parts.strings}."
        more = f"string.{parts.strings + 1}."
        return {
            more + path.removeprefix(last): text
            for path, text in parts.texts.items()
            if path.startswith(last) and text
        }
    counts = {name: parts.texts.get(f"array.{name}", "") for name in COUNTS}
    first = {f"string.1.{name}": text for name, text in counts.items()}
    return {
        **{f"array.{name}": "" for name in COUNTS},
        **first,
        f"string.2.{COUNTS[0]}": counts[COUNTS[0]],
        f"string.2.{COUNTS[1]}": "1",
    }


def _alike(parts: Parts) -> Texts:
    """What makes the one group of strings that is left, of the common module, an array of strings that are all alike."""
    if any(text and path.startswith("string.1.module.") for path, text in parts.texts.items()):
        return {}
    counts = {f"array.{name}": parts.texts.get(f"string.1.{name}") or "1" for name in COUNTS}
    return {**{f"string.1.{name}": "" for name in COUNTS}, **counts}


def _free(name: str, taken: tuple[str, ...]) -> str:
    """A name that no run has: as wished, or with the next number."""
    names = (name, *(f"{name} {number}" for number in range(2, len(taken) + 3)))
    return next(one for one in names if one not in taken)
