"""In which chapter of a report a finding or a step stands; the chapters' titles are in the word catalogue."""

from collections.abc import Mapping

FINDING_GROUPS: Mapping[str, tuple[str, ...]] = {
    "voltages": (
        "cold-voltage-controller",
        "cold-voltage-module",
        "cold-voltage-site",
        "cold-voltage-parts",
        "hot-voltage-charging",
        "wake-voltage",
        "pwm-voltage-given-away",
    ),
    "currents": (
        "controller-input-current",
        "controller-output-current",
        "string-fuse-needed",
        "string-fuse-size",
        "reverse-current",
        "unlike-strings",
    ),
    "wires": (
        "run-ampacity",
        "run-terminal-temperature",
        "run-voltage-drop",
        "small-conductor-device",
        "grounding-conductor-size",
    ),
    "joining": (
        "coupler-current",
        "combiner-circuits",
        "combiner-bar",
        "breaker-rating",
        "disconnect-rating",
    ),
    "battery": ("battery-side-device",),
}

STEP_GROUPS: Mapping[str, tuple[str, ...]] = {
    "temperatures": ("cell_cold", "rise", "cell_hot"),
    "module": (
        "pmax",
        "cold_factor",
        "voc_coefficient",
        "isc_coefficient",
        "vmp_coefficient",
        "imp_coefficient",
        "pmax_coefficient",
    ),
    "voltages": (
        "voc_stc_string",
        "voc_cold_string",
        "cold_limit",
        "voc_hot_string",
        "vmp_stc_string",
        "vmp_hot_string",
        "joined_voltage",
    ),
    "currents": (
        "string_count",
        "isc_string",
        "isc_array",
        "imp_string",
        "imp_array",
        "imp_hot_string",
        "imp_hot_array",
        "current_max_string",
        "current_max_array",
        "current_design_string",
        "current_design_array",
        "power_stc",
    ),
    "fuses": (
        "reverse_current_string",
        "reverse_current_iec_string",
        "reverse_limit_string",
        "reverse_passed_string",
        "string_fuse_needed",
        "string_fuse_fitted",
        "string_fuse_called_for",
        "string_fuse_least",
        "string_fuse",
        "string_fuse_window_low",
        "string_fuse_window_high",
    ),
    "runs": (
        "current_max",
        "current_design",
        "size_equivalent",
        "resistance_per_length",
        "resistance",
        "drop",
        "drop_percent",
        "loss",
        "ambient_at_run",
        "ampacity_table",
        "ampacity_terminal",
        "ampacity",
        "ampacity_needed",
        "ampacity_protected",
        "device_limit",
        "size_for_corrected",
        "size_for_uncorrected",
        "size_for_terminals",
        "size_least",
        "size_next",
        "saved",
    ),
    "joining": ("coupler_strings", "current", "current_design_stage", "spare_circuits"),
    "ground": ("ground_device", "ground_least"),
    "battery": (
        "absorption",
        "battery_lowest",
        "heat_taken",
        "vmp_hot_at_controller",
        "charging_needed",
        "equalising_needed",
        "wake_needed",
        "wake_irradiance_hot",
        "wake_irradiance_cold",
        "charge_current",
        "output_limit",
        "clipped",
        "given_away",
        "given_away_full",
        "given_away_share",
        "battery_device_needed",
        "battery_device_least",
    ),
    "curves": ("power_joined", "power_apart", "unlike_loss", "reverse_open"),
}
OTHER = "other"
RUN = "run."

_FINDING_CHAPTER = {finding: group for group, findings in FINDING_GROUPS.items() for finding in findings}
_SYMBOL_CHAPTER = {symbol: group for group, symbols in STEP_GROUPS.items() for symbol in symbols}


def finding_group(finding: str) -> str:
    """The chapter of a finding's id."""
    return _FINDING_CHAPTER.get(finding, OTHER)


def symbol_group(symbol: str) -> str:
    """The chapter of a symbol."""
    return _SYMBOL_CHAPTER.get(symbol, OTHER)


def step_group(step: str, symbol: str) -> str:
    """The chapter of a step: its run (``run.home run``), else that of its symbol."""
    return step[: step.rindex(".")] if step.startswith(RUN) else symbol_group(symbol)
