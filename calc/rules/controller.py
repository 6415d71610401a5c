"""May the currents into and out of the controller be so, and the device on the battery side."""

from calc.derive.battery import controller_kind, missing_battery
from calc.derive.parts import run_part, runs_carrying
from calc.derive.trace import Trace
from calc.model.assessment import Finding, Unknown, Value
from calc.rules.compare import Question, compare

INPUT = Question("controller-input-current", "damage", "current", ("690.8(A)", "Controller manual"))
OUTPUT_MPPT = Question("controller-output-current", "energy", "current", ("Controller manual",))
OUTPUT_PWM = Question("controller-output-current", "damage", "current", ("Controller manual",))
BATTERY_DEVICE = Question("battery-side-device", "code", "", ("690.9(B)", "240.6(A)", "Battery side"))


def input_current(trace: Trace) -> tuple[Finding, ...]:
    """Can the array push more current into the controller than it may ever see?

    Decides by the array's maximum current against the controller's absolute input current. A PWM controller
    without one counts by its rated current, since what goes in comes out.

    Cites:
        690.8(A), Controller manual
    """
    limit = trace.given("controller.max_input_current")
    reason = ""
    if isinstance(limit, Unknown) and controller_kind(trace) == "pwm":
        rated = trace.given("controller.rated_output_current")
        limit, reason = (rated, "pwm-input-is-output") if isinstance(rated, Value) else (limit, "")
    return (
        compare(
            trace,
            INPUT,
            part="controller",
            actual=trace.find("current_max_array_A"),
            limit=limit,
            sense="at most",
            also=("isc_array_A",),
            reason=reason,
        ),
    )


def output_current(trace: Trace) -> tuple[Finding, ...]:
    """Does the array offer more charge current than the controller can pass on?

    Decides by array power over the lowest battery voltage (MPPT) or the array's Isc (PWM), against the
    rated output with the clipping its owner accepts. An MPPT controller clips: energy is lost and nothing
    is damaged. A PWM controller cannot clip.

    Cites:
        Controller manual
    """
    mppt = controller_kind(trace) == "mppt"
    charge = trace.find("charge_current_A")
    limit = trace.find("output_limit_A") if mppt else trace.given("controller.rated_output_current")
    if isinstance(limit, Unknown):
        limit = Unknown(("controller.rated_output_current",))
    return (
        compare(
            trace,
            OUTPUT_MPPT if mppt else OUTPUT_PWM,
            part="controller",
            actual=charge if isinstance(charge, Value) else missing_battery(trace, "lowest"),
            limit=limit,
            sense="at most",
            also=("power_stc_W", "clipped_A"),
            reason="mppt-clips" if mppt else "pwm-cannot-clip",
        ),
    )


def battery_device(trace: Trace) -> tuple[Finding, ...]:
    """Is the fuse or breaker between controller and battery large enough for the controller, and right for its wire?

    Decides by its rating against 1.25 times the controller's rated output; where the battery run is
    described, also against the next standard size at or above that run's ampacity.

    Cites:
        690.9(B), 240.6(A), Battery side
    """
    device = trace.given("battery.device")
    needed = trace.find("battery_device_needed_A")
    found = [
        compare(
            trace,
            BATTERY_DEVICE,
            part="battery",
            actual=device,
            limit=needed if isinstance(needed, Value) else Unknown(("controller.rated_output_current",)),
            sense="at least",
            also=("battery_device_needed_A", "battery_device_least_A"),
        )
    ]
    for name in runs_carrying(trace.design, "battery"):
        limit = trace.find(run_part(name) + "device_limit_A")
        if isinstance(limit, Value) and isinstance(device, Value):
            found.append(
                compare(
                    trace,
                    BATTERY_DEVICE,
                    part=f"{name}, as protection",
                    actual=device,
                    limit=limit,
                    sense="at most",
                    also=(run_part(name) + "ampacity_A",),
                )
            )
    return tuple(found)
