"""Arrays with one fault, or none, as a meter with ordinary errors reads them: drawn from a seed."""

import random
from dataclasses import dataclass

from calc.meter.compare import diagnose
from calc.meter.expected import meter_sheet
from calc.model.meter import Readings, StringReading
from calc.physics.arrays import Array
from calc.physics.shade import WELL, Plight
from calc.physics.shade import string as string_in
from calc.physics.strings import backwards
from calc.read import read_design

VOLTS, AMPERES, SUN = 0.01, 0.02, 0.10
"""Errors of the meter and of the sun's reading, as the issue of this check states them: even within these ends."""

DESIGN = """
[site]
coldest = "-10 degC"
hottest = "36 degC"
[module]
voc = "{voc} V"
isc = "{isc} A"
vmp = "{vmp} V"
imp = "{imp} A"
voc_coefficient = "-0.30 %/degC"
isc_coefficient = "0.05 %/degC"
bypass_groups = {groups}
max_series_fuse = "20 A"
[array]
modules_in_series = {series}
strings_in_parallel = {strings}
mounting = "open rack"
joining = "{joining}"
{fuse}
{couplers}
[[run]]
name = "home run"
length = "60 ft"
size = "6 AWG"
[controller]
kind = "{kind}"
max_voltage = "400 V"
[battery]
nominal = "{battery} V"
chemistry = "lead-acid flooded"
absorption = "{absorption} V"
"""

MODULES = (
    {"voc": 22.4, "isc": 6.3, "vmp": 18.2, "imp": 6.04, "groups": 2},
    {"voc": 37.8, "isc": 9.2, "vmp": 31.0, "imp": 8.7, "groups": 3},
    {"voc": 45.6, "isc": 9.4, "vmp": 37.4, "imp": 8.9, "groups": 3},
)
SAME = {
    "shorted-module": {"missing-module"},
    "shorted-group": {"shorted-group"},
    "open-module": {"open-string"},
    "reversed-module": {"reversed-module"},
    "reversed-string": {"reversed-string"},
    "blown-fuse": {"blown-fuse", "open-joint"},
    "open-coupler": {"open-coupler"},
    "shade": {"shade"},
    "healthy": {"fits"},
}
"""What each fault is called when it is found."""
FAULTS = tuple(name for name in SAME if name != "healthy")
LOST = {"sky": (0.25, 0.50, 0.75, 0.90), "dark": (1.0,)}
"""Light that shade takes; a meter cannot tell a group of cells in complete darkness from a shorted one."""


@dataclass(frozen=True)
class Drawn:
    """One drawn case: what is wrong, in which string, and what its readings come to."""

    fault: str
    name: str
    moves: float
    diagnosis: object

    def rank(self):
        """The place of the true cause among the causes told, from 1; 0 where it is not among them."""
        if self.fault == "healthy":
            return 1 if self.diagnosis.verdict == "fits" else 0
        wanted = SAME[self.fault]
        for number, cause in enumerate(self.diagnosis.causes, 1):
            if cause.code in wanted and cause.place in ("", self.name):
                return number
        return 0

    def told(self, rank):
        """The cause told at a place, from 1."""
        return self.diagnosis.causes[rank - 1]


def layout(rng):
    """A small array: its text, its shape and its sun."""
    module = rng.choice(MODULES)
    kind = rng.choice(("mppt", "mppt", "pwm"))
    series = 1 if kind == "pwm" else rng.choice((1, 2, 2, 3, 3, 4))
    strings = rng.choice((1, 2, 3, 4, 5, 6))
    battery = 12 if module["voc"] < 30 else 24
    if kind == "mppt":
        battery = 12 if series * module["voc"] < 45 else 24
    fused = strings > 2
    joining = rng.choice(("couplers", "combiner"))
    text = DESIGN.format(
        **module,
        series=series,
        strings=strings,
        joining=joining,
        fuse='string_fuse = "15 A"' if fused else "",
        couplers="",
        kind=kind,
        battery=battery,
        absorption=14.6 if battery == 12 else 29.2,
    )
    return text, rng.uniform(350.0, 1050.0), rng.uniform(-5.0, 34.0)


def possible(setup):
    """The faults that this array can have and that a meter sees at all."""
    stand = setup.stand
    build = stand.kinds[0].build
    found = ["open-module", "shorted-module", "reversed-string", "blown-fuse", "shade"]
    if build.groups > 1:
        found.append("shorted-group")
    if build.modules > 1:
        found.append("reversed-module")
    if any(joined > 1 for _, joined in stand.joined):
        found.append("open-coupler")
    return found


def suffer(rng, fault, stand, light):
    """The string in trouble (None where it is cut off), and how many strings are cut off behind the meter's place."""
    kind = stand.kinds[0]
    build, sun = kind.build, kind.sun
    groups, modules = build.groups, build.modules
    plight, turned, out = WELL, False, 0
    if fault == "shade":
        count = rng.choice([1, -(-groups // 2), groups, groups * modules])
        plight = Plight(shaded=((count, rng.choice(LOST[light])),))
    elif fault == "shorted-module":
        plight = Plight(shorted=groups)
    elif fault == "shorted-group":
        plight = Plight(shorted=1)
    elif fault == "reversed-module":
        plight = Plight(turned=1)
    elif fault == "reversed-string":
        turned = True
    elif fault == "blown-fuse":
        out = 1
    elif fault == "open-coupler":
        out = rng.choice([joined for _, joined in stand.joined if joined > 1])
    if fault in ("blown-fuse", "open-coupler", "healthy"):
        return string_in(build, sun, WELL), out
    if fault == "open-module":
        return None, 0
    found = string_in(build, sun, plight)
    return (backwards(found) if turned else found), 0


def draw(rng, fault, book, light="sky"):
    """One case: an array with a fault, read with errors; ``fault`` is "any" for one of those it can have."""
    text, sun, air = layout(rng)
    design = read_design(text)
    true = meter_sheet(design, book, sun=sun, air=air)
    setup = true.setup
    if fault == "any":
        fault = rng.choice(possible(setup))
    elif fault != "healthy" and fault not in possible(setup):
        return draw(rng, fault, book, light)
    stand = setup.at(sun, setup.cells(sun, air))
    kind = stand.kinds[0]
    own, out = suffer(rng, fault, stand, light)
    well = string_in(kind.build, kind.sun, WELL)
    at = 0 if fault == "open-coupler" else rng.randrange(kind.count)
    if fault in ("healthy", "blown-fuse", "open-coupler"):
        cut = set(range(at, at + out))
        joined = ((well, kind.count - out),) if kind.count > out else ()
    else:
        cut = {at} if own is None else set()
        joined = tuple(one for one in ((own, 1), (well, kind.count - 1)) if one[0] is not None and one[1])
    array = Array(joined, stand.run_ohm) if joined else None
    works = setup.controller.works(array).best if array else None
    exact = []
    for place in range(kind.count):
        string = own if place == at and fault not in ("healthy", "blown-fuse", "open-coupler") else well
        voc, isc = (0.0, 0.0) if string is None else (string.voc(), string.current(0.0))
        current = None
        if fault != "reversed-string":  # found before joining, and then nothing is joined
            current = (
                0.0
                if place in cut or works is None
                else array.currents(works.state)[0 if string is joined[0][0] else 1]
            )
        exact.append((voc, isc, current))
    return _read(rng, design, book, (fault, at, sun, air, exact, works, true))


def _read(rng, design, book, found):
    fault, at, sun, air, exact, works, true = found
    healthy = true.rows[0]

    def volts(value):
        return None if value is None else value * (1.0 + rng.uniform(-VOLTS, VOLTS))

    def amperes(value):
        return None if value is None else value * (1.0 + rng.uniform(-AMPERES, AMPERES))

    joined = fault != "reversed-string"
    said_sun = sun * (1.0 + rng.uniform(-SUN, SUN))
    readings = Readings(
        sun=said_sun,
        air=air,
        strings=tuple(StringReading("", volts(v), amperes(i), amperes(c)) for v, i, c in exact),
        voltage=(volts(works.state.voltage_V) if works else 0.0) if joined else None,
        current=(amperes(works.state.current_A) if works else 0.0) if joined else None,
    )
    moves = [
        abs(read - row.value) / row.value
        for reads in exact
        for read, row in zip(reads, (healthy.voc, healthy.isc, healthy.current), strict=True)
        if read is not None and row is not None and row.value > 0.0
    ]
    moves += [
        abs(got - one.value) / one.value
        for got, one in (
            [(works.state.voltage_V, true.array[1]), (works.state.current_A, true.array[2])]
            if works and joined
            else []
        )
        if one.value > 0.0
    ]
    sheet = meter_sheet(design, book, sun=said_sun, air=air)
    return Drawn(fault, sheet.rows[at].name, max(moves), diagnose(sheet, readings))


def measure(cases, seed, book, light="sky"):
    """Draw so many cases with a fault and as many without one; the cases, faulty then healthy."""
    rng = random.Random(seed)
    faulty = [draw(rng, "any", book, light) for _ in range(cases)]
    return faulty, [draw(rng, "healthy", book, light) for _ in range(cases)]
