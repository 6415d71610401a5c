"""A change in words: what to do, from the paths and values of a fix."""

from collections.abc import Mapping

from calc.render.catalogue import Words

REPEATED = ("run", "coupler", "string")


def change_says(change: Mapping[str, str | int | bool], words: Words) -> str:
    """One sentence that tells a reader what a fix changes: «Put 2 modules in series and make the home run 4 AWG.»"""
    parts = [_one(path, value, words) for path, value in change.items()]
    sentence = (
        parts[0] if len(parts) == 1 else words("fix_joined", first=", ".join(parts[:-1]), last=parts[-1])
    )
    return sentence[:1].upper() + sentence[1:] + "."


def _one(path: str, value: str | int | bool, words: Words) -> str:
    section, _, rest = path.partition(".")
    part, _, field = rest.rpartition(".")
    key = f"{section}.{field}" if section in REPEATED and part else path
    return words(f"fix.{key}", part=part, value=_value(key, value, words))


def _value(key: str, value: str | int | bool, words: Words) -> str:
    if words.find(f"fix_value.{key}.more"):
        return words(f"fix_value.{key}.one") if value == 1 else words(f"fix_value.{key}.more", number=value)
    return words.find(f"fix_value.{value}") or str(value)
