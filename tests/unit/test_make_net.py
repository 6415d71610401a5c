"""The wiring as a net: whatever the design, everything that has to meet meets, and nothing else."""

from collections import Counter

import pytest

from calc.model.parts import BARE, MATES, MINUS, MINUS_HALF, PLUS, PLUS_HALF, SCREW
from tests.unit.made import on_any, parts, scenario, simple

CONDUCTORS = (
    "run",
    "string-run",
    "string-lead",
    "array-lead",
    "link",
    "battery-cable",
    "battery-link",
    "ground",
)


def ports(net):
    return {(part.mark, port.name): port for part in net.parts.values() for port in part.ports}


def assert_wired(net):
    """Every half has its mate, every conductor's end a terminal; only spare terminals stay free."""
    found = ports(net)
    joined = Counter(place for joint in net.joints for place in (joint.one, joint.other))
    assert set(joined) <= set(found)
    for place, port in found.items():
        if port.kind in (PLUS_HALF, MINUS_HALF, BARE) or place[0] == "battery":
            assert joined[place] == 1, place
        else:
            assert joined[place] == (0 if port.spare else 1), place
    for joint in net.joints:
        one, other = found[joint.one], found[joint.other]
        assert other.kind == MATES[one.kind], joint
        assert one.pole == other.pole, joint
    for part in net.of_code(*CONDUCTORS):
        assert len(part.ports) == 2, part


def follow(net, mark, pole):
    """The parts that lie between a string's end and the battery, by the net alone."""
    place, met = (mark, pole), []
    while (beyond := net.joined_to(place)) is not None:
        part = net.parts[beyond[0]]
        met.append(part.mark)
        if part.code == "battery":
            return met
        onward = {"coupler": "out", "combiner": f"out {pole}"}.get(part.code)
        place = (
            part.mark,
            onward or next(port.name for port in part.ports if port.pole == pole and port.name != beyond[1]),
        )
    raise AssertionError(f"{mark} {pole} ends at {place}")


@on_any(60)
def test_every_half_has_a_mate_and_every_end_a_terminal(assessment):
    """Property over random designs: no half is left over, no wire ends in the air, no pole meets the other."""
    assert_wired(parts(assessment).net)


@on_any(60)
def test_both_poles_of_every_string_reach_the_battery(assessment):
    """Each string's plus and minus lead through the same devices to the battery's plus and minus."""
    net = parts(assessment).net
    for part in net.of_code("string")[:6]:
        plus, minus = follow(net, part.mark, PLUS), follow(net, part.mark, MINUS)
        assert plus[-1] == minus[-1] == "battery"
        assert "controller" in plus
        assert "controller" in minus
        assert "battery device" in plus
        if "disconnect" in net.parts:
            assert "disconnect" in plus
            assert "disconnect" in minus


@on_any(60)
def test_halves_of_both_kinds_are_equally_many(assessment):
    """Counted over everything that comes with halves or gets them, plus halves are as many as minus halves."""
    found = parts(assessment)
    assert sum(one.plus for one in found.halves) == sum(one.minus for one in found.halves)
    counted = Counter(port.kind for port in ports(found.net).values())
    inside = sum(part.inside for part in found.net.of_code("string"))
    assert sum(one.plus for one in found.halves) == counted[PLUS_HALF] + inside


@on_any(60)
def test_currents_of_the_couplers_sum_to_the_arrays(assessment):
    """Whatever the chain, its last coupler carries what the code says the array may carry: 1.25 times Isc in all."""
    found = parts(assessment)
    total = assessment.steps["current_max_array_A"].result
    for plan in found.plans.plans:
        assert plan.stages[-1].current_A == pytest.approx(total, rel=1e-9)
        taken = [mark for stage in plan.stages for mark in stage.takes]
        assert sorted(taken) == sorted(part.mark for part in found.net.of_code("string"))
        if plan.own:
            for stage in plan.stages:
                step = assessment.steps[f"coupler.{stage.number}.current_A"].result
                assert stage.current_A == pytest.approx(step, rel=1e-9)


@on_any(60)
def test_the_list_counts_what_stands_in_the_net(assessment):
    """Couplers, holders, boxes, caps and conductors are as many in the list as in the wiring."""
    found = parts(assessment)
    counted = Counter(part.code for part in found.net.parts.values())
    listed = Counter()
    for line in found.lines:
        listed[line.code] += line.count or 0
    assert listed["coupler-plus"] == listed["coupler-minus"] == counted["coupler"] / 2
    assert listed["cap-plus"] == listed["cap-minus"] == counted["cap"] / 2
    assert listed["run"] == counted["run"] + counted["string-run"]
    for code in ("fuse-holder", "junction", "string-lead", "array-lead", "link", "battery-cable", "breaker"):
        assert listed[code] == counted[code], code
    series = sum(part.inside + 1 for part in found.net.of_code("string"))
    assert listed["module"] == listed["cover"] == series


def test_chain_of_four_strings_by_hand():
    """Four strings on 2-to-1 couplers: S1 and S2 meet in the first, each further coupler takes the sum and one more."""
    net = parts(scenario("bee-yard")).net
    assert follow(net, "S1", PLUS)[:4] == ["F1", "C1+", "C2+", "C3+"]
    assert follow(net, "S3", PLUS)[:3] == ["F3", "C2+", "C3+"]
    assert follow(net, "S4", MINUS)[:2] == ["C3−", "L−"]


def test_a_spare_inlet_is_capped():
    """A 4-to-1 coupler for three strings leaves one inlet on each pole, and a cap closes it."""
    found = parts(simple(1, 3, more='[[coupler]]\ninputs = 4\nrating = "50 A"'))
    assert len(found.net.of_code("cap")) == 2
    assert_wired(found.net)


def test_spare_circuits_stay_free():
    """A combiner's circuits beyond the strings have terminals and nothing in them."""
    net = parts(scenario("high-tunnel")).net
    spare = [port for port in net.parts["combiner"].ports if port.spare]
    assert len(spare) == 2 * (6 - 4)
    assert all(net.joined_to(("combiner", port.name)) is None for port in spare)


def test_a_run_in_free_air_takes_its_connectors_itself():
    """Solar cable in free air is crimped and plugged; in conduit a box with terminals stands between."""
    run = '[[run]]\nname = "home run"\nrouting = "{}"'
    open_air, conduit = (parts(simple(more=run.format(routing))) for routing in ("free air", "conduit"))
    assert not open_air.net.of_code("junction", "array-lead")
    assert [port.kind for port in open_air.net.parts["R1+"].ports] == [MINUS_HALF, BARE]
    assert [port.kind for port in conduit.net.parts["R1+"].ports] == [BARE, BARE]
    assert len(conduit.net.of_code("junction")) == 1
    assert {port.kind for port in conduit.net.of_code("junction")[0].ports} == {SCREW}
