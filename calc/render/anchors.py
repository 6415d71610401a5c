"""Where things stand on a page: one id for every step, given value, assumption and table."""

from functools import lru_cache


@lru_cache(maxsize=16384)
def slug(name: str) -> str:
    """Turn any id or path into a text that is safe in an HTML id, a CSS selector and a link, and stays unique.

    Letters, digits and underscores stay; a single dot or space between them becomes one or two hyphens (``run.home
    run.drop_V`` is ``run-home--run-drop_V``); anything else becomes its number between triple hyphens. No two names
    give the same slug, because every run of hyphens can be read back in one way only.
    """
    pieces = []
    for place, letter in enumerate(name):
        if _plain(letter):
            pieces.append(letter)
        elif letter in ". " and _plain(name[place - 1 : place]) and _plain(name[place + 1 : place + 2]):
            pieces.append("-" if letter == "." else "--")
        else:
            pieces.append(f"---{ord(letter):x}---")
    return "".join(pieces)


def _plain(letter: str) -> bool:
    return letter.isascii() and (letter.isalnum() or letter == "_")


@lru_cache(maxsize=16384)
def href(origin: str, methods_url: str = "") -> str:
    """The link to where a value comes from: on the page itself, or for a table on the methods page.

    ``origin`` is ``Value.origin``; of ``table <key>: <row>`` the key is the anchor. Others are refused (ValueError).
    """
    kind, name = parted(origin)
    if kind == "table":
        return f"{methods_url}#table-{slug(name.partition(':')[0])}"
    return f"#{kind}-{slug(name)}"


def parted(origin: str) -> tuple[str, str]:
    """An origin as its kind (``given``, ``assumed``, ``table``, ``step``) and the name of what it points to."""
    kind, _, name = origin.partition(" ")
    if kind not in ("given", "assumed", "table", "step"):
        raise ValueError(f"origin {origin!r}: wanted given, assumed, table or step")
    return kind, name
