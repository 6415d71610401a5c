"""Laws of strings and arrays put together from cells: currents equal or voltages equal, and diodes that turn."""

from itertools import pairwise

import pytest
from hypothesis import assume, example, given, settings
from hypothesis import strategies as st

from calc.physics import fit
from calc.physics.arrays import Array
from calc.physics.cells import Backwards, Cells
from calc.physics.diode import Curve
from calc.physics.shade import WELL, Build, Plight, Sun, string
from calc.physics.strings import String, backwards

MODULES = (
    fit(22.4, 6.3, 18.2, 6.04, beta_voc=-0.0030, alpha_isc=0.0005),
    fit(21.0, 3.4, 17.1, 3.1, beta_voc=-0.0034, alpha_isc=0.0005),
    fit(48.0, 9.5, 40.2, 8.95, beta_voc=-0.0027, alpha_isc=0.0004),
)
ROOM = 1e-9

suns = st.builds(Sun, st.floats(1, 1300) | st.floats(1, 1300) | st.just(0.0), st.floats(-40, 80))
bright = st.builds(Sun, st.floats(20, 1300), st.floats(-40, 80))
builds = st.builds(
    Build,
    st.sampled_from(MODULES),
    st.integers(1, 6),
    st.integers(1, 3),
    st.floats(0.3, 1.0),
    st.just(0.0) | st.floats(0.001, 0.5),
)


@st.composite
def plights(draw, build, spared=0):
    """Shade and faults at once, with some groups spared and fewer modules turned than not."""
    left = build.modules * build.groups - spared
    turned = draw(st.integers(0, (build.modules - 1) // 2))
    left -= turned * build.groups
    shorted = draw(st.integers(0, left))
    left -= shorted
    shaded = []
    while left and draw(st.booleans()):
        count = draw(st.integers(1, left))
        shaded.append((count, draw(st.sampled_from((0.25, 0.5, 1.0)) | st.floats(0, 1))))
        left -= count
    return Plight(tuple(shaded), shorted, turned)


@st.composite
def strings(draw, *, faults=True, lit=False):
    build, sun = draw(builds), draw(bright if lit else suns)
    return string(build, sun, draw(plights(build, int(lit))) if faults else WELL)


@st.composite
def shaded_strings(draw):
    """Strings with nothing but shade, as whole pairs: the string in full sun, and in shade."""
    build, sun = draw(builds), draw(suns)
    plight = draw(plights(build))
    return string(build, sun), string(build, sun, Plight(plight.shaded))


@st.composite
def arrays(draw, *, faults=True, lit=False):
    """Up to three kinds of string; only one of them may be in trouble that voltage alone does not tell."""
    kinds = [(draw(strings(faults=faults, lit=lit)), draw(st.integers(1, 3)))]
    kinds += [
        (draw(strings(faults=False, lit=lit)), draw(st.integers(1, 3)))
        for _ in range(draw(st.integers(0, 2)))
    ]
    return Array(tuple(kinds), draw(st.just(0.0) | st.floats(0.001, 0.3)))


@st.composite
def turned_arrays(draw):
    """A kind of string with at least one module turned, also more than not, in shade or out of it, and healthy ones."""
    build, sun = draw(builds.filter(lambda one: one.modules > 1)), draw(bright)
    turned = draw(st.integers(1, build.modules - 1))
    right = (build.modules - turned) * build.groups
    shade = draw(st.just(()) | st.tuples(st.tuples(st.integers(1, right), st.floats(0.05, 0.95))))
    kinds = [(string(build, sun, Plight(shade, 0, turned)), draw(st.integers(1, 3)))]
    kinds += [
        (draw(strings(faults=False, lit=True)), draw(st.integers(1, 3)))
        for _ in range(draw(st.integers(0, 2)))
    ]
    return Array(tuple(kinds), draw(st.just(0.0) | st.floats(0.001, 0.3)))


def summits(powers):
    """Places at which power is higher than beside them, each with how far it stands out, as a share of its power."""
    for place in range(1, len(powers) - 1):
        here = powers[place]
        if not (powers[place - 1] < here >= powers[place + 1] and here > 0.0):
            continue
        valleys = []
        for way in (powers[place - 1 :: -1], powers[place + 1 :]):
            higher = next((step for step, power in enumerate(way) if power > here), len(way))
            valleys.append(min(way[:higher]))
        yield place, (here - max(valleys)) / here


def turning(build=None, **suffers):
    """A string of two modules in full sun on a warm day."""
    return string(build or Build(MODULES[0], 2, 2, 0.5), Sun(1000.0, 45.0), Plight(**suffers))


# Cells with their bypass diodes.


@given(st.sampled_from(MODULES), suns, st.floats(0.1, 2.0), st.floats(-20, 20))
def test_cells_follow_their_curve_until_the_diode_conducts(module, sun, drop, current):
    """Below the turning current the cells' own voltage, from there on the diode's drop, and never below it."""
    cells = Cells(module.at(sun.light_Wm2, sun.cell_degC), drop)
    expected = max(cells.curve.voltage(current), -drop)

    assert cells.voltage(current) == pytest.approx(expected, abs=1e-9)
    assert cells.flat(current) == (current >= cells.turns_at)
    assert cells.point(current)[0] == cells.voltage(current)


@given(st.sampled_from(MODULES), suns, st.floats(-8, 8))
def test_a_turned_part_is_the_same_the_other_way_round(module, sun, current):
    """Its voltage is the cells' at the opposite current, with the opposite sign; turned twice it is as before."""
    cells = Cells(module.at(sun.light_Wm2, sun.cell_degC), 1.0)
    turned = Backwards(cells)

    assert turned.voltage(current) == -cells.voltage(-current)
    assert turned.point(current) == (-cells.point(-current)[0], cells.point(-current)[1])
    assert turned.flat(current) == cells.flat(-current)
    assert backwards(backwards(String((cells,)))) == String((cells,))


# Strings.


@given(strings(), st.floats(-3, 12), st.floats(0.001, 3))
def test_voltage_falls_as_current_rises(made, current, more):
    """A string's voltage never rises with its current, whatever has befallen it."""
    assert made.voltage(current + more) <= made.voltage(current) + ROOM


@given(strings(), st.floats(-3, 12))
def test_point_gives_voltage_and_its_slope(made, current):
    """Both at once are the voltage itself, and how it changes over a small step away from a turn."""
    voltage, resistance = made.point(current)
    step = 1e-6
    assume(all(abs(current - part.turns_at) > 2 * step for part in made.parts))
    beyond = [made.voltage(current + away) for away in (-step, step)]

    assert voltage == pytest.approx(made.voltage(current), abs=1e-12)
    assert resistance >= 0
    slope = (beyond[0] - beyond[1]) / (2 * step)
    assert slope == pytest.approx(resistance, rel=2e-2, abs=1e-3) or slope > 1e3


@given(strings(), st.floats(-0.9, 1.1))
def test_current_at_a_voltage_is_the_one_that_has_it(made, share):
    """Inverting a string's curve leads back to the voltage, in the sun and in the dark, above Voc and below 0 V."""
    voltage = share * max(made.voc(), 1.0)
    current = made.current(voltage)
    if current not in (float("inf"), float("-inf")):
        assert made.voltage(current) == pytest.approx(voltage, abs=1e-7)
    else:
        assert made.wire_ohm == 0


@given(builds, suns, st.floats(0.05, 0.95), st.integers(2, 5))
def test_alike_in_series_scale_exactly(build, sun, share, n):
    """A string of n times as many modules has n times the voltage at every current."""
    one = string(build, sun)
    many = string(
        Build(build.module, n * build.modules, build.groups, build.bypass_V, n * build.wire_ohm), sun
    )
    current = share * one.current(0.0)

    assert many.voltage(current) == pytest.approx(n * one.voltage(current), rel=1e-12, abs=1e-12)
    assert many.voc() == pytest.approx(n * one.voc(), rel=1e-12)


@given(builds, suns, st.integers(1, 4))
def test_a_module_more_in_series_never_lowers_voc(build, sun, more):
    """Another module adds its voltage at open circuit, or nothing in the dark."""
    longer = Build(build.module, build.modules + more, build.groups, build.bypass_V, build.wire_ohm)

    assert string(longer, sun).voc() >= string(build, sun).voc()


@given(shaded_strings(), st.floats(0, 12))
def test_shade_never_raises_a_voltage(pair, current):
    """At every current a shaded string has at most the voltage it has in full sun."""
    sunny, shaded = pair

    assert shaded.voltage(current) <= sunny.voltage(current) + ROOM


def test_a_short_has_only_its_wire():
    """A string without parts is its wire; without resistance nothing holds its current."""
    short, bare = String((), 0.2), String(())

    assert (short.voltage(5.0), short.current(-1.0), short.voc()) == (-1.0, 5.0, 0.0)
    assert (bare.current(0.0), bare.current(1.0), bare.current(-1.0)) == (0.0, float("-inf"), float("inf"))
    assert bare.slope(0.0) == float("-inf")


def test_nothing_holds_the_current_far_above_open_circuit_without_resistance():
    """Two parts without resistance, pushed far above their open circuit, take what no number holds: no failure."""
    free = Curve(2.0, 1e-9, 0.0, float("inf"), 0.04)
    string = String((Cells(free, 0.5), Cells(free.in_series(2), 1.0)))

    assert string.current(12.0) == float("-inf")
    assert -3.0 < string.current(string.voc() + 0.01) < 0.0


@pytest.mark.parametrize("times", [-40.0, -3.0, 3.0, 40.0])
@pytest.mark.parametrize("turn", [False, True])
@pytest.mark.parametrize("plight", [{}, {"shaded": ((1, 0.5),)}, {"turned": 1}])
def test_a_string_driven_far_beyond_its_own_voltages_still_answers(times, turn, plight):
    """Strings in two lights, partly or wholly turned, up to forty times their open-circuit voltage either way.

    Some currents lie hundreds of amperes beyond the last turn of a diode.
    """
    made = turning(Build(MODULES[0], 2, 2, 0.5, 0.05), **plight)
    made = backwards(made) if turn else made
    volts = times * 44.0

    assert made.voltage(made.current(volts)) == pytest.approx(volts, rel=1e-9)


@pytest.mark.parametrize("volts", [-30.0, 1.0, 3.0, 30.0])
def test_a_wholly_turned_string_without_wire_is_held_by_its_diodes(volts):
    """Its four diodes hold it at 2 V; above, nothing but the diodes holds the current, and it is infinite."""
    made = backwards(turning())

    assert made.clamp == pytest.approx(2.0)
    if volts > 2.0:
        assert made.current(volts) == float("-inf")
    else:
        assert made.voltage(made.current(volts)) == pytest.approx(volts, abs=1e-9)


def test_nothing_holds_the_current_of_turned_cells_without_resistance():
    """Driven the way their diode conducts they take what no number holds, and no failure."""
    free = Cells(Curve(2.0, 1e-9, 0.0, float("inf"), 0.04), 0.5)

    assert backwards(String((free,))).current(-12.0) == float("inf")


@given(builds, bright, st.floats(-1.0, 0.99))
def test_the_only_curve_of_a_string_is_the_string(build, sun, share):
    """Where all cells stand in one light, its curve with the wire in it has the string's voltage at every current."""
    made = string(build, sun)
    current = share * made.current(0.0)

    assert made.only.voltage(current) == pytest.approx(made.voltage(current), rel=1e-12, abs=1e-12)
    assert made.only.current(made.voltage(current)) == pytest.approx(current, rel=1e-9, abs=1e-9)


def test_a_string_in_two_lights_turned_or_short_has_no_only_curve():
    """Its voltage is then not that of one curve."""
    shaded, partly, short = (
        turning(shaded=((1, 0.5),)),
        string(Build(MODULES[0], 3, 2, 0.5), Sun(1000.0, 45.0), Plight(turned=1)),
        String(()),
    )

    assert [one.only for one in (shaded, partly, short, backwards(turning()))] == [None] * 4
    assert turning(shaded=((4, 0.5),)).only is not None  # all in one shade


def test_only_known_parts_can_be_turned():
    """A part that is neither cells nor turned cells is a fault of ours."""
    with pytest.raises(TypeError, match="cannot be turned"):
        backwards(String((object(),)))


# Arrays.


@given(arrays(lit=True), st.floats(0.02, 0.98))
def test_strings_share_one_voltage_and_their_currents_add(made, share):
    """In every state each string has the joint voltage at its own current, and the array the sum of the currents."""
    assume(made.open.voltage_V > 0.01)
    state = made.at(share * made.open.voltage_V)
    currents = made.currents(state)

    for (one, _), current in zip(made.kinds, currents, strict=True):
        assert one.voltage(current) == pytest.approx(state.joint_V, abs=1e-6)
    total = sum(n * current for (_, n), current in zip(made.kinds, currents, strict=True))
    assert total == pytest.approx(state.current_A, rel=1e-9, abs=1e-9)
    assert state.voltage_V == pytest.approx(share * made.open.voltage_V, rel=1e-7, abs=1e-7)


@given(arrays(lit=True), st.floats(0.02, 0.98))
def test_energy_is_kept_on_the_way(made, share):
    """What the cells give is what reaches the controller and what the strings' wires and the run turn into heat."""
    assume(made.open.voltage_V > 0.01)
    state = made.at(share * made.open.voltage_V)
    currents = made.currents(state)
    cells_give = sum(
        n * current * (one.voltage(current) + current * one.wire_ohm)
        for (one, n), current in zip(made.kinds, currents, strict=True)
    )
    wires_take = sum(
        n * current**2 * one.wire_ohm for (one, n), current in zip(made.kinds, currents, strict=True)
    )
    run_takes = state.current_A**2 * made.run_ohm

    assert cells_give == pytest.approx(state.power + wires_take + run_takes, rel=1e-6, abs=1e-6)


@given(strings(lit=True), st.integers(2, 6), st.floats(0.02, 0.98))
def test_alike_in_parallel_scale_exactly(one, n, share):
    """N alike strings give n times the current at every voltage, have the same peaks and n times their power."""
    assume(one.voc() > 0.01)
    single, many = Array(((one, 1),)), Array(((one, n),))
    voltage = share * one.voc()

    assert many.at(voltage).current_A == pytest.approx(n * single.at(voltage).current_A, rel=1e-9, abs=1e-9)
    assert [peak.voltage_V for peak in many.peaks()] == pytest.approx(
        [p.voltage_V for p in single.peaks()], rel=1e-6
    )
    assert many.best().power == pytest.approx(n * single.best().power, rel=1e-9, abs=1e-12)


@settings(max_examples=30)
@given(builds, bright, st.integers(2, 6), st.just(0.0) | st.floats(0.001, 0.3), st.floats(0.02, 0.98))
def test_alike_strings_told_as_two_kinds_are_the_same_array(build, sun, n, run_ohm, share):
    """As one kind they have one explicit curve, as two kinds they go the general way: peaks, open circuit and states."""
    one = string(build, sun)
    alike, apart = Array(((one, n),), run_ohm), Array(((one, 1), (one, n - 1)), run_ohm)

    def states(array):
        held = array.at(share * array.open.voltage_V)
        return [
            (state.lead_A, state.joint_V, state.current_A, state.voltage_V, state.power)
            for state in (array.open, held, *array.peaks())
        ]

    assert len(alike.peaks()) == len(apart.peaks()) == 1
    assert alike._only is not None
    assert apart._only is None
    for found, general in zip(states(alike), states(apart), strict=True):
        assert found == pytest.approx(general, rel=1e-9, abs=1e-9)


@given(arrays(), strings(faults=False))
def test_a_string_more_never_lowers_short_circuit_current(made, more):
    """A further string in parallel adds its current at no voltage, or nothing in the dark."""
    joint = Array((*made.kinds, (more, 1)))
    before = sum(n * one.current(0.0) for one, n in made.kinds)
    after = sum(n * one.current(0.0) for one, n in joint.kinds)

    assert after >= before - ROOM


@given(arrays(lit=True), st.floats(0.001, 0.999))
def test_no_point_gives_more_than_the_best_peak(made, share):
    """Power at the best peak is at least that at any other voltage."""
    assume(made.open.voltage_V > 0.01)

    assert made.at(share * made.open.voltage_V).power <= made.best().power * (1 + 1e-9) + 1e-9


@given(arrays())
def test_every_peak_is_a_peak(made):
    """A little to either side of each peak there is less power; the first is the nearest to open circuit."""
    peaks = made.peaks()
    for peak in peaks:
        for factor in (0.999, 1.001):
            beside = made.at(peak.voltage_V * factor)
            assert beside is None or beside.power <= peak.power + 1e-9
    assert all(one.voltage_V > other.voltage_V for one, other in pairwise(peaks))
    assert all(0 <= peak.voltage_V <= made.open.voltage_V for peak in peaks)


@given(shaded_strings(), st.integers(0, 3), strings(faults=False), st.just(0.0) | st.floats(0.001, 0.3))
def test_shade_never_raises_power(pair, others, other, run_ohm):
    """An array with a string in shade never gives more than without the shade, whatever it is joined with."""
    sunny, shaded = (Array(((one, 1), *[(other, others)] * bool(others)), run_ohm) for one in pair)

    assert shaded.best().power <= sunny.best().power * (1 + 1e-9) + 1e-9


@given(arrays())
@example(
    Array(
        (
            (backwards(turning(Build(MODULES[0], 1, 1, 1.3, 0.5))), 3),
            (turning(Build(MODULES[1], 1, 1, 1.0, 0.3)), 1),
            (string(Build(MODULES[2], 5, 1, 1.0), Sun(0.0, 20.0)), 2),
        )
    )
)
def test_nothing_flows_at_open_circuit(made):
    """With nothing connected the currents cancel, and the run drops nothing."""
    assert made.open.current_A == pytest.approx(0, abs=1e-6)
    assert made.open.voltage_V == pytest.approx(made.open.joint_V, abs=1e-6)


@given(arrays())
@example(Array(((turning(shaded=((1, 0.5),)), 1), (turning(), 2))))
def test_points_run_from_open_to_short_circuit(made):
    """The points of a curve begin at open circuit and end at no voltage, and voltage falls from each to the next."""
    points = made.points(8)

    assert points[:1] == (made.open,)[: len(points)]
    if made.open.joint_V > 0:
        assert points[-1].joint_V == pytest.approx(0, abs=1e-6)
    assert all(one.joint_V >= other.joint_V - ROOM for one, other in pairwise(points))


@given(arrays(lit=True))
@example(Array(((turning(shaded=((1, 0.5),)), 1), (turning(), 2))))
def test_points_lie_closer_together_towards_every_turn(made):
    """Each stretch from one turn of a diode to the next has as many, and their steps are alike from both ends."""
    n = 8
    points = made.points(n)
    assume(points)
    leads = [one.lead_A for one in points]
    steps = [later - earlier for earlier, later in pairwise(leads)]

    assert len(points) % n == 1
    for start in range(0, len(steps), n):
        stretch = steps[start : start + n]
        assert stretch == pytest.approx(stretch[::-1], rel=1e-6, abs=1e-9)
        assert stretch[0] < stretch[1] < stretch[2] < stretch[3] or sum(stretch) < 1e-6
        assert sum(stretch[:2]) == pytest.approx((1 - 0.5**0.5) / 2 * sum(stretch), rel=1e-6, abs=1e-9)


def test_points_stand_wherever_a_diode_turns():
    """A turn of any string is a point of the array's curve, however low its voltage: here below 1 V."""
    shaded = string(Build(MODULES[0], 1, 2, 6.9), Sun(1000.0, 45.0), Plight(shaded=((1, 0.0035),)))
    turns = [volts for volts, _ in shaded.turns if volts > 0.0]
    made = Array(((turning(shaded=((1, 0.5), (1, 0.7))), 1), (shaded, 1)))
    volts = [one.joint_V for one in made.points(4)]

    assert [0.0 < turn < 1.0 for turn in turns] == [True]
    for turn in turns:
        assert min(abs(one - turn) for one in volts) < 1e-6


def test_above_open_circuit_there_is_no_state():
    """A controller cannot hold an array above its open-circuit voltage."""
    made = Array(((turning(), 2),))

    assert made.at(made.open.voltage_V) is None
    assert made.at(made.open.voltage_V + 1) is None


def test_diodes_of_a_turned_string_clamp_the_array():
    """One string of two modules of two groups the wrong way round: its four diodes hold the others down to 2 V."""
    made = Array(((backwards(turning()), 1), (turning(), 3)))
    healthy = turning().current(2.0)

    assert made.open.joint_V == pytest.approx(4 * 0.5)
    assert made.currents(made.open) == pytest.approx((-3 * healthy, healthy))


def test_two_strings_of_which_one_is_turned_cancel():
    """Two alike strings back to back have no voltage, and their current goes round."""
    made = Array(((backwards(turning()), 1), (turning(), 1)))
    short = turning().current(0.0)

    assert made.open.joint_V == pytest.approx(0, abs=1e-6)
    assert made.currents(made.open) == pytest.approx((-short, short))
    assert made.best().power == pytest.approx(0, abs=1e-6)


def stand(modules, module=0, **plight):
    """A string of modules of two groups in full sun, with what has befallen it."""
    return string(Build(MODULES[module], modules, 2, 0.5), Sun(1000.0, 60.0), Plight(**plight))


@pytest.mark.parametrize(
    ("kinds", "turns"),
    [
        (((stand(4, shaded=((3, 0.5),)), 2), (stand(4, shaded=((2, 0.8), (3, 0.3))), 1)), False),
        (((stand(4, shaded=((3, 0.5),)), 2), (stand(4, shaded=((5, 0.7),)), 1)), False),
        (((stand(4, shaded=((3, 0.4), (2, 0.9))), 1),), False),
        (((stand(4), 2), (stand(4, turned=1), 1)), True),
        (((stand(3), 3), (stand(3, turned=1), 1)), True),  # its peak is where a diode turns
        (((stand(3), 1), (stand(4, turned=1, shaded=((2, 0.5),)), 1)), True),
    ],
)
def test_every_peak_of_power_is_found(kinds, turns):
    """Walking from open to short circuit in 600 even steps of voltage meets the same peaks, and no other."""
    array = Array(kinds, 0.2)
    step = array.open.voltage_V / 600
    walked = [array.at(array.open.voltage_V - step * k).power for k in range(1, 601)]
    met = [
        array.open.voltage_V - step * (k + 1)
        for k in range(1, 599)
        if walked[k - 1] < walked[k] >= walked[k + 1]
    ]

    assert any(kind.turned for kind, _ in kinds) == turns
    assert [peak.voltage_V for peak in array.peaks()] == pytest.approx(met, abs=step)
    assert array.best().power == pytest.approx(max(walked), rel=1e-3)


def missed(array, least):
    """Summits on a walk through 1000 even steps of the leading current that lie beside no peak that was found.

    Left aside are those that stand out by less than a share of their own power.
    """
    first, last = array.open.lead_A, array.kinds[array.leads][0].current(0.0)
    walked = [first + (last - first) * k / 1000 for k in range(1001)]
    peaks = [peak.lead_A for peak in array.peaks()]
    return [
        walked[place]
        for place, stands_out in summits([array._by(lead_A).power for lead_A in walked])
        if stands_out > least and not any(walked[place - 1] <= peak <= walked[place + 1] for peak in peaks)
    ]


@settings(max_examples=60)
@given(turned_arrays())
def test_no_peak_is_missed_where_modules_are_turned(made):
    """Every summit met on a walk along the whole curve is a peak that was found, but for mere shoulders.

    These stand out by less than a fiftieth of their own power, and may lie between two looks.
    """
    assume(made.open.joint_V > 0.0)

    assert missed(made, 0.02) == []


@pytest.mark.parametrize(
    ("kinds", "run"),
    [
        (((stand(3, 1, turned=1, shaded=((4, 0.2),)), 3), (stand(3), 2)), 0.3),
        # Seen by looks apart by voltage, and not by those apart by current.
        (((stand(2, 2, turned=1), 2), (stand(1, 2), 1), (stand(4, 1), 3)), 0.0),
        # The other way round.
        (((stand(5, turned=2), 2), (stand(2, 2), 3)), 0.1),
    ],
)
def test_looks_apart_by_current_and_by_voltage_find_small_peaks_too(kinds, run):
    """Each of these arrays has a peak that fewer looks would miss, down to a shoulder of a five-hundredth."""
    assert missed(Array(kinds, run), 0.001) == []


@pytest.mark.parametrize("volts", [5.0, 20.0, 30.0, 40.0, 55.0, 62.0])
def test_the_slope_is_that_of_the_current(volts):
    """By central differences; current never rises with voltage."""
    string = stand(4, shaded=((3, 0.5),))
    rise = (string.current(volts + 1e-4) - string.current(volts - 1e-4)) / 2e-4

    assert string.slope(volts) == pytest.approx(rise, rel=1e-4)
    assert string.slope(volts) < 0.0
