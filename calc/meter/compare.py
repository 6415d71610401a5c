"""Readings in, likely causes out: what each reading comes to, what to do first, and what would tell causes apart."""

from collections.abc import Iterator
from dataclasses import replace

from calc.meter.causes import Judge
from calc.meter.expected import ASSUMED
from calc.meter.judged import apart, items, judged, placed, stops
from calc.model.meter import (
    FITS,
    LOOK,
    OUTSIDE,
    STOP,
    UNJUDGED,
    Cause,
    Diagnosis,
    Judged,
    MeterSheet,
    Readings,
)

UNEXPLAINED = 25.0
"""What the best cause may leave of the readings before it is said that none explains them well, and any other cause
before it is called unlikely beside a best one that leaves less."""


def diagnose(sheet: MeterSheet, readings: Readings) -> Diagnosis:
    """What do readings come to, and what may be behind those that do not fit?

    Each reading is held against the sheet and against alike strings. Every cause is then worked out as an array of its
    own, and ranked by how well it explains all readings together; sun, heat and what modules and meters may be off by
    are allowed for. Beside one that explains them, causes that do not are marked as unlikely. Where the sun is not known,
    its likeliest value follows from the currents themselves: then strings are judged against each other only.

    Args:
        sheet: what was expected, for the sun and the temperature of the readings.
        readings: what was read.

    Refuses nothing: with nothing to judge the verdict says so.
    """
    if sheet.needs or sheet.reason or not sheet.rows:
        return Diagnosis(sheet=sheet, readings=readings, verdict=UNJUDGED)
    found, alike, first = judged(sheet, readings), apart(sheet, readings), stops(sheet, readings)
    shown = items(sheet, readings)
    odd = any(one.verdict == OUTSIDE for one in found if one.quantity not in ("bar", "beyond")) or any(
        one.far for one in alike
    )
    ranked = Judge(sheet, readings, shown).rounds(faulty=odd) if shown else ()
    rounds = tuple(_parted(group) for group in ranked)
    stop = bool(first) or any(group and group[0].stop for group in rounds)
    verdict = STOP if stop else LOOK if rounds or odd else FITS if found else UNJUDGED
    return Diagnosis(
        sheet=sheet,
        readings=readings,
        verdict=verdict,
        judged=found,
        apart=alike,
        rounds=rounds,
        stops=first,
        notes=tuple(_notes(sheet, readings, found, rounds, unexplained=odd and not rounds)),
    )


def _parted(ranked: tuple[Cause, ...]) -> tuple[Cause, ...]:
    """The same causes; those that explain the readings poorly are marked, unless the first does so too."""
    if ranked[0].left > UNEXPLAINED:
        return ranked
    return tuple(replace(one, unlikely=one.left > UNEXPLAINED) for one in ranked)


def _notes(
    sheet: MeterSheet,
    readings: Readings,
    found: tuple[Judged, ...],
    rounds: tuple[tuple[Cause, ...], ...],
    *,
    unexplained: bool,
) -> Iterator[tuple[str, str]]:
    if not found:
        yield "nothing-read", ""
    if sheet.sun_Wm2 is None:
        several = sum(1 for one in readings.strings if one.isc is not None or one.current is not None) > 1
        yield ("sun-unknown" if several else "sun-unknown-alone"), ""
    if sheet.heat == ASSUMED:
        yield "heat-unknown", ""
    for name in placed(sheet, readings)[1]:
        yield "no-such-string", name
    unread = len(sheet.rows) - len(placed(sheet, readings)[0])
    if unread > 0:
        yield "not-all-read", str(unread)
    if unexplained or (rounds and rounds[-1][0].left > UNEXPLAINED):
        yield "nothing-explains", ""
    if len(rounds) > 1:
        yield "several", ""
