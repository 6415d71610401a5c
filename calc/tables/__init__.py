"""Every number that is not the user's, with its unit, source, clause, edition and standing."""

from calc.tables.book import Assumed, Clause, RuleBook, Source
from calc.tables.load import load_book, read_book
from calc.tables.table import Cell, Column, NoSuchRow, Scalar, Table, TableError

__all__ = [
    "Assumed",
    "Cell",
    "Clause",
    "Column",
    "NoSuchRow",
    "RuleBook",
    "Scalar",
    "Source",
    "Table",
    "TableError",
    "load_book",
    "read_book",
]
