"""Ways to join strings with couplers: what each stage carries, which gives way first, and when there is none."""

import pytest

from calc.make.couplers import coupler_plans
from tests.unit.made import BOOK, scenario, simple


def plans(*args, **more):
    return coupler_plans(simple(*args, **more), BOOK)


def coupler(inputs=2, rating=30):
    return f'[[coupler]]\ninputs = {inputs}\nrating = "{rating} A"'


@pytest.mark.parametrize(("isc", "most"), [(6.0, 4), (9.0, 2), (13.5, 1)])
def test_most_strings_through_one_coupler_of_30_amperes(isc, most):
    """How many strings a 30 A branch connector carries at 1.25 times Isc, for three module currents.

    Source: rating from SolarPro, "Using Y-Connectors in String Inverter Systems"; 30 / (1.25 x 6, 9, 13.5) rounded
    down is 4, 2 and 1, by the definition of the limit.
    """
    for count in range(2, 7):
        found = plans(1, count, isc=isc, more=coupler())
        assert all(plan.holds == (count <= most) for plan in found.plans)
        assert (found.refused is None) == (count <= most)


def test_staggered_couplers_carry_the_sum_so_far():
    """Four strings of 6 A: 15, 22.5 and 30 A, at 1.25 x 6 = 7.5 A a string; the last has the least room."""
    found = plans(1, 4, isc=6.0, more=coupler())
    own = next(plan for plan in found.plans if plan.own)
    assert [stage.current_A for stage in own.stages] == [15.0, 22.5, 30.0]
    assert [stage.takes for stage in own.stages] == [("S1", "S2"), ("S3",), ("S4",)]
    assert (own.couplers, own.caps, own.gives_way) == (6, 0, 3)


def test_one_coupler_for_all_has_the_fewest_parts():
    """One 4-to-1 for each pole needs two parts, three 2-to-1 for each pole six."""
    found = plans(1, 4, isc=6.0, more=coupler())
    assert (found.best.inlets, found.best.couplers) == (4, 2)
    counts = [plan.couplers + plan.caps for plan in found.plans]
    assert counts == sorted(counts)


def test_any_number_of_strings_has_a_chain():
    """N - 1 couplers with two inlets on each pole join n strings, whatever n is."""
    for count in range(2, 41):
        chain = next(plan for plan in plans(1, count).plans if plan.inlets == 2)
        assert chain.couplers == 2 * (count - 1)


def test_no_plan_is_refused_with_the_reason_and_a_combiner():
    """Five strings of 9 A carry 56.25 A, beyond any coupler on sale: a combiner with the next standard breaker.

    Source: 1.25 x 1.25 x 45 A = 70.3 A; the next standard size above it in 240.6(A) is 80 A.
    """
    found = plans(1, 5, isc=9.0, more=coupler())
    assert found.refused.code == "beyond-any"
    assert found.best is None
    assert found.offer.circuits == 5
    assert found.offer.bar_A == pytest.approx(70.3125)
    assert found.offer.breaker_A == 80.0


def test_a_larger_coupler_is_named_where_one_is_sold():
    """Three strings of 9 A carry 33.75 A: too much for 30 A, within 50 A."""
    found = plans(1, 3, isc=9.0, more=coupler())
    assert found.refused.code == "beyond-rating"
    assert found.refused.values["least"].value == 50.0


def test_the_weakest_stage_gives_way_first_even_when_it_is_not_the_last():
    """A small first coupler before a large one: the first one has the least room for its rating."""
    more = coupler(2, 16) + "\n" + coupler(3, 60)
    found = plans(1, 4, isc=6.0, more=more)
    own = next(plan for plan in found.plans if plan.own)
    assert own.gives_way == 1
    assert own.holds


def test_one_string_has_nothing_to_couple():
    """There is no plan and no offer, and the reason is said."""
    found = plans(2, 1)
    assert (found.plans, found.refused.code, found.offer) == ((), "one-string", None)


def test_unlike_strings_are_counted_largest_first():
    """The first stage is given the two strings with the largest currents, so that no order of plugging in is worse."""
    found = coupler_plans(scenario("three-kinds"), BOOK)
    own = next(plan for plan in found.plans if plan.own)
    assert own.stages[0].takes == ("S4", "S1")
    assert own.stages[0].current_A == pytest.approx(1.25 * (7.1 + 6.3))
