"""A file of meter readings, or the same tables from a form, as Readings; or everything that is wrong with it at once.

Everything may be left out; what is there is judged. All quantities are text with a unit::

    sun = "820 W/m2"  # in the plane of the modules; or "unknown"
    air = "18 degC"  # the air, or better
    module = "41 degC"  # the back of a module

    [[string]]  # one for each string, in the order of the design
    name = "S1"
    voc = "62.1 V"  # open, before joining
    isc = "5.2 A"  # shorted through the meter, before joining
    current = "4.9 A"  # by clamp, while the array charges

    [array]
    state = "charging"  # fuses out | breaker open | charging
    voltage = "50.1 V"  # on the array's side of the breaker
    current = "9.8 A"
    beyond = "0 V"  # on the controller's side of the open breaker

    [battery]
    voltage = "27.9 V"
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from difflib import get_close_matches

from calc.model.design import Given
from calc.model.fields import Field
from calc.model.meter import CHARGING, STATES, Readings, StringReading
from calc.model.problems import Refused
from calc.read.names import part
from calc.read.reading import Reading
from calc.read.text import read_toml
from calc.read.words import Mistake, Nothing, Phrase, Trail, Wrong, plain, put, quoted

UNKNOWN = ("unknown", "don't know", "not known")
MOST_STRINGS = 200
NEAR = 0.7
ANY_V, ANY_A = 3000.0, 2000.0
"""Readings may also be below zero: that is how a reversed string shows itself."""


def _volts(path: str, example: str) -> Field:
    return Field(path, "quantity", "V", low=-ANY_V, high=ANY_V, example=example)


def _amps(path: str, example: str) -> Field:
    return Field(path, "quantity", "A", low=-ANY_A, high=ANY_A, example=example)


READING_FIELDS: tuple[Field, ...] = (
    Field("sun", "quantity", "W/m2", low=0.0, high=1600.0, example="820 W/m2", above_low=True),
    Field("air", "temperature", "degC", low=-60.0, high=60.0, example="18 degC"),
    Field("module", "temperature", "degC", low=-60.0, high=110.0, example="41 degC"),
    Field("string.<string>.name", "text", example="S1"),
    _volts("string.<string>.voc", "62.1 V"),
    _amps("string.<string>.isc", "5.2 A"),
    _amps("string.<string>.current", "4.9 A"),
    Field("array.state", "choice", choices=STATES, example=CHARGING),
    _volts("array.voltage", "50.1 V"),
    _amps("array.current", "9.8 A"),
    _volts("array.beyond", "0 V"),
    _volts("battery.voltage", "27.9 V"),
)
"""Every line of a readings file, in order, as the page that documents the format lists it."""


def _table(name: str) -> dict[str, Field]:
    """The fields of one table by name; those of "" stand above the first table."""
    mine = [one for one in READING_FIELDS if one.path.rpartition(".")[0].partition(".")[0] == name]
    return {one.path.rpartition(".")[2]: one for one in mine}


TABLES: Mapping[str, dict[str, Field]] = {name: _table(name) for name in ("", "string", "array", "battery")}
HEADERS = {"string": "[[string]]", "array": "[array]", "battery": "[battery]"}


@dataclass(slots=True)
class _Tables:
    """The tables of a document, as they are read."""

    reading: Reading = field(default_factory=Reading)

    def lines(self, table: str, found: Mapping[str, object], path: str, trail: Trail) -> None:
        """Read the lines of one table."""
        fields = TABLES[table]
        for name, raw in found.items():
            if name in fields:
                if not (name == "sun" and isinstance(raw, str) and raw.strip().casefold() in UNKNOWN):
                    self.reading.value(fields[name], raw, path + name, (*trail, name))
            elif table or name not in HEADERS:
                self.unknown(table, name, raw, path, (*trail, name))

    def unknown(self, table: str, name: str, raw: object, path: str, trail: Trail) -> None:
        """Note a line or table that no readings file has."""
        said = part(name)
        if not table and isinstance(raw, Mapping | list):
            near = _near(said, HEADERS)
            wrong = (
                Wrong("name.unknown-table-near", {"near": HEADERS[near]})
                if near
                else Wrong("name.unknown-table", {"names": ", ".join(HEADERS.values())})
            )
            written, example = f"[{said}]", HEADERS[near or "string"]
        else:
            fields, where = TABLES[table], HEADERS.get(table, "the lines above the first table")
            near = _near(said, fields)
            wrong = (
                Wrong("name.unknown-near", {"where": where, "near": near})
                if near
                else Wrong("name.unknown", {"where": where, "names": ", ".join(fields)})
            )
            shown = near or next(iter(fields))
            written, example = f"{said} = {quoted(raw)}", f'{shown} = "{fields[shown].example}"'
        self.reading.refuse(path + said, trail, Phrase("as-is", {"text": plain(written)}), wrong, example)

    def tables(self, document: Mapping[str, object]) -> int:
        """Read everything; the number of strings."""
        self.lines("", document, "", ())
        strings = document.get("string", [])
        listed = strings if isinstance(strings, list) else None
        if listed is None:
            self.brackets("string", strings, "string", ("string",))
        elif len(listed) > MOST_STRINGS:
            said = Phrase("entries", {"count": str(len(listed))})
            wrong = Wrong("name.too-many", {"limit": str(MOST_STRINGS)})
            self.reading.refuse("string", ("string",), said, wrong, HEADERS["string"])
            listed = None
        for place, table in enumerate(listed or ()):
            if isinstance(table, Mapping):
                self.lines("string", table, f"string.{place + 1}.", ("string", place))
            else:
                self.brackets("string", table, f"string.{place + 1}", ("string", place))
        for name in ("array", "battery"):
            table = document.get(name, {})
            if isinstance(table, Mapping):
                self.lines(name, table, f"{name}.", (name,))
            else:
                self.brackets(name, table, name, (name,))
        return len(listed or ())

    def brackets(self, name: str, raw: object, path: str, trail: Trail) -> None:
        """Note a table in the wrong brackets, or none."""
        code = "name.many-tables" if name == "string" else "name.one-table"
        said: object = Phrase("as-is", {"text": f"[{name}]"}) if isinstance(raw, Mapping) else raw
        self.reading.refuse(path, trail, said, Wrong(code, {"table": HEADERS[name]}), HEADERS[name])


def read_readings(text: str | bytes, language: str = "en") -> Readings | Refused:
    """The readings written in ``text`` (TOML); refuses with every problem at once, in the order of the file."""
    document = read_toml(text)
    if isinstance(document, Mistake):
        return Refused((put(document, language),))
    return read_readings_document(document, language)


def read_readings_document(document: Mapping[str, object], language: str = "en") -> Readings | Refused:
    """The readings in a document of tables, as TOML or a form gives it; refuses like ``read_readings``."""
    if not isinstance(document, Mapping) or not document:
        return Refused(
            (put(Mistake("", (), Nothing(), Wrong("readings.empty"), HEADERS["string"]), language),)
        )
    tables = _Tables()
    count = tables.tables(document)
    if tables.reading.mistakes:
        return tables.reading.problems(document, language)
    values = tables.reading.values
    return Readings(
        sun=_number(values.get("sun")),
        air=_number(values.get("air")),
        module=_number(values.get("module")),
        strings=tuple(_string(values, f"string.{number}.") for number in range(1, count + 1)),
        voltage=_number(values.get("array.voltage")),
        current=_number(values.get("array.current")),
        beyond=_number(values.get("array.beyond")),
        state=str(values["array.state"].value) if "array.state" in values else CHARGING,
        battery=_number(values.get("battery.voltage")),
    )


def _string(values: Mapping[str, Given], start: str) -> StringReading:
    name = values.get(start + "name")
    return StringReading(
        "" if name is None else str(name.value),
        *(_number(values.get(start + one)) for one in ("voc", "isc", "current")),
    )


def _number(given: Given | None) -> float | None:
    return None if given is None else float(given.value)


def _near(said: str, known: Iterable[str]) -> str:
    return next(iter(get_close_matches(said.casefold(), list(known), 1, NEAR)), "")
