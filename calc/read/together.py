"""Values that cannot both be right, and pairs that are possible but unlikely."""

from calc.model.design import Given
from calc.read.fields import Field
from calc.read.reading import Reading, example
from calc.read.sections import SECTIONS, field_for, trail_of
from calc.read.value import outside, unusual
from calc.read.words import Wrong

POWER_DIFFERS = 0.1
"""Share by which the rated power may differ from Vmp × Imp before a note says so: rounding alone makes far less."""
HIGHEST_CHARGE = 1.5
"""Absorption voltage over nominal voltage; no common battery is charged at more than about 1.25 times."""


def check_together(reading: Reading, modules: tuple[str, ...]) -> None:
    """Refuse values that exclude each other, and note unlikely pairs.

    ``modules`` are the beginnings of the paths of every module described (``module.``, ``string.2.module.``).
    """
    for start in modules:
        _module(reading, start)
    _site(reading)
    _battery(reading)


def _refuse(reading: Reading, path: str, wrong: Wrong) -> None:
    about, given = field_for(path), reading.values[path]
    said = given.value if about.kind == "count" else given.said
    reading.refuse(path, trail_of(path), said, wrong, example(about), about)


def _module(reading: Reading, start: str) -> None:
    get = reading.values.get
    for low, high in (("vmp", "voc"), ("imp", "isc")):
        less, more = get(start + low), get(start + high)
        if less and more and _number(less) >= _number(more):
            _refuse(reading, start + low, Wrong(f"together.{low}", {"other": more.said}))
    groups, cells = get(start + "bypass_groups"), get(start + "cells")
    if groups and cells and _number(groups) > _number(cells):
        _refuse(reading, start + "bypass_groups", Wrong("together.groups", {"other": cells.said}))
    power, rated = _power(reading, start), get(start + "pmax")
    if power and rated and abs(_number(rated) / power - 1) > POWER_DIFFERS:
        reading.notes.append((start + "pmax", "pmax-differs"))
    for name, about in SECTIONS["module"].fields.items():
        given = get(start + name)
        if given and about.kind == "coefficient" and given.unit == about.absolute:
            _absolute(reading, about, start, name)


def _absolute(reading: Reading, about: Field, start: str, name: str) -> None:
    """Hold an absolute coefficient against its base value: -67 V/degC, where -67 mV/degC was meant, is impossible."""
    base_name = name.removesuffix("_coefficient")
    given = reading.values.get(start + base_name)
    base = _number(given) if given else _power(reading, start) if base_name == "pmax" else None
    if not base:
        return
    share = 100 * _number(reading.values[start + name]) / base
    if outside(about, share):
        low, high = (f"{limit:g} %" for limit in (about.low, about.high))
        against = given.said if given else f"{base:g} W"
        words = {"low": low, "high": high, "base": against, "share": f"{share:.3g} %"}
        _refuse(reading, start + name, Wrong("value.share-of", words))
    elif unusual(about, share):
        reading.notes.append((start + name, "unusual"))


def _site(reading: Reading) -> None:
    coldest, hottest = reading.values.get("site.coldest"), reading.values.get("site.hottest")
    if coldest and hottest and _number(coldest) > _number(hottest):
        _refuse(reading, "site.hottest", Wrong("together.hottest", {"other": coldest.said}))
    if coldest and "site.hardiness_zone" in reading.values:
        reading.notes.append(("site.hardiness_zone", "coldest-counts"))


def _battery(reading: Reading) -> None:
    nominal, absorption, lowest, equalise = (
        reading.values.get(f"battery.{name}") for name in ("nominal", "absorption", "lowest", "equalise")
    )
    if not absorption:
        return
    if nominal and not 1 <= _number(absorption) / _number(nominal) <= HIGHEST_CHARGE:
        _refuse(reading, "battery.absorption", Wrong("together.absorption", {"other": nominal.said}))
    if lowest and _number(lowest) > _number(absorption):
        _refuse(reading, "battery.lowest", Wrong("together.lowest", {"other": absorption.said}))
    if equalise and _number(equalise) < _number(absorption):
        _refuse(reading, "battery.equalise", Wrong("together.equalise", {"other": absorption.said}))


def _power(reading: Reading, start: str) -> float | None:
    vmp, imp = reading.values.get(start + "vmp"), reading.values.get(start + "imp")
    return _number(vmp) * _number(imp) if vmp and imp else None


def _number(given: Given) -> float:
    return float(given.value)
