"""May the joining parts be so: couplers, combiner, breaker, disconnect, unlike strings, grounding."""

from dataclasses import replace

from calc.derive.curves import doubtful
from calc.derive.joining import joining, stages
from calc.derive.parts import run_part, runs_carrying, string_count, string_groups
from calc.derive.sizes import area_mm2
from calc.derive.trace import Trace
from calc.model.assessment import Finding, Quantity, Remark, Unknown, Value
from calc.rules.compare import Question, compare, does_not_apply, needs_input

COUPLER = Question("coupler-current", "damage", "current", ("Connector data sheet", "690.8(A)"))
CIRCUITS = Question("combiner-circuits", "code", "", ("Combiner data sheet",))
BAR = Question("combiner-bar", "damage", "current", ("Combiner data sheet", "690.8(B)"))
BREAKER = Question("breaker-rating", "code", "", ("690.9(B)", "240.4", "240.6(A)"))
DISCONNECT = Question("disconnect-rating", "damage", "current", ("690.13",))
UNLIKE = Question("unlike-strings", "energy", "drop", ("Unlike strings", "Single-diode model"))
GROUND = Question("grounding-conductor-size", "code", "", ("250.122, 690.45",))


def coupler(trace: Trace) -> tuple[Finding, ...]:
    """Can each coupler in the chain carry the strings joined so far?

    Decides stage by stage: 1.25 times the Isc of every string joined so far, against the coupler's rating.
    The design current of the stage goes with it.

    Cites:
        Connector data sheet, 690.8(A)
    """
    if joining(trace) != "couplers":
        return (does_not_apply(COUPLER, part="couplers", reason="joined-in-a-combiner"),)
    if string_count(trace.design) == 1:
        return (does_not_apply(COUPLER, part="couplers", reason="one-string"),)
    return tuple(
        compare(
            trace,
            COUPLER,
            part=f"coupler {stage.number}",
            actual=trace.find(f"coupler.{stage.number}.current_A"),
            limit=trace.value(f"coupler.{stage.coupler}.rating", general="coupler.rating"),
            sense="at most",
            also=(f"coupler.{stage.number}.current_design_stage_A",),
            remarks=(Remark("coupler-halves"),) if stage.number == 1 else (),
        )
        for stage in stages(trace)
    )


def circuits(trace: Trace) -> tuple[Finding, ...]:
    """Has the combiner a circuit for every string?

    Decides by counting; spare circuits are the margin.

    Cites:
        Combiner data sheet
    """
    if joining(trace) != "combiner":
        return (does_not_apply(CIRCUITS, part="combiner", reason="joined-by-couplers"),)
    return (
        compare(
            trace,
            CIRCUITS,
            part="combiner",
            actual=trace.given("combiner.circuits"),
            limit=trace.find("string_count"),
            sense="at least",
            also=("spare_circuits",),
        ),
    )


def bar(trace: Trace) -> tuple[Finding, ...]:
    """Can the combiner's bar carry the array?

    Decides by its rating against the array's design current.

    Cites:
        Combiner data sheet, 690.8(B)
    """
    if joining(trace) != "combiner":
        return (does_not_apply(BAR, part="combiner", reason="joined-by-couplers"),)
    return (
        compare(
            trace,
            BAR,
            part="combiner",
            actual=trace.given("combiner.bar_rating"),
            limit=trace.find("current_design_array_A"),
            sense="at least",
        ),
    )


def breaker(trace: Trace) -> tuple[Finding, ...]:
    """Is the array breaker large enough for the array and small enough for the wire behind it?

    Decides by its rating against the array's design current, and against the next standard size at or above
    each array run's corrected ampacity.

    Cites:
        690.9(B), 240.4, 240.6(A)
    """
    rating = trace.given("combiner.breaker")
    if isinstance(rating, Unknown):
        if joining(trace) != "combiner":
            return (does_not_apply(BREAKER, part="breaker", reason="no-breaker"),)
        return (
            needs_input(
                BREAKER, part="breaker", paths=rating.paths, trace=trace, also=("current_design_array_A",)
            ),
        )
    found = [
        compare(
            trace,
            BREAKER,
            part="breaker, for the array",
            actual=rating,
            limit=trace.find("current_design_array_A"),
            sense="at least",
            remarks=(Remark("breaker-polarity"),),
        )
    ]
    for name in runs_carrying(trace.design, "array"):
        limit = trace.find(run_part(name) + "device_limit_A")
        if isinstance(limit, Value):
            found.append(
                compare(
                    trace,
                    BREAKER,
                    part=f"breaker, for the {name}",
                    actual=rating,
                    limit=limit,
                    sense="at most",
                    also=(run_part(name) + "ampacity_A",),
                )
            )
    return tuple(found)


def disconnect(trace: Trace) -> tuple[Finding, ...]:
    """Can the means of disconnection carry and break what the array delivers?

    Decides by its current rating against the array's maximum current; its voltage is checked with the other
    parts. A breaker in the combiner serves when no disconnect is described.

    Cites:
        690.13
    """
    rating, reason = trace.given("disconnect.rating"), ""
    own_breaker = trace.given("combiner.breaker")
    if isinstance(rating, Unknown) and isinstance(own_breaker, Value):
        rating, reason = own_breaker, "breaker-disconnects"
    return (
        compare(
            trace,
            DISCONNECT,
            part="disconnect",
            actual=rating,
            limit=trace.find("current_max_array_A"),
            sense="at least",
            also=("current_max_array_A",),
            reason=reason,
        ),
    )


def unlike(trace: Trace) -> tuple[Finding, ...]:
    """What do strings that are not alike lose by sharing one voltage?

    Decides by the power of the joined array at its own best voltage, against the sum of each string's at
    its own, with a target of our own. What the joined array pushes back into the weakest string at open
    circuit goes with it. Where no curve fits a module's values, these are asked for again.

    Cites:
        Unlike strings, Single-diode model
    """
    groups = string_groups(trace.design)
    if len(groups) == 1:
        return (does_not_apply(UNLIKE, part="strings", reason="strings-alike"),)
    loss = trace.find("unlike_loss_percent")
    if isinstance(loss, Unknown):
        paths = doubtful(trace, groups)
        return (needs_input(UNLIKE, part="strings", paths=paths, trace=trace, reason="no-curve"),)
    return (
        compare(
            trace,
            UNLIKE,
            part="strings",
            actual=loss,
            limit=trace.scalar("unlike_strings_target"),
            sense="at most",
            also=("power_joined_W", "power_apart_W", "joined_voltage_V", "reverse_open_A"),
        ),
    )


def ground(trace: Trace) -> tuple[Finding, ...]:
    """Is the equipment grounding conductor large enough for the array's device?

    Decides by its area against the least size in the table for the breaker, or for the device the array
    would need where there is none. No increase is asked where a run was made larger for voltage drop. Where that
    device is beyond the table no size is an answer: the finding says so, whether one is given or not.

    Cites:
        250.122, 690.45
    """
    least = trace.find("ground_least")
    size = trace.given("grounding.conductor")
    also = ("ground_least", "ground_device_A")
    if isinstance(size, Unknown) or isinstance(least, Unknown):
        paths = ("grounding.conductor",)
        asked = needs_input(GROUND, part="grounding conductor", paths=paths, trace=trace, also=also)
        beyond = _beyond_ground_table(trace, size) if isinstance(least, Unknown) else ()
        return (replace(asked, remarks=beyond),)
    areas = [Value(area_mm2(trace.book, str(value.value)), "mm2", value.origin) for value in (size, least)]
    return (
        compare(
            trace,
            GROUND,
            part="grounding conductor",
            actual=areas[0],
            limit=areas[1],
            sense="at least",
            also=also,
        ),
    )


def _beyond_ground_table(trace: Trace, size: Quantity) -> tuple[Remark, ...]:
    """What is said where the device is larger than any of the table; of a conductor that is given, that it counts for nothing."""
    table = trace.book.table("ground_conductor")
    last = trace.cell(table.cell("upto", upto=table.column("upto")[-1]))
    beyond = Remark("beyond-ground-table", {"last": last})
    return (beyond, Remark("ground-unchecked")) if isinstance(size, Value) else (beyond,)
