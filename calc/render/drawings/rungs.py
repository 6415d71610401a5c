"""What stands on a voltage ladder: the string's voltages as rungs, and the bounds of the window they must stay in."""

from collections.abc import Mapping
from dataclasses import dataclass

from calc.model.assessment import Assessment, Finding, Verdict
from calc.render.catalogue import Words
from calc.render.numbers import Pair, show_pair, show_text

COLD, HOT, SHEET = "cell_cold_degC", "cell_hot_degC", ""
RUNGS = (  # from the lowest to the highest, with the step of the cells' temperature
    ("vmp_hot_at_controller_V", HOT),
    ("vmp_hot_string_V", HOT),
    ("vmp_stc_string_V", SHEET),
    ("voc_hot_string_V", HOT),
    ("voc_stc_string_V", SHEET),
    ("voc_cold_string_V", COLD),
)
CEILINGS = ("cold-voltage-controller", "cold-voltage-module", "cold-voltage-site", "cold-voltage-parts")
CHARGE, START = "hot-voltage-charging", "wake-voltage"
EQUALISING = "controller, equalising"
SAME = 0.05  # volts: two rungs nearer than this are one


@dataclass(frozen=True, slots=True)
class Rung:
    """One voltage of the string: its step, its name in words, V, and the temperature of its cells, °C, where known."""

    step: str
    name: str
    volts: float
    celsius: float | None


@dataclass(frozen=True, slots=True)
class Bound:
    """One edge of the window: the names of what asks for it, V, and whether the string must stay below or above it."""

    names: tuple[str, ...]
    volts: float
    upper: bool


@dataclass(frozen=True, slots=True)
class Room:
    """The room between the string and the nearest bound on one side, and whether it is passed."""

    actual: float
    limit: float
    pair: Pair
    passed: bool


@dataclass(frozen=True, slots=True)
class Window:
    """All that a voltage ladder shows; a room is None when its bound or its voltage is not known.

    Rungs stand from the lowest to the highest, bounds from the nearest on; ``printed`` has every voltage as text.
    """

    rungs: tuple[Rung, ...]
    uppers: tuple[Bound, ...]
    lowers: tuple[Bound, ...]
    above: Room | None
    below: Room | None
    missing: tuple[str, ...]
    printed: Mapping[float, str]


def window(assessment: Assessment, words: Words, system: str) -> Window:
    """Gather rungs, bounds (nearest first) and room on both sides from an assessment; what is not known is left out."""
    findings = [finding for finding in assessment.findings if finding.id in (*CEILINGS, CHARGE, START)]
    uppers = _bounds([finding for finding in findings if finding.id in CEILINGS], words, upper=True)
    lowers = _bounds([finding for finding in findings if finding.id not in CEILINGS], words, upper=False)
    rungs = _rungs(assessment, words)
    highest = next((rung.volts for rung in rungs if rung.step == "voc_cold_string_V"), None)
    lowest = next((rung.volts for rung in rungs if rung.step in (RUNGS[0][0], RUNGS[1][0])), None)
    charging = next((f for f in findings if f.id == CHARGE and f.actual and f.limit), None)
    bounds = [bound.volts for bound in (*uppers, *lowers)]
    return Window(
        rungs=rungs,
        uppers=uppers,
        lowers=lowers,
        above=_room(highest, uppers[0].volts, "at most", system) if uppers and highest is not None else None,
        below=_room(lowest, charging.limit.number, "at least", system)
        if charging and charging.limit and lowest is not None
        else None,
        missing=tuple(
            _name(finding, words)
            for finding in findings
            if finding.verdict is Verdict.NEEDS_INPUT and finding.id in (CEILINGS[0], CHARGE)
        ),
        printed=_printed([rung.volts for rung in rungs], bounds, system),
    )


def _printed(rungs: list[float], bounds: list[float], system: str) -> dict[float, str]:
    """Every voltage as text; a rung and a bound that differ but would look alike get more digits."""
    texts = {volts: show_text(volts, "V", system=system) for volts in (*rungs, *bounds)}
    for rung in rungs:
        for bound in bounds:
            if rung != bound and texts[rung] == texts[bound]:
                pair = show_pair(rung, bound, "at most", "V", system=system)
                texts[rung], texts[bound] = str(pair.actual), str(pair.limit)
    return texts


def _rungs(assessment: Assessment, words: Words) -> tuple[Rung, ...]:
    found: list[Rung] = []
    for step, temperature in RUNGS:
        known = assessment.steps.get(step)
        if known is None:
            continue
        cells = assessment.steps.get(temperature)
        celsius = None if cells is None else float(cells.result)
        rung = Rung(step, words(f"drawing.ladder.rung.{step}"), float(known.result), celsius)
        if found and step == RUNGS[1][0] and abs(rung.volts - found[0].volts) < SAME:
            continue
        found.append(rung)
    return tuple(sorted(found, key=lambda rung: rung.volts))


def _bounds(findings: list[Finding], words: Words, *, upper: bool) -> tuple[Bound, ...]:
    """One bound for each limit that is known, equal ones together; the nearest to the string first."""
    by_volts: dict[float, list[str]] = {}
    for finding in findings:
        if finding.limit is not None:
            names = by_volts.setdefault(finding.limit.number, [])
            name = _name(finding, words)
            if name not in names:
                names.append(name)
    order = sorted(by_volts, reverse=not upper)
    return tuple(Bound(tuple(by_volts[volts]), volts, upper) for volts in order)


def _name(finding: Finding, words: Words) -> str:
    if finding.id == CEILINGS[-1]:
        return finding.part
    if finding.part == EQUALISING:
        return words("drawing.ladder.bound.equalising")
    return words(f"drawing.ladder.bound.{finding.id}")


def _room(actual: float, limit: float, sense: str, system: str) -> Room:
    pair = show_pair(actual, limit, sense, "V", system=system)
    passed = actual > limit if sense == "at most" else actual < limit
    return Room(actual, limit, pair, passed)


def says(shown: Window, words: Words) -> str:
    """The drawing in sentences, for those who cannot see it."""
    low, high = (shown.printed[rung.volts] for rung in (shown.rungs[0], shown.rungs[-1]))
    said = [words("drawing.ladder.says.range", low=low, high=high)]
    for room, side in ((shown.above, "above"), (shown.below, "below")):
        if room is not None:
            said.append(
                words(
                    f"drawing.ladder.says.{side}{'-passed' if room.passed else ''}",
                    limit=room.pair.limit,
                    gap=room.pair.gap,
                )
            )
    said += [words("drawing.ladder.says.missing", name=name) for name in shown.missing]
    return " ".join(said)


def head(words: Words) -> tuple[str, ...]:
    """The columns of the table beside the drawing."""
    return tuple(words(f"drawing.ladder.table.{column}") for column in ("name", "volts", "cells"))


def rows(shown: Window, words: Words, system: str) -> tuple[tuple[str, ...], ...]:
    """Every bound and rung from the highest to the lowest, as the table beside the drawing."""
    found = []
    for bound in (*shown.uppers, *shown.lowers):
        side = "upper" if bound.upper else "lower"
        name = words(f"drawing.ladder.table.{side}", name=", ".join(bound.names))
        found.append((bound.volts, name, ""))
    for rung in shown.rungs:
        cells = "" if rung.celsius is None else show_text(rung.celsius, "degC", system=system, both=True)
        found.append((rung.volts, rung.name, cells))
    found.sort(key=lambda row: -row[0])
    return tuple((name, shown.printed[volts], cells) for volts, name, cells in found)
