"""The least size with which a run passes its checks, found by running the whole check."""

from collections.abc import Callable
from dataclasses import dataclass, field

from calc.derive.parts import run_part
from calc.derive.sizes import AWG, area_mm2, awg_sizes, split_size
from calc.model.assessment import Assessment, Finding, Verdict
from calc.model.design import Design, Given
from calc.model.layouts import Key
from calc.plan.again import Again
from calc.plan.searching import failing, key_of, last_passing
from calc.tables import RuleBook

OF_RUNS = (
    "run-ampacity",
    "run-terminal-temperature",
    "run-voltage-drop",
    "small-conductor-device",
    "battery-side-device",
    "breaker-rating",
    "string-fuse-size",
)
"""Findings that may be about a run; their part says which."""


@dataclass(frozen=True, slots=True)
class LeastSize:
    """The least size that does, and the next smaller one with what fails there; None where there is none."""

    size: str | None
    smaller: str | None = None
    because: Key = ("", "")


def sizes_for(design: Design, book: RuleBook, name: str) -> tuple[str, ...]:
    """Every size of a run's own system (AWG where it has none) in its metal, smallest first."""
    part = run_part(name)
    material = design.text(part + "material") or str(_given(book, "run.material").value)
    size = design.text(part + "size")
    if size is None or split_size(size)[1] == AWG:
        return tuple(f"{awg} {AWG}" for awg in awg_sizes(book, material))
    areas = {float(area) for area in book.table("resistance_iec").column("size") if area is not None}
    return tuple(f"{area:g} mm2" for area in sorted(areas))


def _given(book: RuleBook, path: str) -> Given:
    given = book.assumptions[path].given
    if given is None:
        raise TypeError(f"the assumption for {path} is no value")
    return given


def sized(sizes: dict[str, str]) -> dict[str, Given]:
    """The change that gives runs, by name, these sizes."""
    return {run_part(name) + "size": Given(size, "size", size) for name, size in sizes.items()}


def breaks(finding: Finding, name: str) -> bool:
    """Whether a finding is about this run and says that its size will not do, or is one that the tables do not know."""
    ends = (name, f"{name}, before corrections", f"{name}, as protection")
    about = finding.part in ends or finding.part.endswith(f", for the {name}")
    if finding.id not in OF_RUNS or not about:
        return False
    unknown = finding.verdict is Verdict.NEEDS_INPUT and run_part(name) + "size" in finding.needs
    return unknown or finding.verdict is Verdict.FAILS


def _at(rows: dict[str, tuple[str, ...]], places: dict[str, int]) -> dict[str, str]:
    """Every run's size at its place in its row, or its last one."""
    return {name: row[min(places[name], len(row) - 1)] for name, row in rows.items()}


@dataclass(slots=True)
class Sizing:
    """Sizes the runs of one design; remembers what was assessed."""

    again: Again
    _known: dict[tuple[tuple[str, str], ...], Assessment] = field(default_factory=dict)

    def with_sizes(self, sizes: dict[str, str]) -> Assessment:
        """The whole assessment with these sizes."""
        key = tuple(sorted(sizes.items()))
        if key not in self._known:
            self._known[key] = self.again.after(sized(sizes))
        return self._known[key]

    def _sizes(self, name: str) -> tuple[str, ...]:
        return sizes_for(self.again.design, self.again.book, name)

    def own(self, name: str) -> str | None:
        """The least size with which nothing about the run itself fails; None where even the largest does not do."""
        sizes = self._sizes(name)
        return self._least(sizes, self._near(name, sizes), lambda size: self._clear(name, size))

    def _clear(self, name: str, size: str) -> bool:
        return not any(breaks(finding, name) for finding in self.with_sizes({name: size}).findings)

    def _near(self, name: str, sizes: tuple[str, ...]) -> int:
        """The place of the size that should do: by ampacity, and by the area that the drop asks for."""
        now, book = self.again.now, self.again.book
        least = now.steps.get(run_part(name) + "size_least")
        place = sizes.index(str(least.result)) if least and least.result in sizes else 0
        own = self.again.design.text(run_part(name) + "size")
        drop = next((one for one in now.findings if (one.id, one.part) == ("run-voltage-drop", name)), None)
        if own and drop and drop.actual and drop.limit and drop.limit.number > 0.0:
            area = area_mm2(book, own) * drop.actual.number / drop.limit.number
            larger = (at for at, size in enumerate(sizes) if area_mm2(book, size) >= area)
            place = max(place, next(larger, len(sizes) - 1))
        return place

    @staticmethod
    def _least(sizes: tuple[str, ...], near: int, passes: Callable[[str], bool]) -> str | None:
        last = len(sizes) - 1
        if not sizes or not passes(sizes[last]):
            return None
        return sizes[last - last_passing(lambda back: passes(sizes[last - back]), 0, last, last - near)]

    def least(self, name: str) -> LeastSize:
        """The least size of one run with which nothing fails that its largest size would mend.

        Other runs keep their sizes.
        """
        sizes = self._sizes(name)
        beyond = set(failing(self.with_sizes({name: sizes[-1]})))

        def passes(size: str) -> bool:
            return self._clear(name, size) and set(failing(self.with_sizes({name: size}))) <= beyond

        size = self._least(sizes, self._near(name, sizes), passes)
        if size is None:
            return LeastSize(None, None, self._first_broken(name, sizes[-1], set()))
        place = sizes.index(size)
        if place == 0:
            return LeastSize(size)
        return LeastSize(size, sizes[place - 1], self._first_broken(name, sizes[place - 1], beyond))

    def _first_broken(self, name: str, size: str, beyond: set[Key]) -> Key:
        found = self.with_sizes({name: size})
        new = [key for key in failing(found) if key not in beyond]
        own = [key_of(finding) for finding in found.findings if breaks(finding, name)]
        return (own + new)[0]

    def every(self) -> dict[str, str | None]:
        """The least size of every run at once, by name; None for a run that no size of its own mends.

        Runs are tried at like places of their tables, so that one check serves them all. Where the voltage left at the
        controller asks for more than each run by itself, every run goes up by as many sizes as it takes.
        """
        rows = {name: self._sizes(name) for name in self.again.design.runs}
        own = {name: self._together(name, rows) for name in rows}
        longest = max((len(row) for row in rows.values()), default=1)

        def raised(by: int) -> dict[str, str]:
            places = {
                name: len(rows[name]) - 1 if place is None else place + by for name, place in own.items()
            }
            return _at(rows, places)

        beyond = set(failing(self.with_sizes(raised(longest))))

        def passes(back: int) -> bool:
            return set(failing(self.with_sizes(raised(longest - back)))) <= beyond

        found = raised(0 if passes(longest) else longest - last_passing(passes, 0, longest))
        return {name: None if own[name] is None else found[name] for name in found}

    def _together(self, name: str, rows: dict[str, tuple[str, ...]]) -> int | None:
        """The least place at which nothing about a run fails, every run standing there or at its own last one."""
        last = len(rows[name]) - 1

        def clear(back: int) -> bool:
            found = self.with_sizes(_at(rows, dict.fromkeys(rows, last - back)))
            return not any(breaks(finding, name) for finding in found.findings)

        near = last - self._near(name, rows[name])
        return last - last_passing(clear, 0, last, near) if clear(0) else None

    def largest(self, name: str) -> str:
        """The largest size that the tables know for a run."""
        return self._sizes(name)[-1]
