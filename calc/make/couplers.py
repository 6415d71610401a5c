"""Every way to join the strings with couplers: one for all, or one after the other; what each stage carries."""

from collections.abc import Sequence

from calc.make.look import Look, OneString
from calc.model.assessment import Assessment, Remark, Value
from calc.model.parts import CombinerOffer, CouplerPlan, CouplerPlans, PlanStage
from calc.model.units import rounded
from calc.tables import RuleBook

BOTH_POLES = 2


def coupler_plans(assessment: Assessment, book: RuleBook) -> CouplerPlans:
    """How can the strings be joined with couplers, what does each stage carry, and which gives way first?

    Decides for every number of inlets that is on sale up to one coupler for all strings, and for the design's own
    couplers: the first takes as many strings as it has inlets, each further one the sum so far and one string an inlet
    beside it. A stage carries 1.25 times the Isc of every string joined so far, largest strings first. Fewest parts
    stand first; of equal ones, those with fewer stages.

    Cites:
        690.8(A), Connector data sheet

    Refuses (``refused``) one string, and strings whose sum no coupler of the design's rating may carry; a combiner is
    then offered.
    """
    return plans_of(Look(assessment, book))


def plans_of(look: Look) -> CouplerPlans:
    """The same for a design that is being looked at already."""
    strings = tuple(look.joined_in_order())
    if len(strings) == 1:
        return CouplerPlans(1, (), Remark("one-string"))
    ratings = [look.coupler_rating(number) for number in range(1, max(look.design.couplers, 1) + 1)]
    kinds = [
        entry for entry in look.book.table("coupler_inlets").column("inlets") if isinstance(entry, float)
    ]
    ways = [(int(kind),) for kind in kinds if kind <= len(strings)]
    own = () if look.combined else _named(look)
    plans = [_plan(look, strings, way, [max(ratings)], own=False) for way in ways if way != own]
    if own:
        plans.append(_plan(look, strings, own, ratings, own=True))
    plans.sort(key=lambda plan: (plan.couplers + plan.caps, len(plan.stages), plan.inlets))
    if any(plan.holds for plan in plans):
        return CouplerPlans(len(strings), tuple(plans))
    return CouplerPlans(len(strings), tuple(plans), _refused(look, strings, ratings), _offer(look, strings))


def _named(look: Look) -> tuple[int, ...]:
    """Inlets of the design's own couplers in order; one number when all are alike."""
    found = [look.inlets(number) for number in range(1, max(look.design.couplers, 1) + 1)]
    return tuple(found[:1] if len(set(found)) == 1 else found)


def _plan(
    look: Look, strings: Sequence[OneString], inlets: Sequence[int], ratings: Sequence[float], *, own: bool
) -> CouplerPlan:
    """One chain; the last kind of coupler and the last rating are repeated as often as it takes."""
    stages: list[PlanStage] = []
    joined = 0
    while joined < len(strings):
        number = len(stages) + 1
        here = inlets[min(number, len(inlets)) - 1]
        free = here - (1 if joined else 0)
        takes = strings[joined : joined + free]
        joined += len(takes)
        current = _sum(look, strings[:joined])
        rating = ratings[min(number, len(ratings)) - 1]
        least = look.book.table("coupler_classes").band("rating", current).value
        stages.append(
            PlanStage(
                number=number,
                inlets=here,
                takes=tuple(one.mark for one in takes),
                joined=joined,
                current_A=current,
                rating_A=rating,
                least_class_A=least if isinstance(least, float) else None,
                caps=free - len(takes),
            )
        )
    weakest = min(stages, key=lambda stage: (stage.rating_A - stage.current_A) / stage.rating_A)
    return CouplerPlan(
        inlets=max(inlets),
        stages=tuple(stages),
        couplers=BOTH_POLES * len(stages),
        caps=BOTH_POLES * sum(stage.caps for stage in stages),
        gives_way=weakest.number,
        own=own,
    )


def _sum(look: Look, strings: Sequence[OneString]) -> float:
    """What some strings carry together, A."""
    return rounded(sum(look.number(one.group.part + "current_max_string_A") or 0.0 for one in strings))


def _refused(look: Look, strings: Sequence[OneString], ratings: Sequence[float]) -> Remark:
    """Why there is no plan: the last stage carries more than the rating, or more than any rating on sale."""
    total = _sum(look, strings)
    values = {
        "current": Value(total, "A", "step current_max_array_A"),
        "rating": Value(max(ratings), "A", "given coupler.1.rating"),
    }
    least = look.book.table("coupler_classes").band("rating", total)
    if least.value is None:
        return Remark("beyond-any", values)
    return Remark("beyond-rating", {**values, "least": Value(least.number, "A", least.origin)})


def _offer(look: Look, strings: Sequence[OneString]) -> CombinerOffer:
    design = look.number("current_design_array_A") or 0.0
    device = look.book.table("device_sizes").band("rating", design).value
    return CombinerOffer(
        circuits=len(strings),
        bar_A=design,
        breaker_A=device if isinstance(device, float) else None,
        voltage_V=look.number("voc_cold_string_V"),
    )
