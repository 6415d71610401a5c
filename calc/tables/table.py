"""Tables and single values: entries under named columns, and how a row is looked up.

Exceptions (all of them faults of ours or of an editor of the tables, never of a reader):

    TableError       a table file is not as it should be, or there is no such edition
    └── NoSuchRow    a look-up names a table, column or row that the book does not have
"""

from bisect import bisect_left, bisect_right
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import cast

Entry = float | str | None
"""What stands in a cell: a number, a word, or None where the table gives nothing."""

NEXT_ABOVE = "next at or above"
NEXT_BELOW = "next at or below"
ROW_UNIT = "@"
EDGE_DIGITS = 9
"""Decimals kept before a band is chosen, so that −4 °F, which is −20 °C, is not pushed over an edge by arithmetic."""


class TableError(ValueError):
    """A table file is not as it should be; the message names file, table and row, and says what is wanted."""


class NoSuchRow(TableError):
    """A look-up asks for a table, column or row that the book does not have."""


@dataclass(frozen=True, slots=True)
class Cell:
    """One looked-up entry with its unit and where it stands; ``value`` is None where the table gives nothing."""

    value: Entry
    unit: str
    origin: str

    @property
    def number(self) -> float:
        """The entry as a number; a word or a blank is a fault of ours (TypeError)."""
        if not isinstance(self.value, float):
            raise TypeError(f"{self.origin} is {self.value!r}, not a number")
        return self.value


@dataclass(frozen=True, slots=True, kw_only=True)
class Cited:
    """What every table and single value says of itself: its name, its file, and where its figures come from."""

    key: str
    file: str
    title: str
    source: str
    clause: str
    edition: str
    standing: str
    basis: str = ""
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Scalar(Cited):
    """A value that stands alone."""

    value: Entry
    unit: str
    cell: Cell = field(init=False, repr=False, compare=False)
    """The value as a cell."""

    def __post_init__(self) -> None:
        """Make the cell once."""
        object.__setattr__(self, "cell", Cell(self.value, self.unit, f"table {self.key}"))


@dataclass(frozen=True, slots=True)
class Column:
    """One column: its name in look-ups, its unit, and what it holds in plain words.

    A unit written ``@unit`` means that each row has its own, in the column named after the sign.
    """

    name: str
    unit: str
    holds: str


@dataclass(frozen=True, slots=True)
class Band:
    """How a row is chosen by size: the column compared, and the side on which a value between two rows falls.

    ``ends`` names the column with the other end of each band, if there is one; a value in a gap follows ``takes``.
    """

    by: str
    takes: str
    ends: str


Match = Mapping[str, Entry]
Index = tuple[list[float], list[tuple[Entry, ...]]]


@dataclass(frozen=True, slots=True, kw_only=True)
class Table(Cited):
    """Rows of entries under named columns; ``keys`` name the columns that tell rows apart."""

    columns: tuple[Column, ...]
    keys: tuple[str, ...]
    choose: Band | None
    rows: tuple[tuple[Entry, ...], ...]
    _places: dict[str, int] = field(default_factory=dict, repr=False, compare=False)
    _found: dict[tuple[str, frozenset[tuple[str, Entry]]], Cell] = field(
        default_factory=dict, repr=False, compare=False
    )
    _listed: dict[tuple[str, frozenset[tuple[str, Entry]]], tuple[Entry, ...]] = field(
        default_factory=dict, repr=False, compare=False
    )
    _bands: dict[frozenset[tuple[str, Entry]], Index] = field(default_factory=dict, repr=False, compare=False)
    _banded: dict[tuple[str, int, frozenset[tuple[str, Entry]]], Cell] = field(
        default_factory=dict, repr=False, compare=False
    )

    def __post_init__(self) -> None:
        """Index the columns once."""
        self._places.update({column.name: place for place, column in enumerate(self.columns)})

    def cell(self, column: str, **match: Entry) -> Cell:
        """Return the entry of ``column`` in the one row whose other columns equal ``match`` (NoSuchRow if none)."""
        found = self.find(column, **match)
        if found is None:
            raise NoSuchRow(
                f"{self.file}: [{self.key}] has no row with {self._said(match) or 'anything in it'}"
            )
        return found

    def find(self, column: str, **match: Entry) -> Cell | None:
        """Return what ``cell`` returns, or None when there is no such row (a size the table does not list)."""
        wanted = (column, frozenset(match.items()))
        found = self._found.get(wanted)
        if found is None:
            found = self._search(column, match)
            if found is not None:
                self._found[wanted] = found
        return found

    def band(self, column: str, value: float, **match: Entry) -> Cell:
        """Return the entry of ``column`` in the band in which ``value`` falls, among the rows equal to ``match``.

        Which way a value between two rows falls is the table's own affair (``choose``). A value beyond the last band
        gives a cell without a value.
        """
        choose = self._chooses
        wanted = frozenset(match.items())
        edges, rows = self._index(wanted, match)
        at, above = round(value, EDGE_DIGITS), choose.takes == NEXT_ABOVE
        place = bisect_left(edges, at) if above else bisect_right(edges, at) - 1
        found = self._banded.get((column, place, wanted))
        if found is None:
            found = self._banded[column, place, wanted] = self._in_band(column, place, rows, match)
        return found

    def _in_band(self, column: str, place: int, rows: list[tuple[Entry, ...]], match: Match) -> Cell:
        """The cell of the band at a place, which may be beyond the last row or before the first."""
        choose = self._chooses
        target, by = self._place(column), self._place(choose.by)
        row = rows[place] if 0 <= place < len(rows) else None
        beyond = "beyond the last row" if choose.takes == NEXT_ABOVE else "before the first row"
        where = beyond if row is None else f"{choose.by} {self._words(by, row[by])}"
        return Cell(
            None if row is None else row[target],
            self.columns[target].unit,
            self._origin(column, match, where),
        )

    def column(self, name: str, **match: Entry) -> tuple[Entry, ...]:
        """Return the entries of one column, in the table's order, among the rows equal to ``match``."""
        wanted = (name, frozenset(match.items()))
        if wanted not in self._listed:
            place = self._place(name)
            self._listed[wanted] = tuple(row[place] for row in self._rows(match))
        return self._listed[wanted]

    def numbers(self, name: str, **match: Entry) -> tuple[float, ...]:
        """Return what ``column`` returns as numbers; a word or a blank among them is a fault of ours (TypeError)."""
        found = self.column(name, **match)
        if not all(isinstance(entry, float) for entry in found):
            raise TypeError(f"table {self.key}: {name} is not a number in every row")
        return cast("tuple[float, ...]", found)

    def words(self, name: str, **match: Entry) -> tuple[str, ...]:
        """Return what ``column`` returns as words; a number or a blank among them is a fault of ours (TypeError)."""
        found = self.column(name, **match)
        if not all(isinstance(entry, str) for entry in found):
            raise TypeError(f"table {self.key}: {name} is not a word in every row")
        return cast("tuple[str, ...]", found)

    def _search(self, column: str, match: Match) -> Cell | None:
        target = self._place(column)
        rows = self._rows(match)
        if len(rows) > 1:
            raise NoSuchRow(
                f"{self.file}: [{self.key}] has {len(rows)} rows with {self._said(match) or 'no key given'}; "
                f"rows are told apart by {', '.join(self.keys)}"
            )
        return (
            Cell(rows[0][target], self._unit(target, rows[0]), self._origin(column, match)) if rows else None
        )

    def _rows(self, match: Match) -> list[tuple[Entry, ...]]:
        wanted = [(self._place(name), entry) for name, entry in match.items()]
        return [row for row in self.rows if all(row[place] == entry for place, entry in wanted)]

    @property
    def _chooses(self) -> Band:
        """How a row is chosen by size."""
        if self.choose is None:
            raise NoSuchRow(f"{self.file}: [{self.key}] has no bands")
        return self.choose

    def _index(self, wanted: frozenset[tuple[str, Entry]], match: Match) -> Index:
        if wanted not in self._bands:
            by = self._place(self._chooses.by)
            rows = self._rows(match)
            self._bands[wanted] = ([edge for row in rows if isinstance(edge := row[by], float)], rows)
        return self._bands[wanted]

    def _unit(self, place: int, row: tuple[Entry, ...]) -> str:
        unit = self.columns[place].unit
        return str(row[self._place(unit[1:])]) if unit.startswith(ROW_UNIT) else unit

    def _place(self, column: str) -> int:
        try:
            return self._places[column]
        except KeyError:
            raise NoSuchRow(
                f"{self.file}: [{self.key}] has no column {column!r}; it has {', '.join(self._places)}"
            ) from None

    def _origin(self, column: str, match: Match, where: str = "") -> str:
        return f"table {self.key}: {', '.join(text for text in (self._said(match), where, column) if text)}"

    def _said(self, match: Match) -> str:
        return ", ".join(self._words(self._place(name), entry) for name, entry in match.items())

    def _words(self, place: int, entry: Entry) -> str:
        unit = self.columns[place].unit
        text = f"{entry:g}" if isinstance(entry, (int, float)) else str(entry)
        return f"{text} {unit}" if unit else text
