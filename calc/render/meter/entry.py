"""The fields in which readings are entered, each with what was typed, what is expected there, and what came of it."""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass

from calc.model.meter import (
    BREAKER_OPEN,
    CHARGING,
    FUSES_OUT,
    OUTSIDE,
    STATES,
    Diagnosis,
    Expected,
    Judged,
    MeterSheet,
)
from calc.model.problems import InputProblem
from calc.render.anchors import slug
from calc.render.catalogue import Words
from calc.render.meter.view import band, result_says

STATE = "array.state"
ARRAY = {
    FUSES_OUT: {"array.voltage": "bar", "array.beyond": "beyond"},
    BREAKER_OPEN: {"array.voltage": "array-open", "array.beyond": "beyond"},
    CHARGING: {"array.voltage": "array-voltage", "array.current": "array-current"},
}
"""The fields of the whole array, by how far it is joined, each with the quantity that is read there."""
DEAD = ("bar", "beyond")
"""Where a meter should read nothing."""


@dataclass(frozen=True, slots=True)
class Entered:
    """What was typed, by path, what is wrong with it, the unit system, and which unit stands beside a path's field."""

    texts: Mapping[str, str]
    problems: tuple[InputProblem, ...]
    system: str
    unit_of: Callable[[str, str], str]

    @property
    def state(self) -> str:
        """How far the array is joined; as before joining where that was not said in a known word."""
        said = self.texts.get(STATE, "")
        return said if said in STATES else FUSES_OUT


@dataclass(frozen=True, slots=True)
class EntryField:
    """One field: ``hint`` says what is expected or allowed, ``result`` what came of the reading."""

    id: str
    path: str
    label: str
    value: str
    unit: str
    hint: str = ""
    result: str = ""
    outside: bool = False
    problem: str = ""


@dataclass(frozen=True, slots=True)
class EntryGroup:
    """Fields that belong together under one heading."""

    title: str
    fields: tuple[EntryField, ...]


@dataclass(frozen=True, slots=True)
class EntryView:
    """The whole form."""

    state_id: str
    states: tuple[tuple[str, str, bool], ...]
    moment: EntryGroup
    strings: tuple[EntryGroup, ...]
    array: EntryGroup


def entry_view(sheet: MeterSheet, entered: Entered, words: Words, diagnosis: Diagnosis | None) -> EntryView:
    """Gather the fields of one design in one state.

    Args:
        sheet: what is expected, as made by ``calc.meter.expected.meter_sheet``.
        entered: what was typed.
        words: the word catalogue.
        diagnosis: what the readings come to, where there are any.
    """
    fields = _Fields(sheet, entered, words, diagnosis)
    battery = ("battery.voltage",) if entered.state == CHARGING else ()
    moment = tuple(fields.plain(path) for path in ("sun", "air", "module", *battery))
    return EntryView(
        state_id=f"in-{slug(STATE)}",
        states=tuple((one, words(f"meter-page.state.{one}"), one == entered.state) for one in STATES),
        moment=EntryGroup(words("meter-page.moment"), moment),
        strings=tuple(fields.strings()),
        array=EntryGroup(words("meter.array"), tuple(fields.array())),
    )


class _Fields:
    """Makes the fields of one form."""

    def __init__(
        self,
        sheet: MeterSheet,
        entered: Entered,
        words: Words,
        diagnosis: Diagnosis | None,
    ) -> None:
        self.sheet, self.entered, self.words = sheet, entered, words
        found = () if diagnosis is None else diagnosis.judged
        self.judged = {(one.place, one.quantity): one for one in found}
        self.wrong = {problem.path: problem.wanted for problem in entered.problems}

    def plain(self, path: str) -> EntryField:
        name = path.partition(".")[0]
        return self.field(path, self.words(f"meter-page.label.{name}"), self.words(f"meter-page.hint.{name}"))

    def strings(self) -> Iterator[EntryGroup]:
        shown = ("voc", "isc", "current") if self.entered.state == CHARGING else ("voc", "isc")
        for number, row in enumerate(self.sheet.rows, 1):
            expected = {"voc": row.voc, "isc": row.isc, "current": row.current}
            fields = tuple(
                self.reading(f"string.{number}.{quantity}", quantity, row.name, expected[quantity])
                for quantity in shown
            )
            yield EntryGroup(self.words("meter-page.string", name=row.name), fields)

    def array(self) -> Iterator[EntryField]:
        expected = {one.quantity: one for one in self.sheet.array}
        for path, quantity in ARRAY[self.entered.state].items():
            yield self.reading(path, quantity, "", expected.get(quantity))

    def reading(self, path: str, quantity: str, place: str, expected: Expected | None) -> EntryField:
        words = self.words
        if quantity in DEAD:
            hint = words("meter-page.expect-nothing")
        elif expected is None:
            hint = words("meter-page.expect-unknown")
        else:
            hint = words("meter-page.expect", band=band(expected, words))
        return self.field(path, words(f"meter.short.{quantity}"), hint, self.judged.get((place, quantity)))

    def field(self, path: str, label: str, hint: str, judged: Judged | None = None) -> EntryField:
        unit = self.entered.unit_of(path, self.entered.system)
        return EntryField(
            id=f"in-{slug(path)}",
            path=path,
            label=label,
            value=self.entered.texts.get(path, ""),
            unit=self.words(f"meter-page.unit.{unit}"),
            hint=hint,
            result="" if judged is None else result_says(judged, self.words),
            outside=judged is not None and judged.verdict == OUTSIDE,
            problem=self.wrong.get(path, ""),
        )
