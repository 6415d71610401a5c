"""Drawings: no words overlap or contradict the table, nothing is told by colour alone or comes from outside."""

import re
import xml.etree.ElementTree as ET
from dataclasses import replace
from itertools import combinations, pairwise
from pathlib import Path

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from calc.model.assessment import Assessment, Finding, Step, Value, Verdict
from calc.model.design import Design, Given
from calc.render import drawings
from calc.render.catalogue import load_words
from calc.render.drawings.bars import margin_bar
from calc.render.drawings.icons import layout_icon, mark
from calc.render.drawings.ladder import ladder
from calc.render.drawings.rungs import RUNGS
from calc.render.drawings.svg import Canvas, cut, lines, spread, wide
from calc.render.drawings.wiring import wiring

WORDS = load_words()
STYLE = (Path(drawings.__file__).parent / "drawing.css").read_text("utf-8")
PHONE = 288  # pixels a drawing has on a screen 320 wide, with the page's own margins
HOT_AND_COLD = {"cell_cold_degC": -21.0, "cell_hot_degC": 67.0}
ORDINARY = {
    "vmp_hot_at_controller_V": 15.9,
    "vmp_hot_string_V": 16.3,
    "vmp_stc_string_V": 18.2,
    "voc_hot_string_V": 19.6,
    "voc_stc_string_V": 22.4,
    "voc_cold_string_V": 25.5,
}
LIMITS = [("cold-voltage-controller", "controller", 100.0), ("cold-voltage-module", "module", 600.0)]
NEEDS = [("hot-voltage-charging", "controller", 15.6), ("wake-voltage", "controller", 19.5)]


def step(name, result, unit="V"):
    """A step of which only the result matters here."""
    return Step(name, "voc_stc_string", "", "as-given", {}, result, unit, ())


def finding(name, part, limit, *, actual=20.0, sense="at most", unit="V", tight=0.0, verdict=None):
    """A finding as the rules make it, with its margin and verdict."""
    margin = limit - actual if sense == "at most" else actual - limit
    verdict = verdict or (Verdict.FAILS if margin < 0 else Verdict.HOLDS)
    return Finding(
        name,
        part,
        verdict,
        "code",
        unit,
        sense,
        Value(actual, unit, ""),
        Value(limit, unit, ""),
        margin,
        tight,
    )


def unknown(name, part):
    """A finding that still needs input."""
    return Finding(name, part, Verdict.NEEDS_INPUT, "code", needs=("controller.max_voltage",))


def assessment(steps=(), findings=(), values=(), runs=(), strings=0):
    """An assessment made by hand."""
    steps = {
        name: result if isinstance(result, Step) else step(name, result)
        for name, result in dict(steps).items()
    }
    given_values = {path: Given(value, unit, str(value)) for path, (value, unit) in dict(values).items()}
    design = Design(given_values, runs=tuple(runs), strings=strings)
    return Assessment("0", "us-2023", "", Verdict.HOLDS, design, steps, tuple(findings), (), ())


def voltages(rungs=ORDINARY, limits=LIMITS, needs=NEEDS):
    """An assessment with what a ladder shows."""
    found = [
        finding(name, part, volts, actual=rungs.get("voc_cold_string_V", 20.0))
        for name, part, volts in limits
    ]
    found += [finding(name, part, volts, sense="at least") for name, part, volts in needs]
    return assessment({**HOT_AND_COLD, **rungs}, found)


def array(series=1, parallel=4, *, strings=(), circuits=None, runs=("home run",), failing=(), **steps):
    """An assessment with what a wiring drawing shows."""
    values = {"array.modules_in_series": (series, ""), "array.strings_in_parallel": (parallel, "")}
    for number, (rows, count) in enumerate(strings, 1):
        values[f"string.{number}.modules_in_series"] = (rows, "")
        values[f"string.{number}.strings_in_parallel"] = (count, "")
        values[f"string.{number}.module.label"] = (f"Kind {number} <&> of module", "")
    values |= {
        "module.label": ("110 W, 36 cells", ""),
        "controller.kind": ("mppt", ""),
        "battery.nominal": (12.0, "V"),
    }
    for name in runs:
        values |= {f"run.{name}.length": (25.908, "m"), f"run.{name}.size": ("10 AWG", "")}
    count = sum(count for _, count in strings) or parallel
    found = dict(steps)
    if circuits is None:
        for number in range(1, count):
            found[f"coupler.{number}.coupler_strings"] = step("", float(number + 1), "")
            found[f"coupler.{number}.current_A"] = step("", 7.875 * (number + 1), "A")
    else:
        values |= {"combiner.circuits": (circuits, ""), "combiner.breaker": (40.0, "A")}
        values |= {"disconnect.rating": (60.0, "A"), "battery.device": (40.0, "A")}
        found["spare_circuits"] = step("", float(circuits - count), "")
    found |= {"string_fuse_fitted": step("", 1.0, ""), "string_fuse_A": step("", 10.0, "A")}
    found["ground_least"] = step("", "10 AWG", "")
    findings = [finding("x", part, 1.0) for part in failing]
    return assessment(found, findings, values, runs, len(strings))


def boxes(svg):
    """Every line of type as (left, top, right, bottom, words), by the widths of a wide common face."""
    found = []
    for element in ET.fromstring(svg).iter("{http://www.w3.org/2000/svg}text"):
        size = float(element.get("font-size"))
        pieces = [(element.text or "", size, element.get("class"))]
        pieces += [(part.text, float(part.get("font-size")), part.get("class")) for part in element]
        room = sum(wide(words, tall, bold=css not in ("d-note", "d-ink")) for words, tall, css in pieces)
        x, base = float(element.get("x")), float(element.get("y"))
        left = {"end": x - room, "middle": x - room / 2}.get(element.get("text-anchor"), x)
        found.append(
            (left, base - 0.76 * size, left + room, base + 0.22 * size, "".join(p[0] for p in pieces))
        )
    return found


def assert_readable(svg):
    """No two lines of type overlap, none leaves the drawing, and none is too small for a phone."""
    _, _, width, height = map(float, ET.fromstring(svg).get("viewBox").split())
    for left, top, right, bottom, words in boxes(svg):
        assert left >= -0.5, words
        assert right <= width + 0.5, words
        assert top >= -0.5, words
        assert bottom <= height + 0.5, words
    for (a, b, c, d, one), (e, f, g, h, other) in combinations(boxes(svg), 2):
        assert c <= e + 0.01 or g <= a + 0.01 or d <= f + 0.01 or h <= b + 0.01, (one, other)
    for size in re.findall(r'font-size="([\d.]+)"', svg):
        assert float(size) * PHONE / width >= 11


@pytest.mark.parametrize("figure", [ladder(voltages(), WORDS), wiring(array(), WORDS)])
def test_says_what_it_is(figure):
    """A drawing has a title and a description, bound to it by ids, for those who cannot see it."""
    root = ET.fromstring(figure.svg)
    space = "{http://www.w3.org/2000/svg}"
    title, says = root.find(space + "title"), root.find(space + "desc")

    assert root.get("role") == "img"
    assert root.get("aria-labelledby").split() == [title.get("id"), says.get("id")]
    assert title.text
    assert len(says.text) > 40


@pytest.mark.parametrize(
    "svg",
    [
        ladder(voltages(), WORDS).svg,
        wiring(array(runs=('"><script>x', "b & c"), failing=("b & c",)), WORDS).svg,
        margin_bar(finding("x", "", 25.0), WORDS),
        layout_icon(2, 3, WORDS),
        mark(),
        mark(alone=True),
    ],
)
def test_brings_nothing_from_outside(svg):
    """A drawing is well-formed, runs nothing and loads nothing, whatever names a reader gave."""
    tags = {element.tag.rpartition("}")[2] for element in ET.fromstring(svg).iter()}

    assert tags <= {"svg", "title", "desc", "text", "tspan", "path", "rect", "circle", "style"}
    assert "href" not in svg
    assert "url(" not in svg
    assert "<script" not in svg


def test_style_and_drawings_know_the_same_classes():
    """Every class a drawing uses has a style, and every style is used by a drawing."""
    failing = finding("x", "", 10.0, tight=1.0)
    drawn = [
        ladder(voltages({**ORDINARY, "voc_cold_string_V": 120.0, "vmp_hot_at_controller_V": 9.0}), WORDS).svg,
        ladder(
            assessment({"voc_stc_string_V": 22.4}, [unknown("cold-voltage-controller", "controller")]), WORDS
        ).svg,
        ladder(voltages(), WORDS).svg,
        *(
            wiring(array(9, 9, failing=("home run",), circuits=circuits), WORDS).svg
            for circuits in (None, 12)
        ),
        *(margin_bar(one, WORDS) for one in (failing, finding("x", "", 25.0, tight=1.0), unknown("x", ""))),
        layout_icon(9, 9, WORDS),
        mark(),
    ]
    used = {name for svg in drawn for names in re.findall(r'class="([^"]*)"', svg) for name in names.split()}
    styled = set(re.findall(r"\.(d(?:-[a-z-]+)?)(?![\w-])", STYLE))

    assert used - styled <= {"d-ladder", "d-wiring", "d-mark", "d-ink", "d-line"}
    assert styled - used == set()


def test_every_colour_has_a_fallback():
    """Where a page sets no palette, as in a picture by itself, the drawing still shows in the colour of the text."""
    assert not re.findall(r"var\(--[\w-]+\)", STYLE)


volts = st.floats(min_value=1.0, max_value=1500.0).map(lambda value: round(value, 3))


@st.composite
def any_voltages(draw):
    """Voltages in the order nature gives them, some left out, and limits that may lie anywhere."""
    values = sorted(draw(st.lists(volts, min_size=6, max_size=6)))
    names = [name for name, _ in RUNGS]
    kept = draw(st.sets(st.sampled_from(names), max_size=5)) - {"voc_stc_string_V"}
    rungs = {name: value for name, value in zip(names, values, strict=True) if name not in kept}
    parts = draw(st.lists(st.text(alphabet="abcWM <&", min_size=1, max_size=40), max_size=4))
    named = draw(st.sets(st.sampled_from(["cold-voltage-controller", "cold-voltage-site"])))
    limits = [(name, name, draw(volts)) for name in sorted(named)]
    limits += [("cold-voltage-parts", part, draw(volts)) for part in parts]
    needs = [(name, part, draw(volts)) for name, part, _ in NEEDS if draw(st.booleans())]
    return voltages(rungs, limits, needs)


@given(any_voltages(), st.sampled_from(["us", "metric"]))
@example(voltages({**ORDINARY, "voc_cold_string_V": 106.5}), "us")
@example(voltages({"voc_stc_string_V": 22.4}, [], []), "us")
@example(voltages(dict.fromkeys(ORDINARY, 20.0)), "us")
def test_ladder_is_readable(shown, system):
    """Whatever the voltages, no two labels of a ladder overlap and none leaves it."""
    assert_readable(ladder(shown, WORDS, system).svg)


@given(any_voltages())
def test_ladder_table_goes_from_high_to_low(shown):
    """The table beside the ladder has every voltage, the highest first."""
    figure = ladder(shown, WORDS)
    read = [float(row[1].removesuffix("\u00a0V").replace(",", "")) for row in figure.rows]

    assert all(above >= below for above, below in pairwise(read))
    assert len(figure.rows) >= sum(name in shown.steps for name, _ in RUNGS) - 1
    assert all(len(row) == len(figure.head) for row in figure.rows)


def test_ladder_tells_the_room():
    """Both distances stand in the drawing as words, and so do the ones that are missing."""
    room = ladder(voltages(), WORDS).svg
    passed = ladder(
        voltages({**ORDINARY, "voc_cold_string_V": 106.5, "vmp_hot_at_controller_V": 9.1}), WORDS
    ).svg

    assert "74.5\u00a0V room" in room
    assert "0.3\u00a0V room" in room
    assert "6.5\u00a0V" in passed
    assert "too\u00a0high" in passed
    assert "too\u00a0low" in passed
    assert "d-fails" in passed
    assert "d-fails" not in room


def test_ladder_never_prints_a_failing_voltage_as_its_limit():
    """A voltage just short of what is needed is printed with the digits that show it."""
    needs = [NEEDS[0], ("wake-voltage", "controller", 19.6)]
    svg = ladder(voltages({**ORDINARY, "voc_hot_string_V": 19.5608}, needs=needs), WORDS).svg

    assert "19.56\u00a0V" in svg
    assert "19.6\u00a0V" in svg


def test_far_limits_are_drawn_up_to_three():
    """Beyond the break stand the three nearest limits; the table has them all."""
    limits = [("cold-voltage-parts", f"part {number}", 100.0 * number) for number in range(1, 6)]
    figure = ladder(voltages(limits=limits), WORDS)

    assert [f"part {number}" in figure.svg for number in range(1, 6)] == [True, True, True, False, False]
    assert [row[1] for row in figure.rows[:5]] == [f"{number}00\u00a0V" for number in range(5, 0, -1)]


def test_equalising_has_a_bound_of_its_own():
    """Where an equalising voltage is given, what it needs stands beside what charging needs."""
    needs = [*NEEDS, ("hot-voltage-charging", "controller, equalising", 16.5)]
    figure = ladder(voltages(needs=needs), WORDS)

    assert ("Needed to equalise", "16.5\u00a0V", "") in figure.rows
    assert ("Needed to charge", "15.6\u00a0V", "") in figure.rows


def test_ladder_says_what_is_missing():
    """A limit nobody gave is named instead of being drawn."""
    shown = assessment({"voc_stc_string_V": 22.4}, [unknown("cold-voltage-controller", "controller")])

    assert WORDS("drawing.ladder.missing", names="controller") in ladder(shown, WORDS).svg


name = st.text(alphabet="abc WM<&é", min_size=1, max_size=60).map(lambda text: f"run {text}".strip())
names = st.lists(name, max_size=3, unique=True)


@given(st.integers(1, 30), st.integers(1, 30), st.one_of(st.none(), st.integers(1, 40)), names)
@example(14, 9, None, ["the long trench from the upper pasture to the pump house"])
@example(1, 1, None, [])
@example(2, 4, 6, ["home run"])
@example(6, 6, 12, ["home run"])
def test_wiring_is_readable(series, parallel, circuits, runs):
    """However many modules and strings there are, no words of the wiring overlap and none leaves it."""
    assert_readable(
        wiring(array(series, parallel, circuits=circuits, runs=runs, failing=runs[:1]), WORDS).svg
    )


def test_unlike_strings_are_named_one_by_one():
    """Each kind of string has its own words, and its own number of modules in the drawing."""
    figure = wiring(array(strings=((2, 2), (1, 1))), WORDS)

    assert figure.svg.count('class="d-module"') == 5
    assert [row for row in figure.rows if "Kind" in row[1]] == [
        ("2 strings of 2 modules", "Kind\u00a01\u00a0<&>\u00a0of\u00a0module"),
        ("1 module", "Kind\u00a02\u00a0<&>\u00a0of\u00a0module"),
    ]
    assert_readable(figure.svg)


@pytest.mark.parametrize(
    ("series", "parallel", "modules"), [(1, 4, 4), (6, 6, 36), (7, 1, 3), (1, 9, 4), (9, 9, 12)]
)
def test_many_modules_are_summarised(series, parallel, modules):
    """Up to six by six every module is drawn; beyond, some stand for the rest and the words count them all."""
    figure = wiring(array(series, parallel), WORDS)

    assert figure.svg.count('class="d-module"') == modules
    assert any(str(number) in figure.rows[0][0] for number in (series, parallel) if number > 1)


def test_couplers_stand_on_both_poles():
    """Every coupler is drawn once on the negative and once on the positive, with the current it carries in words."""
    figure = wiring(array(1, 4), WORDS)

    assert figure.svg.count('class="d-node-text"') == 6
    assert [row for row in figure.rows if row[0].startswith("coupler")] == [
        ("coupler 1", "carries 15.8\u00a0A"),
        ("coupler 2", "carries 23.6\u00a0A"),
        ("coupler 3", "carries 31.5\u00a0A"),
    ]


def test_spare_circuits_are_open():
    """A combiner shows the pairs of terminals that are used filled, and two of its spare ones as open rings."""
    svg = wiring(array(1, 4, circuits=7), WORDS).svg

    assert "7 circuits, 3 spare" in svg
    assert len(re.findall(r'<circle class="d-terminal"[^>]*r="3.5"', svg)) == 4
    assert len(re.findall(r'<circle class="d-node"[^>]*r="3.5"', svg)) == 8


def test_failing_part_says_so():
    """A part with a failing finding is told by a word, not by its colour alone."""
    figure = wiring(array(failing=("home run", "coupler 3")), WORDS)

    assert "fails: home run" in figure.svg
    assert ("fails: coupler 3", "carries 31.5\u00a0A") in figure.rows


def more(made, **values):
    """The same assessment with further design values: ``battery__device=40.0`` is ``battery.device``."""
    added = {
        path.replace("__", "."): Given(value, "A" if isinstance(value, float) else "", "")
        for path, value in values.items()
    }
    return replace(made, design=replace(made.design, values={**made.design.values, **added}))


def test_runs_stand_where_they_carry():
    """A string's leads are named with the strings, the array's run above the controller, the battery's below it."""
    made = array(runs=("leads", "home run", "battery cable"))
    carries = {"run.leads.carries": "string", "run.battery cable.carries": "battery"}
    values = {**made.design.values, **{path: Given(word, "", word) for path, word in carries.items()}}
    figure = wiring(replace(made, design=replace(made.design, values=values)), WORDS)
    order = [name for name, _ in figure.rows]

    assert "leads: 85\u00a0ft of 10\u00a0AWG" in figure.svg
    assert order.index("leads") < order.index("coupler 1") < order.index("home run")
    assert (
        order.index("home run")
        < order.index("controller")
        < order.index("battery cable")
        < order.index("battery")
    )
    assert_readable(figure.svg)


def test_devices_are_drawn_where_they_are_given():
    """A battery fuse and the size of the ground come from the design; a ground without size gets the least one."""
    figure = wiring(more(array(), battery__device=40.0, grounding__conductor="8 AWG"), WORDS)

    assert ("battery fuse or breaker", "40\u00a0A") in figure.rows
    assert ("equipment ground", "8\u00a0AWG") in figure.rows
    assert ("equipment ground", "at least 10\u00a0AWG") in wiring(array(), WORDS).rows
    assert figure.svg.count('class="d-fuse"') == wiring(array(), WORDS).svg.count('class="d-fuse"') + 1


@pytest.mark.parametrize("circuits", [None, 6])
def test_no_fuse_is_drawn_where_none_is_fitted(circuits):
    """Strings without fuses are drawn without them, with couplers and in a combiner."""
    made = array(circuits=circuits)
    steps = {
        name: step for name, step in made.steps.items() if not name.startswith(("string_fuse", "ground"))
    }
    figure = wiring(replace(made, steps=steps), WORDS)

    assert figure.svg.count('class="d-fuse"') == ("battery.device" in made.design.values)
    assert "d-ground" not in figure.svg
    assert "string fuse" not in [name for name, _ in figure.rows]
    assert_readable(figure.svg)


def test_part_of_a_run_fails_the_run():
    """A finding about one side of a run (before corrections) counts for the run that is drawn."""
    assert "fails: home run" in wiring(array(failing=("home run, before corrections",)), WORDS).svg


def test_battery_is_named_by_its_chemistry():
    """The chemistry is written as the trade writes it; "other" says nothing and is left out."""
    for chemistry, says in (("lifepo4", "12\u00a0V, LiFePO4"), ("other", "12\u00a0V")):
        made = array()
        values = {**made.design.values, "battery.chemistry": Given(chemistry, "", chemistry)}
        figure = wiring(replace(made, design=replace(made.design, values=values)), WORDS)

        assert ("battery", says) in figure.rows


def test_poles_differ_by_sign_and_line():
    """Negative and positive are told apart by their signs and by a dashed and a solid line."""
    svg = wiring(array(), WORDS).svg

    assert svg.count(">−</text>") == svg.count(">+</text>") >= 3
    assert "d-wire-minus" in svg
    assert "stroke-dasharray" in re.search(r"\.d-wire-minus \{[^}]*\}", STYLE)[0]


def test_lengths_follow_the_unit_system():
    """An American reads a run in feet, another reader in metres."""
    assert "85\u00a0ft of 10\u00a0AWG" in wiring(array(), WORDS).svg
    assert "25.9\u00a0m of 10\u00a0AWG" in wiring(array(), WORDS, "metric").svg


@given(
    st.floats(0.001, 1e6), st.floats(0.001, 1e6), st.sampled_from(["at most", "at least"]), st.floats(0, 0.5)
)
@example(99.97, 100.0, "at most", 0.03)
@example(100.0004, 100.0, "at most", 0.03)
@example(1e6, 0.001, "at least", 0.05)
def test_bar_never_contradicts_its_finding(actual, limit, sense, share):
    """The bar's words stay on their side of the limit, it stays on its track, and only a failing one is marked so."""
    svg = margin_bar(finding("x", "", limit, actual=actual, sense=sense, tight=share * limit), WORDS)
    words = ET.fromstring(svg.replace("<svg", '<svg xmlns="http://www.w3.org/2000/svg"'))
    said = "".join(text for text in words.itertext()).replace("\u00a0", " ")
    fails = actual > limit if sense == "at most" else actual < limit
    printed = float(said.replace(",", "").removesuffix(" %")) if said.endswith("%") else 1000.0

    assert ("d-fails" in svg) == (fails and "d-fails-text" in svg)
    assert abs(actual / limit - 1) < 1e-9 or (printed > 100) == (actual > limit)
    assert (said[0] == ">") == (actual / limit >= 100)
    for x in re.findall(r"[ML](-?[\d.]+) ", svg):
        assert 0 <= float(x) <= 132


def test_bar_says_its_numbers():
    """Value, limit and room stand in the bar's label."""
    svg = margin_bar(finding("x", "", 100.0, actual=25.4912, tight=3.0), WORDS).replace("\u00a0", " ")

    assert 'aria-label="25.5 V of at most 100 V: 74.5 V of room"' in svg
    assert ">25.5 %<" in svg


def test_bar_of_a_plain_answer_is_empty():
    """Where there is nothing to compare there is no bar; where input is missing it is empty and dashed."""
    idle = Finding("x", "", Verdict.DOES_NOT_APPLY, "code", reason="one-string")
    counted = finding("x", "", 1.0, actual=1.0, unit="")

    assert margin_bar(idle, WORDS) == ""
    assert margin_bar(counted, WORDS) == ""
    assert margin_bar(finding("x", "", 0.0, actual=1.0), WORDS) == ""
    assert "d-track-unknown" in margin_bar(unknown("x", ""), WORDS)


@given(st.integers(1, 40), st.integers(1, 40))
def test_layout_icon_stays_in_its_square(series, parallel):
    """Every layout has its pictogram: up to four by four modules, all inside the square."""
    svg = layout_icon(series, parallel, WORDS)
    rects = re.findall(r'<rect [^>]*x="([\d.-]+)" y="([\d.-]+)" width="([\d.]+)" height="([\d.]+)"', svg)

    assert len(rects) == min(series, 4) * min(parallel, 4)
    assert ("d-icon-open" in svg) == (max(series, parallel) > 4)
    for x, y, width, height in (tuple(map(float, rect)) for rect in rects):
        assert 0 <= x <= x + width <= 48
        assert 0 <= y <= y + height <= 48


def test_mark_alone_brings_its_colours():
    """The mark as a file sets its own colours for light and dark; in a page it takes the page's and is silent."""
    assert "prefers-color-scheme:dark" in mark(alone=True)
    assert 'aria-hidden="true"' in mark()
    assert "#" not in mark()


@given(st.lists(st.tuples(st.floats(-50, 400), st.floats(5, 40)), max_size=12))
def test_labels_are_spread_without_overlap(labels):
    """Labels keep their order, never overlap, and stand inside their column as long as it has room for them."""
    labels.sort()
    wanted, heights = [y for y, _ in labels], [tall for _, tall in labels]
    places = spread(wanted, heights, 0, 500)

    ends = [(place - tall / 2, place + tall / 2) for place, tall in zip(places, heights, strict=True)]
    assert all(above[1] <= below[0] + 1e-6 for above, below in pairwise(ends))
    assert all(start >= -1e-6 for start, _ in ends)
    assert sum(heights) > 500 or all(end <= 500 + 1e-6 for _, end in ends)


def test_labels_with_room_stay_where_they_belong():
    """A label that collides with none stands exactly at its line."""
    assert spread([20, 60, 100], [30, 30, 30], 0, 200) == [20, 60, 100]


@given(st.floats(-20, 20), st.floats(-20, 20), st.floats(0, 200), st.floats(0, 200), st.floats(2, 10))
def test_hatching_stays_in_its_box(x, y, width, height, gap):
    """Every stroke of a hatched zone ends at the zone's edge."""
    canvas = Canvas()
    canvas.hatch((x, y, width, height), "d-hatch", gap)
    points = re.findall(r"[ML](-?[\d.]+) (-?[\d.]+)", "".join(canvas.parts))

    for px, py in points:
        assert x - 0.06 <= float(px) <= x + width + 0.06
        assert y - 0.06 <= float(py) <= y + height + 0.06


@given(st.text(max_size=60), st.floats(20, 300))
def test_cut_words_fit(words, room):
    """Words that are too long end in an ellipsis and fit; words that fit are left alone."""
    short = cut(words, 13, room)

    assert short == words or (short.endswith("…") and wide(short, 13) <= room)
    assert all(wide(line, 13) <= room for line in lines(words, 13, room))
