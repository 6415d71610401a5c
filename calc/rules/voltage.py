"""May the voltages be so: cold maximum, hot minimum, start, and what a PWM controller gives away."""

from calc.derive.battery import controller_kind, missing_battery, missing_runs
from calc.derive.joining import joining
from calc.derive.parts import run_part, runs_carrying, string_count, string_groups
from calc.derive.trace import Trace
from calc.model.assessment import Finding, Quantity, Remark, Unknown, Value
from calc.model.fields import FIELDS
from calc.rules.compare import Question, compare, does_not_apply, remark

COLD_CONTROLLER = Question(
    "cold-voltage-controller", "damage", "voltage_max", ("690.7(A)", "Controller manual")
)
COLD_MODULE = Question("cold-voltage-module", "code", "voltage_max", ("690.7", "690.7(A)"))
COLD_SITE = Question("cold-voltage-site", "code", "voltage_max", ("690.7", "690.7(A)"))
COLD_PARTS = Question("cold-voltage-parts", "damage", "voltage_max", ("690.7(A)",))
HOT_CHARGING = Question("hot-voltage-charging", "energy", "voltage_min", ("Hot voltage", "Controller manual"))
WAKE = Question("wake-voltage", "energy", "voltage_min", ("Controller manual",))
GIVEN_AWAY = Question("pwm-voltage-given-away", "energy", "drop", ("Controller manual",))

COLD_STEPS = ("cell_cold_degC",)


def cold_controller(trace: Trace) -> tuple[Finding, ...]:
    """Can the coldest morning's open-circuit voltage pass the controller's absolute limit?

    Decides by the highest string's Voc at the coldest cell; the temperature at which the limit is reached
    goes with it.

    Cites:
        690.7(A), Controller manual
    """
    return (
        compare(
            trace,
            COLD_CONTROLLER,
            part="controller",
            actual=trace.find("voc_cold_string_V"),
            limit=trace.given("controller.max_voltage"),
            sense="at most",
            also=(*COLD_STEPS, "cold_limit_degC"),
            remarks=_cold_limit(trace),
        ),
    )


def _cold_limit(trace: Trace) -> tuple[Remark, ...]:
    """The temperature at which the limit is reached, unless no site can be so cold; some are reached by hot modules even."""
    (coldest,) = (field for field in FIELDS if field.path == "site.coldest")
    limit, code = trace.find("cold_limit_degC"), "cold-limit"
    if isinstance(limit, Value):
        if coldest.low is not None and limit.number < coldest.low:
            return ()
        if coldest.high is not None and limit.number > coldest.high:
            code = "cold-limit-hot"
    return remark(trace, code, limit="cold_limit_degC")


def cold_module(trace: Trace) -> tuple[Finding, ...]:
    """Can the coldest morning's voltage pass what the modules are made for?

    Decides by each kind of string's cold Voc against its own module's maximum system voltage; strings
    joined in parallel share the highest voltage, so that one counts for all.

    Cites:
        690.7, 690.7(A)
    """
    groups = string_groups(trace.design)
    return tuple(
        compare(
            trace,
            COLD_MODULE,
            part="module" if len(groups) == 1 else f"string {group.number}",
            actual=trace.find("voc_cold_string_V"),
            limit=trace.given(group.module("max_system_voltage")),
            sense="at most",
            also=COLD_STEPS,
        )
        for group in groups
    )


def cold_site(trace: Trace) -> tuple[Finding, ...]:
    """Can the coldest morning's voltage pass what the code allows at this site?

    Decides by the cold Voc against 600 V on a dwelling, 1000 V on other buildings, 1500 V elsewhere.

    Cites:
        690.7, 690.7(A)
    """
    building = trace.value("site.building")
    limit = trace.book.table("site_voltage_limit").cell("limit", building=str(building.value))
    return (
        compare(
            trace,
            COLD_SITE,
            part="site",
            actual=trace.find("voc_cold_string_V"),
            limit=trace.cell(limit),
            sense="at most",
            also=COLD_STEPS,
        ),
    )


def cold_parts(trace: Trace) -> tuple[Finding, ...]:
    """Can the coldest morning's voltage pass the DC rating of a coupler, combiner, fuse, disconnect or cable?

    Decides part by part. Couplers and cable without a rating count as the least that is sold; a combiner, a
    string fuse or a disconnect without one needs input, because low-voltage ones are common.

    Cites:
        690.7(A)
    """
    return tuple(
        compare(
            trace,
            COLD_PARTS,
            part=part,
            actual=trace.find("voc_cold_string_V"),
            limit=limit,
            sense="at most",
            also=COLD_STEPS,
        )
        for part, limit in _ratings(trace)
    )


def _ratings(trace: Trace) -> list[tuple[str, Quantity]]:
    rated: list[tuple[str, Quantity]] = []
    if joining(trace) == "combiner":
        rated.append(("combiner", trace.given("combiner.voltage_rating")))
    elif string_count(trace.design) > 1:
        for number in range(1, max(trace.design.couplers, 1) + 1):
            path = f"coupler.{number}.voltage_rating"
            rated.append((f"coupler {number}", trace.value(path, general="coupler.voltage_rating")))
    fuse = trace.find("string_fuse_fitted")
    if isinstance(fuse, Value) and fuse.number:
        rated.append(("string fuse", trace.given("array.string_fuse_voltage")))
    if trace.design.has("disconnect"):
        rated.append(("disconnect", trace.given("disconnect.voltage_rating")))
    elif trace.design.number("combiner.breaker") is not None and joining(trace) != "combiner":
        rated.append(("breaker", trace.given("combiner.voltage_rating")))
    rated += [
        (name, trace.value(run_part(name) + "voltage_rating", general="run.voltage_rating"))
        for name in (*runs_carrying(trace.design, "string"), *runs_carrying(trace.design, "array"))
    ]
    return rated or [("couplers", trace.value("coupler.voltage_rating"))]


def hot_charging(trace: Trace) -> tuple[Finding, ...]:
    """Is there enough voltage left on the hottest afternoon, at the controller, to charge the battery?

    Decides by the hot Vmp less the drop of every run, against absorption plus the controller's margin (MPPT)
    or its own drop (PWM); again for equalising when an equalising voltage is given.

    Cites:
        Hot voltage, Controller manual
    """
    at_controller = trace.find("vmp_hot_at_controller_V")
    if isinstance(at_controller, Unknown):
        at_controller = missing_runs(trace)
    also = ("cell_hot_degC", "vmp_hot_string_V", "heat_taken_V", "drop_V")
    taken = remark(trace, "heat-and-distance", heat="heat_taken_V", drop="drop_V", label="vmp_stc_string_V")
    needed = trace.find("charging_needed_V")
    found = [
        compare(
            trace,
            HOT_CHARGING,
            part="controller",
            actual=at_controller,
            limit=needed if isinstance(needed, Value) else missing_battery(trace, "absorption"),
            sense="at least",
            also=also,
            remarks=taken,
        )
    ]
    if trace.design.number("battery.equalise") is not None:
        found.append(
            compare(
                trace,
                HOT_CHARGING,
                part="controller, equalising",
                actual=at_controller,
                limit=trace.find("equalising_needed_V"),
                sense="at least",
                also=also,
            )
        )
    return tuple(found)


def wake(trace: Trace) -> tuple[Finding, ...]:
    """Does the open-circuit voltage reach what the controller asks for before it starts, even when hot?

    Decides by the hot Voc in full sun against absorption plus the start margin (MPPT). The light at which
    that voltage is reached, hot and cold, goes with it. A PWM controller has no such threshold.

    Cites:
        Controller manual
    """
    if controller_kind(trace) == "pwm":
        return (does_not_apply(WAKE, part="controller", reason="pwm-has-no-start"),)
    needed = trace.find("wake_needed_V")
    return (
        compare(
            trace,
            WAKE,
            part="controller",
            actual=trace.find("voc_hot_string_V"),
            limit=needed if isinstance(needed, Value) else missing_battery(trace, "absorption"),
            sense="at least",
            also=("wake_irradiance_hot_Wm2", "wake_irradiance_cold_Wm2"),
            remarks=_light(trace),
        ),
    )


def _light(trace: Trace) -> tuple[Remark, ...]:
    """What light it takes to start, cold and hot; less than 1 W/m2 is the first light of the day."""
    hot, cold = (trace.find(f"wake_irradiance_{when}_Wm2") for when in ("hot", "cold"))
    if isinstance(hot, Unknown) or isinstance(cold, Unknown):
        return ()
    if hot.number < 1:
        return (Remark("wake-first-light"),)
    if cold.number < 1:
        return (Remark("wake-light-hot", {"hot": hot}),)
    return (Remark("wake-light", {"cold": cold, "hot": hot}),)


def given_away(trace: Trace) -> tuple[Finding, ...]:
    """How much of the array's power does a PWM controller give away by holding it at battery voltage?

    Decides by the share given away with the battery at its lowest, against a target of our own; the figure at
    absorption goes with it.

    Cites:
        Controller manual
    """
    if controller_kind(trace) == "mppt":
        return (does_not_apply(GIVEN_AWAY, part="controller", reason="mppt-gives-nothing-away"),)
    share = trace.find("given_away_share_percent")
    return (
        compare(
            trace,
            GIVEN_AWAY,
            part="controller",
            actual=share if isinstance(share, Value) else missing_battery(trace, "lowest"),
            limit=trace.scalar("pwm_given_away_target"),
            sense="at most",
            also=("given_away_W", "given_away_full_W"),
            remarks=remark(trace, "given-away", low="given_away_W", full="given_away_full_W"),
        ),
    )
