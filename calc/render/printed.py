"""A printed fragment in layers: its skeleton, and the pieces set into it, which may have pieces of their own.

So a changed page is sent only the pieces that changed. Every piece is one element whose id is its name.
"""

import re
from collections.abc import Mapping
from dataclasses import dataclass, field

from markupsafe import Markup

# Stands around a piece's name in a skeleton; no text of a design or a catalogue can hold it.
MARK = "\x00"
PLACE = re.compile(f"{MARK}([^{MARK}]*){MARK}")


def place_of(name: str) -> Markup:
    """The mark that stands for a piece; its name is safe in an id."""
    return Markup(f"{MARK}{name}{MARK}")


@dataclass(frozen=True, slots=True)
class Printed:
    """A fragment: ``skeleton`` with a mark where each of the ``pieces`` stands."""

    skeleton: str
    pieces: "Mapping[str, Printed]" = field(default_factory=dict)

    @property
    def text(self) -> str:
        """The whole fragment."""
        if not self.pieces:
            return self.skeleton
        return PLACE.sub(lambda found: self.pieces[found[1]].text, self.skeleton)

    def news(self, there: "Printed | None") -> tuple[str | None, dict[str, str]]:
        """What a page that shows ``there`` has to be sent: the whole text (or None), or the pieces new to it."""
        if there is None or there.skeleton != self.skeleton:
            return self.text, {}
        changed: dict[str, str] = {}
        for name, piece in self.pieces.items():
            stands = there.pieces.get(name)
            if stands is piece:
                continue
            whole, inner = piece.news(stands)
            changed |= inner if whole is None else {name: whole}
        return None, changed


class Pieces:
    """Collects the pieces of one fragment while its template is printed."""

    def __init__(self) -> None:
        """Begin with none."""
        self.made: dict[str, Printed] = {}

    def place(self, name: str, piece: Printed) -> Markup:
        """Keep a piece, and give the mark that stands for it."""
        self.made[name] = piece
        return place_of(name)
