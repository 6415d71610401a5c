"""The symbol register: every quantity's one name, unit and printed form. Its meaning in words is in the word catalogue.

``kind`` tells a temperature that is a point on the scale from one that is a difference, since only differences may be
multiplied. The key of a quantity in JSON is its name and its unit's suffix.
"""

from dataclasses import dataclass, field

from calc.model.units import UNITS


@dataclass(frozen=True, slots=True)
class Symbol:
    """A quantity's name, unit, printed letter and subscript, and whether it is a ``point`` or ``difference``."""

    name: str
    unit: str
    letter: str
    subscript: str
    kind: str = ""
    key: str = field(init=False)

    def __post_init__(self) -> None:
        """Make its key in JSON: the name with its unit's suffix."""
        suffix = UNITS[self.unit].suffix
        key = f"{self.name}_{suffix}" if suffix and not self.name.endswith(suffix) else self.name
        object.__setattr__(self, "key", key)


_ROWS: tuple[tuple[str, str, str, str], ...] = (
    # temperatures
    ("coldest", "degC", "T", "coldest"),
    ("hottest", "degC", "T", "hottest"),
    ("noct", "degC", "T", "NOCT"),
    ("noct_air", "degC", "T", "air, NOCT"),
    ("noct_irradiance", "W/m2", "G", "NOCT"),
    ("stc_irradiance", "W/m2", "G", "STC"),
    ("stc_cell", "degC", "T", "STC"),
    ("mounting_rise", "K", "ΔT", "mounting"),
    ("rise", "K", "ΔT", "rise"),
    ("cell_cold", "degC", "T", "cell, cold"),
    ("cell_hot", "degC", "T", "cell, hot"),
    ("cold_limit", "degC", "T", "limit"),
    # the module
    ("voc", "V", "V", "oc"),
    ("isc", "A", "I", "sc"),
    ("vmp", "V", "V", "mp"),
    ("imp", "A", "I", "mp"),
    ("pmax", "W", "P", "max"),
    ("voc_coefficient", "%/K", "β", "oc"),
    ("voc_coefficient_absolute", "V/K", "β", "oc, V"),
    ("isc_coefficient", "%/K", "α", "sc"),
    ("isc_coefficient_absolute", "A/K", "α", "sc, A"),
    ("vmp_coefficient", "%/K", "β", "mp"),
    ("vmp_coefficient_absolute", "V/K", "β", "mp, V"),
    ("imp_coefficient", "%/K", "α", "mp"),
    ("imp_coefficient_absolute", "A/K", "α", "mp, A"),
    ("pmax_coefficient", "%/K", "γ", ""),
    ("pmax_coefficient_absolute", "W/K", "γ", "W"),
    ("cold_factor", "", "k", "cold"),
    ("rear_gain", "%", "g", "rear"),
    ("max_series_fuse", "A", "I", "fuse, max"),
    # strings and array: voltages
    ("modules_in_series", "", "n", "series"),
    ("strings_in_parallel", "", "n", "strings"),
    ("string_count", "", "n", "strings"),
    ("voc_stc_string", "V", "V", "oc, STC"),
    ("voc_cold_string", "V", "V", "oc, cold"),
    ("voc_hot_string", "V", "V", "oc, hot"),
    ("vmp_stc_string", "V", "V", "mp, STC"),
    ("vmp_hot_string", "V", "V", "mp, hot"),
    ("vmp_hot_at_controller", "V", "V", "mp, at controller"),
    ("max_voltage", "V", "V", "limit"),
    ("heat_taken", "V", "ΔV", "heat"),
    # currents
    ("isc_string", "A", "I", "sc, string"),
    ("isc_array", "A", "I", "sc, array"),
    ("imp_string", "A", "I", "mp, string"),
    ("imp_array", "A", "I", "mp, array"),
    ("imp_hot_string", "A", "I", "mp, hot, string"),
    ("imp_hot_array", "A", "I", "mp, hot, array"),
    ("continuous_factor", "", "k", "max"),
    ("design_factor", "", "k", "design"),
    ("current_max_string", "A", "I", "max, string"),
    ("current_max_array", "A", "I", "max, array"),
    ("current_design_string", "A", "I", "design, string"),
    ("current_design_array", "A", "I", "design, array"),
    ("power_stc", "W", "P", "STC"),
    # protection
    ("reverse_count", "", "k", "reverse"),
    ("reverse_count_iec", "", "k", "reverse, IEC"),
    ("feedback", "A", "I", "battery"),
    ("reverse_current_string", "A", "I", "reverse"),
    ("reverse_current_iec_string", "A", "I", "reverse, IEC"),
    ("reverse_limit_string", "A", "I", "reverse, limit"),
    ("reverse_passed_string", "A", "I", "reverse, passed"),
    ("string_fuse_needed", "", "q", "fuse"),
    ("string_fuse_fitted", "", "n", "fuses fitted"),
    ("string_fuse_called_for", "", "n", "fuses needed"),
    ("string_fuse_least", "A", "I", "fuse, least"),
    ("string_fuse", "A", "I", "fuse"),
    ("fuse_window_low_factor", "", "k", "fuse, low"),
    ("fuse_window_high_factor", "", "k", "fuse, high"),
    ("string_fuse_window_low", "A", "I", "fuse, low"),
    ("string_fuse_window_high", "A", "I", "fuse, high"),
    # conductors
    ("length", "m", "L", ""),
    ("carried", "A", "I", "carried"),
    ("carried_hot", "A", "I", "mp, carried"),
    ("current_max", "A", "I", "max"),
    ("current_design", "A", "I", "design"),
    ("conductor_temperature", "degC", "T", "conductor"),
    ("reference_temperature", "degC", "T", "table"),
    ("resistance_coefficient", "1/K", "α", "R"),
    ("resistance_table", "ohm/km", "r", "table"),
    ("resistance_per_length", "ohm/km", "r", ""),
    ("resistance", "ohm", "R", ""),
    ("drop", "V", "ΔV", ""),
    ("drop_percent", "%", "d", ""),
    ("loss", "W", "P", "loss"),
    ("saved", "W", "P", "saved"),
    ("size_next", "", "S", "next"),
    ("ambient", "degC", "T", "ambient"),
    ("roof_adder", "K", "ΔT", "roof"),
    ("ambient_at_run", "degC", "T", "at the run"),
    ("ambient_factor", "", "k", "ambient"),
    ("count_factor", "", "k", "count"),
    ("ampacity_table", "A", "I", "table"),
    ("ampacity_terminal", "A", "I", "terminal"),
    ("ampacity", "A", "I", "ampacity"),
    ("ampacity_needed", "A", "I", "needed"),
    ("size", "", "S", ""),
    ("size_equivalent", "", "S", "AWG"),
    ("size_for_corrected", "", "S", "corrected"),
    ("size_for_uncorrected", "", "S", "uncorrected"),
    ("size_for_terminals", "", "S", "terminals"),
    ("size_least", "", "S", "least"),
    ("ampacity_protected", "A", "I", "protected"),
    ("device_limit", "A", "I", "device, max"),
    # controller and battery
    ("absorption", "V", "V", "absorb"),
    ("equalise", "V", "V", "equalise"),
    ("battery_lowest", "V", "V", "battery, low"),
    ("run_margin", "V", "ΔV", "run"),
    ("start_margin", "V", "ΔV", "start"),
    ("own_drop", "V", "ΔV", "controller"),
    ("charging_needed", "V", "V", "needed"),
    ("equalising_needed", "V", "V", "needed, equalise"),
    ("wake_needed", "V", "V", "needed, start"),
    ("wake_irradiance_hot", "W/m2", "G", "start, hot"),
    ("wake_irradiance_cold", "W/m2", "G", "start, cold"),
    ("charge_current", "A", "I", "charge"),
    ("rated_output", "A", "I", "rated"),
    ("clipping_accepted", "%", "c", "accepted"),
    ("output_limit", "A", "I", "rated, with clipping"),
    ("clipped", "A", "I", "clipped"),
    ("given_away", "W", "P", "given away"),
    ("given_away_share", "%", "p", "given away"),
    ("given_away_full", "W", "P", "given away, full"),
    ("battery_device_needed", "A", "I", "device, needed"),
    ("battery_device_least", "A", "I", "device, least"),
    # joining
    ("coupler_strings", "", "n", "joined"),
    ("current", "A", "I", "stage"),
    ("current_design_stage", "A", "I", "stage, design"),
    ("spare_circuits", "", "n", "spare"),
    ("circuits", "", "n", "circuits"),
    ("ground_device", "A", "I", "device"),
    ("ground_least", "", "S", "ground"),
    # unlike strings
    ("power_joined", "W", "P", "joined"),
    ("power_apart", "W", "P", "apart"),
    ("unlike_loss", "%", "p", "lost"),
    ("joined_voltage", "V", "V", "joined"),
    ("reverse_open", "A", "I", "reverse, open"),
)


def _symbol(name: str, unit: str, letter: str, subscript: str) -> Symbol:
    kind = {"degC": "point", "K": "difference"}.get(unit, "")
    return Symbol(name, unit, letter, subscript, kind)


SYMBOLS: dict[str, Symbol] = {row[0]: _symbol(*row) for row in _ROWS}
