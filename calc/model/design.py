"""A design as its author gave it: named values, one path each.

The path (``module.voc``, ``run.home run.length``, ``string.2.module.isc``, ``coupler.1.rating``) is the one name of an
input everywhere: in files, problems, fixes, origins and the form. Nothing here is assumed or worked out.
"""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from types import MappingProxyType

from calc.model.record import record


@record(frozen=True, slots=True)
class Given:
    """One input: the value in the fixed unit of its field, that unit, and the author's own words for it."""

    value: float | int | str | bool
    unit: str
    said: str


@dataclass(frozen=True, slots=True)
class Design:
    """Everything an author said: ``values`` by path, and the names of the parts that can be repeated, in file order.

    ``notes`` are (path, code) pairs of possible but unlikely values that were accepted; their words are in
    the catalogue. ``options`` are the same design with one value changed as its author wishes to see it too, each by what
    is changed (``run.home run.size = 6 AWG``).
    """

    values: Mapping[str, Given]
    runs: tuple[str, ...] = ()
    strings: int = 0
    couplers: int = 0
    notes: tuple[tuple[str, str], ...] = ()
    options: tuple[tuple[str, "Design"], ...] = ()

    def number(self, path: str) -> float | None:
        """The number given at ``path``, or None when nobody gave it."""
        given = self.values.get(path)
        return None if given is None else float(given.value)

    def text(self, path: str) -> str | None:
        """The word given at ``path`` (a choice, a size, a name), or None."""
        given = self.values.get(path)
        return None if given is None else str(given.value)

    def flag(self, path: str) -> bool | None:
        """The yes or no given at ``path``, or None."""
        given = self.values.get(path)
        return None if given is None else bool(given.value)

    def has(self, section: str) -> bool:
        """Whether anything was given under ``section`` (``combiner``, ``run``…)."""
        start = section + "."
        return any(path.startswith(start) for path in self.values)

    def module_path(self, string: int, field: str) -> str:
        """Path of a module value for string number ``string`` (1, 2, …): its own module's, else the common one's."""
        own = f"string.{string}.module."
        if string <= self.strings and any(path.startswith(own) for path in self.values):
            return own + field
        return "module." + field

    def changed(self, change: Mapping[str, Given]) -> "Design":
        """The same design with some values replaced or added (paths as in ``values``)."""
        return replace(self, values=MappingProxyType({**self.values, **change}))
