"""What has been read so far, and the mistakes found on the way."""

from collections.abc import Mapping
from dataclasses import dataclass, field

from calc.model.design import Given
from calc.model.problems import Refused
from calc.read.fields import Field
from calc.read.value import read_value, unusual
from calc.read.words import Mistake, Nothing, Phrase, Trail, Wrong, put

MOST = 100
"""Mistakes told one by one; a file with more is not a design file with mistakes but something else."""


@dataclass(slots=True)
class Reading:
    """Values, notes and mistakes of one document while it is read."""

    values: dict[str, Given] = field(default_factory=dict)
    notes: list[tuple[str, str]] = field(default_factory=list)
    mistakes: list[Mistake] = field(default_factory=list)
    further: int = 0

    @property
    def full(self) -> bool:
        """Whether enough mistakes have been described; more are only counted."""
        return len(self.mistakes) >= MOST

    def refuse(
        self, path: str, trail: Trail, said: object, wrong: Wrong, example: str, about: Field | None = None
    ) -> None:
        """Note one mistake."""
        if self.full:
            self.further += 1
        else:
            self.mistakes.append(Mistake(path, trail, said, wrong, example, about))

    def value(self, about: Field, raw: object, path: str, trail: Trail) -> Given | None:
        """Read one value and keep it under ``path``, or note why it cannot be taken."""
        given = read_value(about, raw)
        if isinstance(given, Wrong):
            self.refuse(path, trail, raw, given, example(about, given), about)
            return None
        self.values[path] = given
        if about.usual and given.unit == about.unit and unusual(about, float(given.value)):
            self.notes.append((path, "unusual"))
        return given

    def missing(self, about: Field, path: str, trail: Trail, code: str = "value.missing") -> None:
        """Note that a value is not there."""
        self.refuse(path, trail, Nothing(), Wrong(code), example(about), about)

    def problems(self, document: Mapping[str, object], language: str) -> Refused:
        """Every mistake in words, in the order of the file."""
        ordered = sorted(self.mistakes, key=lambda mistake: _place(document, mistake.trail))
        told = [put(mistake, language) for mistake in ordered]
        if self.further:
            more = Phrase("further", {"count": str(self.further)})
            told.append(put(Mistake("", (), more, Wrong("file.further"), told[0].example), language))
        return Refused(tuple(told))


def example(about: Field, wrong: Wrong | None = None) -> str:
    """A right answer as a file would have it: the author's own put right where that can be done, else the field's."""
    better = wrong.better if wrong else ""
    text = better if better and isinstance(read_value(about, better), Given) else about.example
    return text if about.kind in {"count", "flag"} else f'"{text}"'


def _place(document: object, trail: Trail) -> list[int]:
    """Where in the file a mistake stands, for sorting; what is missing comes after what is there."""
    place: list[int] = []
    for key in trail:
        if isinstance(document, Mapping):
            keys = list(document)
            place.append(keys.index(key) if key in document else len(keys))
            document = document.get(key)
        elif isinstance(document, list) and isinstance(key, int) and key < len(document):
            place.append(key)
            document = document[key]
        else:
            place.append(0)
            document = None
    return place
