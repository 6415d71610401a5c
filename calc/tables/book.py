"""The rule book: sources, tables, single values, assumptions, and what was considered clause by clause."""

from collections.abc import Mapping
from dataclasses import dataclass

from calc.model.design import Given
from calc.tables.table import Cell, NoSuchRow, Scalar, Table

STANDINGS = ("seen in print", "from memory", "computed", "common practice", "our own choice")
STATUSES = ("checked", "partly", "not checked")


@dataclass(frozen=True, slots=True, kw_only=True)
class Source:
    """One line of the bibliography; ``standing`` says whether the document itself was seen."""

    key: str
    title: str
    publisher: str
    edition: str
    year: str
    url: str
    standing: str
    note: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Assumed:
    """What is taken when nobody gave the value at ``path``.

    It stands here as ``value`` (text, as in a design file), or in a ``table`` and ``column``, or is the ``same_as``
    another path. ``given`` is the value itself, or None when the design has to choose it: a row, or the other path.
    """

    path: str
    value: str
    table: str
    column: str
    same_as: str
    given: Given | None
    why: str
    safe_side: bool
    standing: str
    source: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Clause:
    """One clause or hazard that was considered: whether it is checked, by which findings, and if not, why."""

    clause: str
    title: str
    status: str
    findings: tuple[str, ...]
    says: str
    why: str
    edition: str
    standing: str


@dataclass(frozen=True, slots=True, kw_only=True)
class RuleBook:
    """Everything the core knows that is not the user's, for one rule set; handed on as an argument, never a global."""

    id: str
    title: str
    hash: str
    sources: Mapping[str, Source]
    tables: Mapping[str, Table]
    scalars: Mapping[str, Scalar]
    assumptions: Mapping[str, Assumed]
    coverage: tuple[Clause, ...]

    def table(self, key: str) -> Table:
        """Return the table named ``key`` (NoSuchRow if there is none)."""
        if key not in self.tables:
            raise NoSuchRow(f"the rule book {self.id} has no table {key!r}")
        return self.tables[key]

    def scalar(self, key: str) -> Cell:
        """Return the single value named ``key`` as a cell (NoSuchRow if there is none)."""
        if key not in self.scalars:
            raise NoSuchRow(f"the rule book {self.id} has no single value {key!r}")
        return self.scalars[key].cell

    def cited(self, key: str) -> Table | Scalar:
        """Return the table or single value named ``key``: its title, source, clause, edition and standing."""
        return self.scalars[key] if key in self.scalars else self.table(key)
