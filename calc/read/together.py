"""Values that cannot both be right, and pairs that are possible but unlikely."""

from calc.model.design import Given
from calc.model.units import rounded
from calc.read.fields import Field
from calc.read.reading import Reading, example
from calc.read.sections import SECTIONS, field_for, trail_of
from calc.read.value import outside, unusual
from calc.read.words import Wrong

POWER_DIFFERS = 0.1
"""Share by which the rated power may differ from Vmp × Imp before a note says so: rounding alone makes far less."""
HIGHEST_CHARGE = 1.5
"""Absorption voltage over nominal voltage; no common battery is charged at more than about 1.25 times."""

# Shares used only to offer an example that can be right: common practice, no source.
VMP_OF_VOC = 0.8
IMP_OF_ISC = 0.94
ABSORPTION_OF_NOMINAL = 1.2
LOWEST_OF_ABSORPTION = 0.8
EQUALISE_OF_ABSORPTION = 1.05
USUAL_SUMMER = 36


def check_together(reading: Reading, modules: tuple[str, ...]) -> None:
    """Refuse values that exclude each other, and note unlikely pairs.

    ``modules`` are the beginnings of the paths of every module described (``module.``, ``string.2.module.``).
    """
    for start in modules:
        _module(reading, start)
    _site(reading)
    _battery(reading)


def _refuse(reading: Reading, path: str, code: str, other: Given, likely: float) -> None:
    """Note that the value at ``path`` cannot stand beside ``other``; ``likely`` is a value that can."""
    about, given = field_for(path), reading.values[path]
    count = about.kind == "count"
    wrong = Wrong(f"together.{code}", {"other": other.said}, f"{likely:.3g} {about.unit}".strip())
    reading.refuse(
        path, trail_of(path), given.value if count else given.said, wrong, example(about, wrong), about
    )


def _module(reading: Reading, start: str) -> None:
    get = reading.values.get
    for low, high, share in (("vmp", "voc", VMP_OF_VOC), ("imp", "isc", IMP_OF_ISC)):
        less, more = get(start + low), get(start + high)
        if less and more and _number(less) >= _number(more):
            _refuse(reading, start + low, low, more, share * _number(more))
    groups, cells = get(start + "bypass_groups"), get(start + "cells")
    if groups and cells and _number(groups) > _number(cells):
        _refuse(reading, start + "bypass_groups", "groups", cells, 1)
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
    share = rounded(100 * _number(reading.values[start + name]) / base)
    if outside(about, share):
        low, high = (f"{limit:g} %" for limit in (about.low, about.high))
        against = given.said if given else f"{base:g} W"
        words = {"low": low, "high": high, "base": against, "share": f"{share:.3g} %"}
        wrong, said = Wrong("value.share-of", words), reading.values[start + name].said
        reading.refuse(start + name, trail_of(start + name), said, wrong, example(about), about)
    elif unusual(about, share):
        reading.notes.append((start + name, "unusual"))


def _site(reading: Reading) -> None:
    coldest, hottest = reading.values.get("site.coldest"), reading.values.get("site.hottest")
    if coldest and hottest and _number(coldest) > _number(hottest):
        _refuse(reading, "site.hottest", "hottest", coldest, max(_number(coldest) + 1, USUAL_SUMMER))
    if coldest and "site.hardiness_zone" in reading.values:
        reading.notes.append(("site.hardiness_zone", "coldest-counts"))


def _battery(reading: Reading) -> None:
    nominal, absorption, lowest, equalise = (
        reading.values.get(f"battery.{name}") for name in ("nominal", "absorption", "lowest", "equalise")
    )
    if not absorption:
        return
    top = _number(absorption)
    if nominal and not 1 <= top / _number(nominal) <= HIGHEST_CHARGE:
        likely = ABSORPTION_OF_NOMINAL * _number(nominal)
        _refuse(reading, "battery.absorption", "absorption", nominal, likely)
        return  # the others can only be held against a voltage that can be right
    if lowest and _number(lowest) > top:
        _refuse(reading, "battery.lowest", "lowest", absorption, LOWEST_OF_ABSORPTION * top)
    if equalise and _number(equalise) < top:
        _refuse(reading, "battery.equalise", "equalise", absorption, EQUALISE_OF_ABSORPTION * top)


def _power(reading: Reading, start: str) -> float | None:
    vmp, imp = reading.values.get(start + "vmp"), reading.values.get(start + "imp")
    return _number(vmp) * _number(imp) if vmp and imp else None


def _number(given: Given) -> float:
    return float(given.value)
