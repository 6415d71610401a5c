"""One small array with round numbers, changed line by line, and the finding a test is about.

Everything holds with room to spare, so that a test changes only what it is about. Worked out by hand:

    cold cell -15 degC, 40 K below 25 degC: Voc 25 V grows by 40 x 0.25 % = 10 %: 27.5 V a module, 55 V a string of two
    hot cell 33.75 + (45 - 20) / 800 x 1000 = 65 degC, 40 K above: Vmp 20 V falls by 20 %: 16 V, 32 V a string
    Isc 8 A: 1.25 x 8 = 10 A a string at most, 1.25 x 10 = 12.5 A design; two strings 20 A and 25 A
    Imp 7.5 A, no change with heat: 15 A from two strings; power 4 x 20 V x 7.5 A = 600 W; charge 600 W / 24 V = 25 A
    run: 10 mm2 copper at 20 degC is 1.95 ohm/km (IEC 60228): 2 x 10 m x 1.95 = 0.039 ohm; x 15 A = 0.585 V
"""

import tomllib
from copy import deepcopy
from functools import cache

import tomli_w

from calc.assess import assess
from calc.model.problems import Refused
from calc.read.scenario import read_design
from calc.tables import load_book

BENCH = """
[site]
coldest = "-15 degC"
hottest = "33.75 degC"
building = "none"
rules = "us-2023"

[module]
label = "150 W, 40 cells"
pmax = "150 W"
voc = "25 V"
isc = "8 A"
vmp = "20 V"
imp = "7.5 A"
voc_coefficient = "-0.25 %/degC"
isc_coefficient = "0.05 %/degC"
vmp_coefficient = "-0.5 %/degC"
imp_coefficient = "0 %/degC"
noct = "45 degC"
max_series_fuse = "20 A"
max_system_voltage = "600 V"
rear_gain = "0 %"

[array]
modules_in_series = 2
strings_in_parallel = 2
mounting = "open rack"
joining = "couplers"
string_fuse = "none"

[[coupler]]
inputs = 2
rating = "30 A"
voltage_rating = "600 V"

[[run]]
name = "home run"
carries = "array"
length = "10 m"
size = "10 mm2"
material = "copper"
insulation = "90 degC"
routing = "conduit"
ambient = "30 degC"
conductors_in_conduit = 2
terminals = "75 degC"
conductor_temperature = "20 degC"
voltage_rating = "600 V"
max_drop = "3 %"

[disconnect]
rating = "40 A"
voltage_rating = "150 V"

[grounding]
conductor = "10 AWG"

[controller]
kind = "mppt"
max_voltage = "100 V"
start_margin = "5 V"
run_margin = "1 V"
own_drop = "0.5 V"
max_input_current = "40 A"
rated_output_current = "30 A"
clipping_accepted = "0 %"
blocks_reverse = true

[battery]
nominal = "24 V"
chemistry = "lead-acid flooded"
absorption = "28.8 V"
lowest = "24 V"
device = "40 A"
"""

COMBINER = {
    "array.joining": "combiner",
    "coupler": None,
    "combiner": {"circuits": 4, "bar_rating": "60 A", "breaker": "30 A", "voltage_rating": "150 V"},
}
"""Changes that join the strings in a combiner instead."""


@cache
def book():
    return load_book()


def put(document, path, value):
    """Set ``path`` (as in findings and fixes) in a nested document; None takes the line or the whole table away."""
    *where, name = steps_to(document, path)
    table = document
    for key in where:
        table = table[key] if isinstance(key, int) else table.setdefault(key, {})
    if value is None:
        table.pop(name, None)
    else:
        table[name] = deepcopy(value)


def steps_to(document, path):
    """Keys and places on the way to a path; tables that repeat are made when they are not there yet."""
    section, _, rest = path.partition(".")
    if not rest:
        return (section,)
    if section == "run":
        name, _, field = rest.rpartition(".")
        tables = document.setdefault("run", [])
        return ("run", next(place for place, run in enumerate(tables) if run["name"] == name), field)
    if section in ("coupler", "string"):
        number, *inner = rest.split(".")
        tables = document.setdefault(section, [])
        while len(tables) < int(number):
            tables.append({})
        return (section, int(number) - 1, *inner)
    return (section, *rest.split("."))


def changed(changes=None, text=BENCH):
    """The text of the design with ``changes`` by path."""
    document = tomllib.loads(text)
    for path, value in (changes or {}).items():
        put(document, path, value)
    return tomli_w.dumps(document)


def design(changes=None, text=BENCH):
    """The design with ``changes``; a refused one is a fault of the test."""
    found = read_design(changed(changes, text))
    assert not isinstance(found, Refused), [problem.line() for problem in found.problems]
    return found


def assessed(changes=None, text=BENCH):
    return assess(design(changes, text), book())


def findings(changes, name, text=BENCH):
    """Every finding with an id, by part."""
    return {found.part: found for found in assessed(changes, text).findings if found.id == name}


def finding(changes, name, part):
    """The finding with an id that is about ``part``."""
    return findings(changes, name)[part]


def numbers(found):
    """What was worked out, the limit and the margin."""
    return found.actual.number, found.limit.number, found.margin
