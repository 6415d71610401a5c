"""Every input field once: where it stands in a design file, what kind it is, its unit and its bounds.

The reader, the form and the page that documents the file format all come from this register. ``<run>``,
``<string>`` and ``<coupler>`` in a path stand for a run's name and for a string's or coupler's number.
"""

from dataclasses import dataclass, replace


@dataclass(frozen=True, slots=True)
class Field:
    """One input.

    ``kind`` is ``text``, ``count``, ``quantity``, ``temperature``, ``coefficient``, ``size``, ``choice``, ``flag``,
    ``zone``, ``device`` (a current, or the word "none"), ``prices`` (of wire, by size) or ``options`` (other values of
    other lines). ``unit`` is the fixed unit the core keeps it in; a coefficient may also come in ``absolute`` units.
    ``low`` and ``high`` are what is possible at all (``above_low``: ``low`` itself is not), ``usual`` what passes without
    a note.
    """

    path: str
    kind: str
    unit: str = ""
    absolute: str = ""
    low: float | None = None
    high: float | None = None
    usual: tuple[float, float] | None = None
    choices: tuple[str, ...] = ()
    example: str = ""
    required: bool = False
    above_low: bool = False


def _volts(path: str, example: str, *, required: bool = False, high: float = 3000.0) -> Field:
    return Field(
        path, "quantity", "V", low=0.0, high=high, example=example, required=required, above_low=True
    )


def _allowance(path: str, example: str, high: float) -> Field:
    return Field(path, "quantity", "V", low=0.0, high=high, example=example)


def _amps(path: str, example: str, *, required: bool = False) -> Field:
    return Field(
        path, "quantity", "A", low=0.0, high=2000.0, example=example, required=required, above_low=True
    )


def _share(path: str, example: str, high: float) -> Field:
    return Field(path, "quantity", "%", low=0.0, high=high, example=example)


SITE = (
    Field("title", "text", example="Lambing-shed lights"),
    Field("story", "text", example="Two sentences about the site."),
    Field(
        "site.coldest", "temperature", "degC", low=-90.0, high=50.0, usual=(-60.0, 25.0), example="-21 degC"
    ),
    Field("site.hardiness_zone", "zone", example="5b"),
    Field("site.hottest", "temperature", "degC", low=-40.0, high=70.0, usual=(10.0, 55.0), example="36 degC"),
    Field("site.latitude", "quantity", "deg", low=-90.0, high=90.0, example="44 deg"),
    Field("site.longitude", "quantity", "deg", low=-180.0, high=180.0, example="-103 deg"),
    Field("site.elevation", "quantity", "m", low=-450.0, high=6000.0, example="1100 m"),
    Field("site.tilt", "quantity", "deg", low=0.0, high=90.0, example="45 deg"),
    Field("site.azimuth", "quantity", "deg", low=0.0, high=360.0, example="180 deg"),
    Field("site.building", "choice", choices=("none", "dwelling", "other"), example="none"),
    Field("site.rules", "choice", choices=("us-2023",), example="us-2023"),
)

MODULE_NAMES = (
    Field("label", "text", example="110 W, 36 cells"),
    Field("pmax", "quantity", "W", low=0.0, high=2000.0, example="110 W", above_low=True),
    _volts("voc", "22.4 V", required=True, high=1000.0),
    _amps("isc", "6.3 A", required=True),
    _volts("vmp", "18.2 V", required=True, high=1000.0),
    _amps("imp", "6.04 A", required=True),
    Field(
        "voc_coefficient",
        "coefficient",
        "%/K",
        absolute="V/K",
        low=-2.0,
        high=0.0,
        usual=(-0.5, -0.15),
        example="-0.30 %/degC",
    ),
    Field(
        "isc_coefficient",
        "coefficient",
        "%/K",
        absolute="A/K",
        low=0.0,
        high=1.0,
        usual=(0.0, 0.15),
        example="0.05 %/degC",
    ),
    Field(
        "vmp_coefficient",
        "coefficient",
        "%/K",
        absolute="V/K",
        low=-2.0,
        high=0.0,
        usual=(-0.65, -0.2),
        example="-0.42 %/degC",
    ),
    Field(
        "imp_coefficient",
        "coefficient",
        "%/K",
        absolute="A/K",
        low=-1.0,
        high=1.0,
        usual=(-0.15, 0.15),
        example="0.01 %/degC",
    ),
    Field(
        "pmax_coefficient",
        "coefficient",
        "%/K",
        absolute="W/K",
        low=-2.0,
        high=0.0,
        usual=(-0.6, -0.2),
        example="-0.39 %/degC",
    ),
    Field("cells", "count", low=1, high=1000, example="36"),
    Field("bypass_groups", "count", low=1, high=100, example="2"),
    Field("noct", "temperature", "degC", low=20.0, high=90.0, usual=(38.0, 60.0), example="45 degC"),
    _amps("max_series_fuse", "15 A"),
    _volts("max_system_voltage", "600 V"),
    _share("rear_gain", "10 %", 60.0),
    _share("tolerance", "5 %", 50.0),
)

ARRAY = (
    Field("array.modules_in_series", "count", low=1, high=200, example="2", required=True),
    Field("array.strings_in_parallel", "count", low=1, high=200, example="3", required=True),
    Field(
        "array.mounting",
        "choice",
        choices=("pole", "open rack", "roof stand-off", "roof flush"),
        example="open rack",
    ),
    Field("array.joining", "choice", choices=("couplers", "combiner"), example="couplers"),
    Field("array.string_fuse", "device", "A", low=0.0, high=2000.0, example="10 A", above_low=True),
    _volts("array.string_fuse_voltage", "150 V"),
)

STRING = (
    Field("string.<string>.modules_in_series", "count", low=1, high=200, example="2", required=True),
    Field("string.<string>.strings_in_parallel", "count", low=1, high=200, example="1"),
)

PARTS = (
    Field("coupler.<coupler>.inputs", "count", low=2, high=12, example="2"),
    _amps("coupler.<coupler>.rating", "30 A"),
    _volts("coupler.<coupler>.voltage_rating", "1000 V"),
    Field("combiner.circuits", "count", low=1, high=200, example="6"),
    _amps("combiner.bar_rating", "60 A"),
    _amps("combiner.breaker", "40 A"),
    _volts("combiner.voltage_rating", "150 V"),
    _amps("disconnect.rating", "40 A"),
    _volts("disconnect.voltage_rating", "250 V"),
    Field("grounding.conductor", "size", example="10 AWG"),
)

RUN = (
    Field("run.<run>.name", "text", example="home run"),
    Field("run.<run>.carries", "choice", choices=("string", "array", "battery"), example="array"),
    Field(
        "run.<run>.length",
        "quantity",
        "m",
        low=0.0,
        high=10000.0,
        usual=(0.0, 600.0),
        example="85 ft",
        above_low=True,
    ),
    Field("run.<run>.size", "size", example="10 AWG"),
    Field("run.<run>.material", "choice", choices=("copper", "aluminium"), example="copper"),
    Field(
        "run.<run>.insulation",
        "temperature",
        "degC",
        choices=("60", "75", "90"),
        low=60.0,
        high=90.0,
        example="90 degC",
    ),
    Field(
        "run.<run>.routing",
        "choice",
        choices=("free air", "conduit", "buried", "roof conduit"),
        example="conduit",
    ),
    Field("run.<run>.ambient", "temperature", "degC", low=-60.0, high=90.0, example="40 degC"),
    Field("run.<run>.conductors_in_conduit", "count", low=2, high=200, example="2"),
    Field(
        "run.<run>.terminals",
        "temperature",
        "degC",
        choices=("60", "75"),
        low=60.0,
        high=75.0,
        example="75 degC",
    ),
    Field("run.<run>.conductor_temperature", "temperature", "degC", low=-40.0, high=120.0, example="60 degC"),
    _volts("run.<run>.voltage_rating", "1000 V"),
    Field("run.<run>.max_drop", "quantity", "%", low=0.0, high=50.0, example="3 %", above_low=True),
)

CONTROL = (
    Field("controller.label", "text", example="150 V / 30 A MPPT"),
    Field("controller.kind", "choice", choices=("mppt", "pwm"), example="mppt"),
    _volts("controller.max_voltage", "100 V"),
    _allowance("controller.start_margin", "5 V", 100.0),
    _allowance("controller.run_margin", "1 V", 100.0),
    _allowance("controller.own_drop", "0.5 V", 20.0),
    _amps("controller.max_input_current", "35 A"),
    _amps("controller.rated_output_current", "30 A"),
    _share("controller.clipping_accepted", "20 %", 100.0),
    Field("controller.blocks_reverse", "flag", example="true"),
    Field("battery.nominal", "quantity", "V", low=1.0, high=800.0, usual=(12.0, 48.0), example="12 V"),
    Field(
        "battery.chemistry",
        "choice",
        choices=("lead-acid flooded", "lead-acid sealed", "lifepo4", "other"),
        example="lead-acid flooded",
    ),
    _volts("battery.absorption", "14.6 V", high=1000.0),
    _volts("battery.equalise", "15.5 V", high=1000.0),
    _volts("battery.lowest", "11.5 V", high=1000.0),
    _amps("battery.device", "40 A"),
)

MARGINS = (
    _share("margins.voltage_max", "3 %", 50.0),
    _share("margins.voltage_min", "5 %", 50.0),
    _share("margins.current", "5 %", 50.0),
    _share("margins.drop", "20 %", 100.0),
)

LAYOUTS = (
    Field("layouts.leave_out", "count", low=0.0, high=40.0, example="1"),
    Field("layouts.wire_prices", "prices", example="10 AWG 0.85, 6 AWG 2.40"),
    Field("layouts.or", "options", example="run.home run.size = 6 AWG; controller.max_voltage = 150 V"),
)
"""What is wished of the comparison of layouts; no finding depends on it."""


def _module(prefix: str) -> tuple[Field, ...]:
    return tuple(replace(field, path=prefix + field.path) for field in MODULE_NAMES)


FIELDS: tuple[Field, ...] = (
    *SITE,
    *_module("module."),
    *ARRAY,
    *STRING,
    *_module("string.<string>.module."),
    *PARTS,
    *RUN,
    *CONTROL,
    *MARGINS,
    *LAYOUTS,
)
