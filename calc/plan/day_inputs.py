"""What a design's day is worked out from: site, air, array, controller and battery, each value with its origin."""

from collections.abc import Mapping
from dataclasses import dataclass
from math import cos, pi

from calc.derive.battery import controller_kind, missing_battery
from calc.derive.curves import module_model
from calc.derive.parts import Strings, run_part, runs_carrying, string_groups
from calc.derive.trace import Trace
from calc.model.assessment import Assessment, Quantity, Unknown, Value
from calc.model.design import Design, Given
from calc.model.units import convert
from calc.physics.curve import ModuleModel
from calc.physics.day import Array, Battery, Controller
from calc.physics.daylight import Air, Daylight, Site, daylight
from calc.physics.feed import AlikeStrings, UnlikeStrings, alike
from calc.physics.sky import Plane
from calc.physics.sun import days_since_2000
from calc.plan.fault_inputs import working_of
from calc.tables import RuleBook

NORTH, SOUTH = "north", "south"
MONTHS, DAYS = 12, 365.25


@dataclass(frozen=True, slots=True)
class Run:
    """One run: its name, what it carries (string, array or battery), and its resistance out and back, ohm."""

    name: str
    carries: str
    ohm: float


@dataclass(frozen=True, slots=True)
class Kind:
    """Strings of one kind: module, modules in series, strings, cells' rise in full sun (K), rear light."""

    module: ModuleModel
    series: int
    parallel: int
    rise_K: float
    rear_gain: float


@dataclass(frozen=True, slots=True)
class Inputs:
    """Everything a day needs, taken from a design once.

    ``values`` has each number with its origin, by the name under which the working lists it.
    """

    book: RuleBook
    values: Mapping[str, Value]
    kinds: tuple[Kind, ...]
    runs: tuple[Run, ...]
    controller: Controller
    battery: Battery
    longitude_deg: float | None
    left_out: tuple[tuple[str, str], ...]

    @property
    def hemisphere(self) -> str:
        """The half of the earth on which the site lies; the equator counts as north."""
        return NORTH if self.values["latitude"].number >= 0.0 else SOUTH

    def array(self, series: int = 0, parallel: int = 0) -> Array:
        """The array as its controller sees it: as designed, or the same modules in another layout."""
        string_ohm, array_ohm = (
            sum(run.ohm for run in self.runs if run.carries == carries) for carries in ("string", "array")
        )

        def joined(kind: Kind, last_ohm: float) -> AlikeStrings:
            return alike(
                kind.module,
                series or kind.series,
                parallel or kind.parallel,
                rise_K=kind.rise_K,
                rear_gain=kind.rear_gain,
                string_ohm=string_ohm,
                array_ohm=last_ohm,
            )

        if len(self.kinds) == 1:
            return joined(self.kinds[0], array_ohm)
        return UnlikeStrings(tuple(joined(kind, 0.0) for kind in self.kinds), array_ohm)

    def day(self, month: int, date: int) -> Daylight:
        """Light and air of a date under a clear sky."""
        year = int(self.book.scalar("day_year").number)
        season = month if self.hemisphere == NORTH else (month + MONTHS // 2 - 1) % MONTHS + 1
        number = {name: value.number for name, value in self.values.items()}
        site = Site(
            latitude_deg=number["latitude"],
            plane=Plane(number["tilt"], number["azimuth"]),
            longitude_deg=self.longitude_deg or 0.0,
            elevation_m=number["elevation"],
            turbidity=self.book.table("clear_air").cell("turbidity", month=float(season)).number,
            albedo=convert(number["ground_albedo"], "%", ""),
            sunlight_Wm2=number["sunlight_beyond"],
        )
        return daylight((year, month, date), site, self._air((year, month, date)))

    def key_date(self, name: str) -> tuple[int, int]:
        """Month and day of the shortest day, the equinox or the longest day."""
        table = self.book.table("day_key")
        month, date = (
            table.cell(column, hemisphere=self.hemisphere, day=name).number for column in ("month", "date")
        )
        return int(month), int(date)

    def _air(self, date: tuple[int, int, int]) -> Air:
        """The day's air: as hot as the design's hottest a month after the longest day, milder half a year later."""
        share = {
            name: self.book.table("day_air").cell(name).number
            for name in ("swing", "warmest_hour", "lag", "midwinter")
        }
        hottest, coldest = self.values["hottest"].number, self.values["coldest"].number
        midwinter = coldest + (hottest - coldest) * convert(share["midwinter"], "%", "")
        warmest = days_since_2000(date[0], *self.key_date("longest")) + share["lag"]
        wave = (1.0 - cos(2.0 * pi * (days_since_2000(*date) - warmest) / DAYS)) / 2.0
        return Air(hottest - (hottest - midwinter) * wave, share["swing"], share["warmest_hour"])


def inputs(
    design: Design, book: RuleBook, assessment: Assessment | None = None
) -> tuple[Trace, Inputs | Unknown]:
    """What is the day of a design worked out from, and what is missing?

    Args:
        design: as read.
        book: tables and assumptions.
        assessment: the design's own, where it is known already; its working is used again.

    Returns:
        The trace with every assumption made, and the inputs; Unknown with the paths that would have to be given.

    Refuses (FitError) a module whose values no curve can have.
    """
    trace = working_of(design, book, assessment)
    found: dict[str, Quantity] = {
        "latitude": trace.given("site.latitude"),
        "battery_lowest": missing_battery(trace, "lowest"),
        "absorption": missing_battery(trace, "absorption"),
    }
    missing = [path for one in found.values() if isinstance(one, Unknown) for path in one.paths]
    if missing:
        if "battery.nominal" in missing:  # it settles the other two
            missing = [
                path for path in missing if not path.startswith("battery.") or path == "battery.nominal"
            ]
        return trace, Unknown(tuple(dict.fromkeys(missing)))
    values = {name: one for name, one in found.items() if isinstance(one, Value)}
    values |= _place(trace, values["latitude"])
    controller, of_controller = _controller(trace)
    runs, left_out = _runs(trace)
    return trace, Inputs(
        book=book,
        values={**values, **of_controller},
        kinds=tuple(_kind(trace, group) for group in string_groups(design)),
        runs=runs,
        controller=controller,
        battery=Battery(values["battery_lowest"].number, values["absorption"].number),
        longitude_deg=design.number("site.longitude"),
        left_out=left_out,
    )


def _place(trace: Trace, latitude: Value) -> dict[str, Value]:
    """Tilt, direction, height and air of the site."""
    values = {
        "elevation": trace.value("site.elevation"),
        "hottest": trace.value("site.hottest"),
        "coldest": _known(trace.find("cell_cold_degC")),
        "ground_albedo": trace.scalar("ground_albedo"),
        "sunlight_beyond": trace.scalar("sunlight_beyond"),
    }
    toward = {
        "tilt": ("from_latitude", abs(latitude.number)),
        "azimuth": ("toward_equator", 180.0 if latitude.number >= 0.0 else 0.0),
    }
    for name, (way, degrees) in toward.items():
        path = f"site.{name}"
        given = trace.given(path)
        if isinstance(given, Unknown):
            default = trace.book.assumptions[f"{path}.{way}"]
            said = Given(degrees, "deg", f"{degrees:g} deg")
            given = trace.assume(path, said, default.why, safe_side=default.safe_side)
        values[name] = given
    return values


def _known(quantity: Quantity) -> Value:
    """A quantity that every design has; an unknown one is a fault of ours (TypeError)."""
    if isinstance(quantity, Unknown):
        raise TypeError(f"not known without {', '.join(quantity.paths)}")
    return quantity


def _controller(trace: Trace) -> tuple[Controller, dict[str, Value]]:
    """How the controller works, and the values that say so."""
    rated = trace.given("controller.rated_output_current")
    values = {"rated_output": rated} if isinstance(rated, Value) else {}
    rated_A = rated.number if isinstance(rated, Value) else None
    if controller_kind(trace) == "pwm":
        own = trace.value("controller.own_drop")
        return Controller(False, own.number, own.number, rated_A), values | {"own_drop": own}
    start, run = trace.value("controller.start_margin"), trace.value("controller.run_margin")
    margins = {"start_margin": start, "run_margin": run}
    return Controller(True, start.number, run.number, rated_A), values | margins


def _runs(trace: Trace) -> tuple[tuple[Run, ...], tuple[tuple[str, str], ...]]:
    """The runs whose resistance is known, and what was left out because it is not."""
    runs, left_out = [], []
    for carries in ("string", "array", "battery"):
        for name in runs_carrying(trace.design, carries):
            ohm = trace.find(run_part(name) + "resistance_ohm")
            if isinstance(ohm, Value):
                runs.append(Run(name, carries, ohm.number))
            else:
                left_out.append(("run-unknown", name))
    if not trace.design.runs:
        left_out.append(("no-run", ""))
    if trace.design.number("controller.rated_output_current") is None:
        left_out.append(("no-rating", ""))
    return tuple(runs), tuple(left_out)


def _kind(trace: Trace, group: Strings) -> Kind:
    """One kind of strings, its module fitted from the datasheet's values."""
    gain = trace.value(group.module("rear_gain"), general="module.rear_gain")
    return Kind(
        module=module_model(trace, group),
        series=int(_known(trace.given(group.series)).number),
        parallel=group.count,
        rise_K=_known(trace.find(group.part + "rise_K")).number,
        rear_gain=_share(gain),
    )


def _share(value: Value) -> float:
    """A percentage as a share."""
    return convert(value.number, value.unit, "")
