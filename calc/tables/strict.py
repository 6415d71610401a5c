"""Takes keys out of a TOML section one by one and refuses what is missing, of the wrong kind, or left over."""

from collections.abc import Callable, Collection, Mapping
from typing import Any

from calc.tables.table import TableError

KINDS: Mapping[type, str] = {
    str: "text",
    bool: "true or false",
    list: "a list",
    dict: "a section",
    object: "a number or a word",
}


class Section:
    """One section of a table file, with its place for messages (``protection.toml: [device_sizes]``)."""

    def __init__(self, place: str, data: object) -> None:
        """Refuse anything but a section."""
        self.place = place
        if not isinstance(data, dict):
            raise self.wrong(f"is {data!r}", "a section of keys and values")
        self._left: dict[str, Any] = dict(data)
        self._asked: dict[str, None] = {}

    def wrong(self, said: str, wanted: str) -> TableError:
        """Return the error that says what was found here and what is wanted."""
        return TableError(f"{self.place}: {said}; wanted {wanted}")

    def has(self, key: str) -> bool:
        """Whether ``key`` is here and was not taken yet."""
        return key in self._left

    def take(self, key: str, kind: type, default: Any = None) -> Any:
        """Take ``key``, of the given kind; without a default it must be there."""
        self._asked[key] = None
        if key not in self._left:
            if default is None:
                raise self.wrong(f"has no {key}", f"{key} = {KINDS[kind]}")
            return default
        value = self._left.pop(key)
        if not isinstance(value, kind) or (kind is not bool and isinstance(value, bool)):
            raise self.wrong(f"{key} is {value!r}", KINDS[kind])
        return value

    def text(self, key: str, default: str | None = None) -> str:
        """Take a text."""
        found: str = self.take(key, str, default)
        return found

    def texts(self, key: str, default: tuple[str, ...] | None = None) -> tuple[str, ...]:
        """Take a list of texts."""
        found = self.take(key, list, default)
        if not all(isinstance(one, str) for one in found):
            raise self.wrong(f"{key} is {found!r}", "a list of texts")
        return tuple(found)

    def one_of(
        self, key: str, known: Collection[str], default: str | None = None, *, called: str = ""
    ) -> str:
        """Take a text that must be one of ``known``; the message lists them, or says what they are ``called``."""
        found = self.text(key, default)
        if found != default and found not in known:
            raise self.wrong(f"{key} is {found!r}", called or f"one of: {', '.join(known)}")
        return found

    def end(self) -> None:
        """Refuse what nobody took."""
        if self._left:
            left, asked = ", ".join(sorted(self._left)), ", ".join(self._asked)
            raise self.wrong(f"does not know {left}", f"no keys but {asked}")


def each(place: str, data: object, read: Callable[[Section], None]) -> None:
    """Read every section of a list of sections, numbering them in messages."""
    if not isinstance(data, list):
        raise TableError(f"{place}: is {type(data).__name__}; wanted a list of sections, each under [[…]]")
    for number, one in enumerate(data, start=1):
        section = Section(f"{place} number {number}", one)
        read(section)
        section.end()
