"""Parts that repeat or stand for each other: runs and their names, an array's counts, and each string's module."""

from collections.abc import Mapping

from calc.model.design import Given
from calc.read.reading import Reading
from calc.read.sections import BY_PATH, SECTIONS
from calc.read.value import read_value
from calc.read.words import Nothing, Wrong

COUNTS = ("array.modules_in_series", "array.strings_in_parallel")

Table = Mapping[str, object]
Tables = dict[int, Table]
"""The tables of one name by their place in the file, counted from 0."""


def run_names(reading: Reading, tables: Tables) -> dict[int, str]:
    """A name for each run, by its place: the one given, else "run 1"; notes a name that two runs have."""
    about = BY_PATH["run.<run>.name"]
    given = {place: read_value(about, table["name"]) for place, table in tables.items() if "name" in table}
    taken = {str(name.value) for name in given.values() if isinstance(name, Given)}
    names: dict[int, str] = {}
    for place in tables:
        name = given.get(place)
        free = next(
            free
            for number in range(place + 1, place + len(taken) + 2)
            if (free := f"run {number}") not in taken
        )
        if isinstance(name, Given) and name.value not in names.values():
            names[place] = str(name.value)
            continue
        if isinstance(name, Given):
            path = f"run.{name.value}.name"
            reading.refuse(path, ("run", place, "name"), name.said, Wrong("name.run-name-twice"), f'"{free}"')
        names[place] = free
        taken.add(free)
    return names


def counts(reading: Reading, document: Table) -> None:
    """An array's two counts stand in [array], or in [[string]] tables, never in both."""
    array, strings = document.get("array", {}), document.get("string")
    if not isinstance(array, Mapping):
        return
    for path in COUNTS:
        about = BY_PATH[path]
        section, name = path.split(".")
        if strings and name in array:
            reading.refuse(path, (section, name), array[name], Wrong("together.both"), "[[string]]")
        elif not strings and name not in array:
            reading.missing(about, path, (section, name), "together.no-counts")


def modules(reading: Reading, document: Table, strings: Tables) -> tuple[str, ...]:
    """The beginnings of the paths of every module described; notes where a string has none."""
    own = [place for place, table in strings.items() if "module" in table]
    found = tuple(f"string.{place + 1}.module." for place in own)
    if "module" in document:
        return ("module.", *found)
    if not own:
        for name, about in SECTIONS["module"].fields.items():
            if about.required:
                reading.missing(about, about.path, ("module", name))
    for place in strings:
        if own and place not in own:
            path, trail = f"string.{place + 1}.module", ("string", place, "module")
            reading.refuse(path, trail, Nothing(), Wrong("together.string-module"), "[string.module]")
    return found
