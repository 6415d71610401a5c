"""Reads and checks every table file and makes the rule book; nothing else in the core opens these files."""

import hashlib
import json
import tomllib
from collections.abc import Collection, Mapping
from functools import cache
from pathlib import Path
from types import MappingProxyType
from typing import Any

from calc.tables.book import RuleBook
from calc.tables.grid import read_one
from calc.tables.registers import read_assumptions, read_coverage, read_source
from calc.tables.table import Scalar, Table, TableError

HERE = Path(__file__).parent
EDITIONS: Mapping[str, str] = {"us-2023": "National Electrical Code, 2023 edition (United States)"}
LATER = ("iec-2023",)
READ = "read.json"
OTHER_SHAPES = ("sources.toml", "assumptions.toml", "coverage.toml")


def load_book(edition: str = "us-2023") -> RuleBook:
    """Return the rule book of ``edition``, read once; refuses (TableError) an edition that is not here."""
    return _once(edition)


@cache
def _once(edition: str) -> RuleBook:
    return read_book(HERE, edition)


def read_book(folder: Path, edition: str) -> RuleBook:
    """Read the table files of ``folder`` into a rule book; refuses (TableError) the first thing that is not right."""
    if edition not in EDITIONS:
        known = ", ".join(EDITIONS)
        why = "is planned and not here yet" if edition in LATER else "is not a rule set"
        raise TableError(f"rules {edition!r} {why}; wanted one of: {known}")
    texts = {path.name: path.read_text(encoding="utf-8") for path in sorted(folder.glob("*.toml"))}
    data = _read(folder) or {name: _parse(name, text) for name, text in texts.items()}
    for name in OTHER_SHAPES:
        if name not in data:
            raise TableError(f"{name}: is missing; wanted beside the table files")
    sources = {key: read_source(key, one) for key, one in data["sources.toml"].items()}
    tables, scalars = _tables(data, sources)
    return RuleBook(
        id=edition,
        title=EDITIONS[edition],
        hash=_hash(texts),
        sources=MappingProxyType(sources),
        tables=MappingProxyType(tables),
        scalars=MappingProxyType(scalars),
        assumptions=MappingProxyType(
            read_assumptions(data["assumptions.toml"], sources, {**tables, **scalars})
        ),
        coverage=read_coverage(data["coverage.toml"]),
    )


def _read(folder: Path) -> dict[str, dict[str, Any]]:
    """What stands in the files, where a script has read them already, for browsers."""
    read = folder / READ
    return json.loads(read.read_text("utf-8")) if read.is_file() else {}


def _parse(name: str, text: str) -> dict[str, Any]:
    try:
        return tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise TableError(f"{name}: is not TOML ({error}); wanted a table file") from error


def _hash(texts: Mapping[str, str]) -> str:
    """Twelve digits that change when any table file does; line ends do not count."""
    whole = hashlib.sha256()
    for name, text in texts.items():
        whole.update(f"{name}\n{text}\n".encode())
    return whole.hexdigest()[:12]


def _tables(
    data: Mapping[str, Mapping[str, Any]], sources: Collection[str]
) -> tuple[dict[str, Table], dict[str, Scalar]]:
    tables: dict[str, Table] = {}
    scalars: dict[str, Scalar] = {}
    for file, sections in data.items():
        for key, one in sections.items() if file not in OTHER_SHAPES else ():
            if key in tables or key in scalars:
                raise TableError(f"{file}: [{key}] stands in another file too; wanted each name once")
            found = read_one(file, key, one, sources)
            if isinstance(found, Table):
                tables[key] = found
            else:
                scalars[key] = found
    return tables, scalars
