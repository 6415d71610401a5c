"""A wire size as people write it ("10 AWG", "#10", "1/0", "6 mm²"), and why a cable's outside diameter is not one."""

import re

from calc.read.words import Wrong

AWG_SIZES = ("14", "12", "10", "8", "6", "4", "3", "2", "1", "1/0", "2/0", "3/0", "4/0")
MM2_SIZES = ("1.5", "2.5", "4", "6", "10", "16", "25", "35", "50", "70")
LONGEST = 40
THINNEST_AWG = 14
AUGHTS = {"0": "1/0", "00": "2/0", "000": "3/0", "0000": "4/0"}

GAUGE = "([0-9]{1,4}|[1-4]/0)"
AWG = tuple(
    re.compile(form.replace("N", GAUGE))
    for form in (
        "#? ?N ?(?:awg|gauge|ga\\.?)",
        "(?:awg|gauge) ?#? ?N",
        "# ?N",
        "no\\.? ?N(?: ?awg)?",
        "([1-4]/0)",
    )
)
MM2 = re.compile(r"([0-9]{1,4}(?:\.[0-9]{1,3})?) ?(?:mm ?\^? ?2|sq\.? ?mm|square (?:mm|millimet(?:er|re)s?))")
KCMIL = re.compile(r"[0-9]{1,4} ?(?:kcmil|mcm)")
LENGTH = re.compile(r"[0-9] ?(?:mm|cm|millimet|inch|in\b|\"|″)|\b(?:od|dia|diameter)\b|[øØ⌀]")
NUMBER = re.compile(r"[0-9]+(?:\.[0-9]*)?")
DECIMAL_COMMA = re.compile(r"[0-9]+,[0-9]+")


def read_size(text: str) -> str | Wrong:
    """The wire size written in ``text``, as ``10 AWG`` or ``6 mm2``.

    Refuses (Wrong) a size that is not made or stands in no table, and a cable named by its outside diameter, because
    a diameter does not tell how much copper is inside.
    """
    if len(text) > LONGEST:
        return Wrong("value.long", {"limit": str(LONGEST)})
    words = " ".join(text.replace("²", "2").casefold().split())
    if DECIMAL_COMMA.match(words):
        return Wrong("value.decimal-comma", better=text.replace(",", "."))
    if found := next(filter(None, (form.fullmatch(words) for form in AWG)), None):
        return _awg(found[1])
    if found := MM2.fullmatch(words):
        return _mm2(f"{float(found[1]):g}")
    return _not_a_size(words)


def _awg(gauge: str) -> str | Wrong:
    size = AUGHTS.get(gauge, gauge)
    if size in AWG_SIZES:
        return f"{size} AWG"
    if size.isdecimal() and int(size) > THINNEST_AWG:
        return Wrong("size.thin")
    return Wrong("size.awg", {"sizes": ", ".join(AWG_SIZES)})


def _mm2(area: str) -> str | Wrong:
    if area in MM2_SIZES:
        return f"{area} mm2"
    return Wrong("size.mm2", {"sizes": ", ".join(MM2_SIZES)}, "6 mm2")


def _not_a_size(words: str) -> Wrong:
    if KCMIL.fullmatch(words):
        return Wrong("size.awg", {"sizes": ", ".join(AWG_SIZES)})
    if LENGTH.search(words):
        return Wrong("size.diameter")
    return Wrong("size.bare" if NUMBER.fullmatch(words) else "size.not-size")
