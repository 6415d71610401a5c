"""A printed fragment in two layers: its skeleton, and the pieces set into it.

So a changed page is sent only the pieces that changed. Every piece is one element whose id is its name.
"""

import re
from collections.abc import Mapping
from dataclasses import dataclass, field

from markupsafe import Markup

# Stands around a piece's name in a skeleton; no text of a design or a catalogue can hold it.
MARK = "\x00"
PLACE = re.compile(f"{MARK}([^{MARK}]*){MARK}")


@dataclass(frozen=True, slots=True)
class Printed:
    """A fragment: ``skeleton`` with a mark where each of the ``pieces`` stands."""

    skeleton: str
    pieces: Mapping[str, str] = field(default_factory=dict)

    @property
    def text(self) -> str:
        """The whole fragment."""
        return PLACE.sub(lambda found: self.pieces[found[1]], self.skeleton)

    def news(self, there: "Printed | None") -> tuple[str | None, dict[str, str]]:
        """What a page that shows ``there`` has to be sent: the whole text (or None), or the pieces new to it."""
        if there is None or there.skeleton != self.skeleton:
            return self.text, {}
        return None, {name: html for name, html in self.pieces.items() if there.pieces.get(name) != html}


class Pieces:
    """Collects the pieces of one fragment while its template is printed."""

    def __init__(self) -> None:
        """Begin with none."""
        self.made: dict[str, str] = {}

    def place(self, name: str, html: str) -> Markup:
        """Keep a piece, and give the mark that stands for it."""
        self.made[name] = html
        return Markup(f"{MARK}{name}{MARK}")  # a mark, and a name that is safe in an id
