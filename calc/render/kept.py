"""What was made for each place on a page, so that a report made again makes only what a change touched."""

from collections.abc import Callable, Hashable
from typing import Generic, TypeVar

Made = TypeVar("Made")
MOST = 4096
"""Places that are kept; a page has some two hundred."""


class Kept(Generic[Made]):
    """The last thing made for each place, with what it was made from.

    Only the last one is kept, since a reader changes one design back and forth. Sources are compared by ``==``, so a
    place must not hold yes at one time and the number 1 at another; a step's or a finding's place never does.
    """

    def __init__(self) -> None:
        """Begin with nothing made."""
        self._made: dict[Hashable, tuple[object, Made]] = {}

    def get(self, place: Hashable, source: object, make: Callable[[], Made]) -> Made:
        """What stands at ``place``: made before from the same ``source``, or made now."""
        found = self._made.get(place)
        if found is not None and (found[0] is source or found[0] == source):
            return found[1]
        if len(self._made) >= MOST:
            self._made.clear()
        made = make()
        self._made[place] = (source, made)
        return made
