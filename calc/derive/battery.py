"""What the battery and the controller ask for: charging and starting voltages, charge current, PWM's price."""

from calc.derive.parts import run_part, runs_carrying
from calc.derive.trace import Trace
from calc.model.assessment import Quantity, Unknown, Value
from calc.model.design import Given
from calc.model.method import Method

DROP_ALL = Method("drop", "drop__1 + drop__2")
LOSS_ALL = Method("loss", "loss__1 + loss__2")
DROP_PERCENT_ALL = Method("drop_percent", "drop / vmp_hot_string", cites=("Voltage drop",))
AT_CONTROLLER = Method("vmp_hot_at_controller", "vmp_hot_string - drop")
ABSORPTION = Method("absorption", how="battery-table")
LOWEST = Method("battery_lowest", how="battery-table")
AS_GIVEN = {
    "absorption": Method("absorption", how="as-given"),
    "lowest": Method("battery_lowest", how="as-given"),
}
BY_TABLE = {"absorption": ABSORPTION, "lowest": LOWEST}
CHARGING_MPPT = Method("charging_needed", "absorption + run_margin", cites=("Controller manual",))
CHARGING_PWM = Method("charging_needed", "absorption + own_drop")
EQUALISING_MPPT = Method("equalising_needed", "equalise + run_margin", cites=("Controller manual",))
EQUALISING_PWM = Method("equalising_needed", "equalise + own_drop")
WAKE = Method("wake_needed", "absorption + start_margin", cites=("Controller manual",))
CHARGE_MPPT = Method("charge_current", "power_stc / battery_lowest")
CHARGE_PWM = Method("charge_current", "isc_array")
OUTPUT_LIMIT = Method("output_limit", "rated_output * (1 + clipping_accepted)")
CLIPPED = Method("clipped", "max(charge_current - rated_output, 0)")
GIVEN_AWAY = Method("given_away", "max(vmp_stc_string - battery_lowest - own_drop, 0) * imp_array")
GIVEN_AWAY_FULL = Method("given_away_full", "max(vmp_stc_string - absorption - own_drop, 0) * imp_array")
GIVEN_AWAY_SHARE = Method("given_away_share", "given_away / (vmp_stc_string * imp_array)")
DEVICE_NEEDED = Method("battery_device_needed", "design_factor * rated_output", cites=("690.9(B)",))
DEVICE_LEAST = Method("battery_device_least", how="least-device", cites=("240.6(A)",))

METHODS = (
    DROP_ALL,
    LOSS_ALL,
    DROP_PERCENT_ALL,
    AT_CONTROLLER,
    ABSORPTION,
    LOWEST,
    *AS_GIVEN.values(),
    CHARGING_MPPT,
    CHARGING_PWM,
    EQUALISING_MPPT,
    EQUALISING_PWM,
    WAKE,
    CHARGE_MPPT,
    CHARGE_PWM,
    OUTPUT_LIMIT,
    CLIPPED,
    GIVEN_AWAY,
    GIVEN_AWAY_FULL,
    GIVEN_AWAY_SHARE,
    DEVICE_NEEDED,
    DEVICE_LEAST,
)


def battery_voltages(trace: Trace) -> None:
    """Settle the absorption and the lowest battery voltage, V: given, else by chemistry and nominal voltage.

    Cites:
        BATT (common practice)
    """
    for name in ("absorption", "lowest"):
        given = trace.given(f"battery.{name}")
        if isinstance(given, Value):
            trace.note(AS_GIVEN[name], given.number, {AS_GIVEN[name].symbol: given})
        else:
            _by_table(trace, name)


def _by_table(trace: Trace, name: str) -> None:
    nominal = trace.design.number("battery.nominal")
    if nominal is None:
        return
    chemistry = str(trace.value("battery.chemistry").value)
    cell = trace.book.table("battery_charge_voltages").find(name, chemistry=chemistry, nominal=nominal)
    if cell is None or cell.value is None:
        return
    default = trace.book.assumptions[f"battery.{name}"]
    said = f"{cell.number:g} V"
    trace.assume(f"battery.{name}", Given(cell.number, "V", said), default.why, safe_side=default.safe_side)
    trace.note(BY_TABLE[name], cell.number, {BY_TABLE[name].symbol: trace.cell(cell)})


def missing_battery(trace: Trace, name: str) -> Quantity:
    """A battery voltage as worked out, else Unknown with the inputs that would settle it."""
    found = trace.find("absorption_V" if name == "absorption" else "battery_lowest_V")
    if isinstance(found, Value):
        return found
    if trace.design.number("battery.nominal") is None:
        return Unknown(("battery.nominal", f"battery.{name}"))
    return Unknown((f"battery.{name}",))


def at_controller(trace: Trace) -> None:
    """Add up the drop and loss of every run between modules and controller, and take the drop off the hot Vmp, V.

    Cites:
        VD (the drop's target is a recommendation)
    """
    names = (*runs_carrying(trace.design, "string"), *runs_carrying(trace.design, "array"))
    for method, key in ((DROP_ALL, "drop_V"), (LOSS_ALL, "loss_W")):
        values: dict[str, Quantity] = {
            f"{method.symbol}__{number}": trace.find(run_part(name) + key)
            for number, name in enumerate(names, 1)
        }
        if values:
            trace.step(method, values, text=" + ".join(values))
    vmp, drop = trace.find("vmp_hot_string_V"), trace.find("drop_V")
    trace.step(DROP_PERCENT_ALL, drop=drop, vmp_hot_string=vmp)
    trace.step(AT_CONTROLLER, vmp_hot_string=vmp, drop=drop)


def _waiting(trace: Trace, name: str) -> tuple[str, ...]:
    """What a run's drop waits for, by path; nothing when it is known."""
    part = run_part(name)
    if isinstance(trace.find(part + "drop_V"), Value):
        return ()
    missing = tuple(part + field for field in ("length", "size") if part + field not in trace.design.values)
    return missing or (part + "size",)  # a size of which the tables know no resistance


def missing_runs(trace: Trace) -> Unknown:
    """What the voltage at the controller waits for: the inputs of the runs before it whose drop is not known."""
    names = (*runs_carrying(trace.design, "string"), *runs_carrying(trace.design, "array"))
    paths = [path for name in names for path in _waiting(trace, name)]
    name = "home run" if "home run" not in trace.design.runs else "array run"
    return Unknown(tuple(paths) or (f"run.{name}.length", f"run.{name}.size"))


def controller_kind(trace: Trace) -> str:
    """``mppt`` or ``pwm``: given, else the kind that asks more of the array (an assumption)."""
    return str(trace.value("controller.kind").value)


def charging(trace: Trace) -> None:
    """Work out the voltages the controller needs, the charge current, and what a PWM controller gives away.

    Cites:
        START-MARGIN (common practice)
    """
    absorption, equalise = trace.find("absorption_V"), trace.given("battery.equalise")
    if controller_kind(trace) == "mppt":
        margin = trace.value("controller.run_margin")
        trace.step(CHARGING_MPPT, absorption=absorption, run_margin=margin)
        trace.step(EQUALISING_MPPT, equalise=equalise, run_margin=margin)
        trace.step(WAKE, absorption=absorption, start_margin=trace.value("controller.start_margin"))
        lowest = trace.find("battery_lowest_V")
        trace.step(CHARGE_MPPT, power_stc=trace.find("power_stc_W"), battery_lowest=lowest)
    else:
        own = trace.value("controller.own_drop")
        trace.step(CHARGING_PWM, absorption=absorption, own_drop=own)
        trace.step(EQUALISING_PWM, equalise=equalise, own_drop=own)
        trace.step(CHARGE_PWM, isc_array=trace.find("isc_array_A"))
        _given_away(trace, own)
    _output(trace)


def _given_away(trace: Trace, own: Value) -> None:
    vmp, imp = trace.find("vmp_stc_string_V"), trace.find("imp_array_A")
    low = trace.step(
        GIVEN_AWAY,
        vmp_stc_string=vmp,
        battery_lowest=trace.find("battery_lowest_V"),
        own_drop=own,
        imp_array=imp,
    )
    trace.step(
        GIVEN_AWAY_FULL,
        vmp_stc_string=vmp,
        absorption=trace.find("absorption_V"),
        own_drop=own,
        imp_array=imp,
    )
    trace.step(GIVEN_AWAY_SHARE, given_away=low, vmp_stc_string=vmp, imp_array=imp)


def _output(trace: Trace) -> None:
    rated = trace.given("controller.rated_output_current")
    trace.step(
        OUTPUT_LIMIT, rated_output=rated, clipping_accepted=trace.value("controller.clipping_accepted")
    )
    trace.step(CLIPPED, charge_current=trace.find("charge_current_A"), rated_output=rated)
    needed = trace.step(DEVICE_NEEDED, design_factor=trace.scalar("design_factor"), rated_output=rated)
    if isinstance(needed, Value):
        least = trace.book.table("device_sizes").band("rating", needed.number)
        if least.value is not None:
            trace.note(DEVICE_LEAST, least.number, battery_device_needed=needed)
