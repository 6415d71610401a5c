"""Ways to join strings with couplers, and the count of connector halves, in words."""

from dataclasses import dataclass

from calc.model.parts import CombinerOffer, CouplerPlan, CouplerPlans, Halves, Parts
from calc.render.catalogue import Words
from calc.render.make.says import says
from calc.render.numbers import show_text


@dataclass(frozen=True, slots=True)
class WayRow:
    """One way to join the strings."""

    name: str
    own: bool
    parts: str
    last: str
    first: str
    holds: bool
    verdict: str
    more: str


@dataclass(frozen=True, slots=True)
class HalfRow:
    """Halves that come with one kind of part."""

    name: str
    plus: int
    minus: int


@dataclass(frozen=True, slots=True)
class HalvesView:
    """Connector halves: rows, sums, and the sums named in both ways."""

    rows: tuple[HalfRow, ...]
    plus: int
    minus: int
    housing: str
    contact: str
    why: str
    mated: str


def way_rows(plans: CouplerPlans, words: Words, system: str = "us") -> tuple[WayRow, ...]:
    """Every way, fewest parts first."""
    return tuple(_way(plan, plans.strings, words, system) for plan in plans.plans)


def way_name(plan: CouplerPlan, strings: int, words: Words) -> str:
    """A way in a few words."""
    if len({stage.inlets for stage in plan.stages}) > 1:
        return words("make.couplers.mixed", stages=len(plan.stages))
    if len(plan.stages) == 1:
        return words("make.couplers.one", count=strings)
    return words("make.couplers.chain", stages=len(plan.stages), inlets=plan.inlets)


def _way(plan: CouplerPlan, strings: int, words: Words, system: str) -> WayRow:
    weakest, last = plan.stages[plan.gives_way - 1], plan.stages[-1]
    parts = [words("make.couplers.couplers", count=plan.couplers)]
    if plan.caps:
        parts.append(words("make.couplers.caps", count=plan.caps))
    more = ""
    if not plan.holds:
        least = last.least_class_A
        more = (
            words("make.couplers.beyond")
            if least is None
            else words("make.couplers.least", rating=show_text(least, "A", system=system))
        )
    return WayRow(
        name=way_name(plan, strings, words),
        own=plan.own,
        parts=", ".join(parts),
        last=show_text(last.current_A, "A", system=system),
        first=words(
            "make.couplers.stage",
            number=weakest.number,
            current=show_text(weakest.current_A, "A", system=system),
            rating=show_text(weakest.rating_A, "A", system=system),
        ),
        holds=plan.holds,
        verdict=words("make.couplers.yes" if plan.holds else "make.couplers.no"),
        more=more,
    )


def couplers_say(plans: CouplerPlans, words: Words, system: str = "us") -> list[str]:
    """Which way has the fewest parts, or why there is none and what a combiner would need."""
    said = []
    if plans.best is not None:
        said.append(words("make.couplers.best", way=way_name(plans.best, plans.strings, words)))
    if plans.refused is not None:
        said.append(says("make.couplers.refused", plans.refused, words, system))
    if plans.offer is not None:
        said.append(_offer(plans.offer, words, system))
    return said


def _offer(offer: CombinerOffer, words: Words, system: str) -> str:
    bar = show_text(offer.bar_A, "A", system=system)
    if offer.breaker_A is None or offer.voltage_V is None:
        return words("make.couplers.refused.offer-unknown", circuits=offer.circuits, bar=bar)
    return words(
        "make.couplers.refused.offer",
        circuits=offer.circuits,
        bar=bar,
        breaker=show_text(offer.breaker_A, "A", system=system),
        voltage=show_text(offer.voltage_V, "V", system=system),
    )


def halves_view(parts: Parts, words: Words) -> HalvesView:
    """The halves of a design, counted by kind and named both ways."""
    plus, minus = (sum(count(one) for one in parts.halves) for count in (_plus, _minus))
    names = {one.kind: one for one in parts.names}
    first, second = parts.names
    counts = {first.kind: plus, second.kind: minus}

    def sums(attribute: str) -> str:
        male = sum(counts[kind] for kind, name in names.items() if getattr(name, attribute) == "male")
        return words("make.halves.sums", male=male, female=plus + minus - male)

    return HalvesView(
        rows=tuple(HalfRow(words(f"make.halves.on.{one.code}"), one.plus, one.minus) for one in parts.halves),
        plus=plus,
        minus=minus,
        housing=sums("housing"),
        contact=sums("contact"),
        why=words(
            "make.halves.why",
            plus_housing=first.housing,
            plus_contact=first.contact,
            minus_housing=second.housing,
            minus_contact=second.contact,
        ),
        mated=words("make.halves.mated", joints=min(plus, minus)),
    )


def _plus(halves: Halves) -> int:
    return halves.plus


def _minus(halves: Halves) -> int:
    return halves.minus
