"""The wiring drawing part by part: no words overlap, no pole crosses the other, and the names are the list's."""

import re
import xml.etree.ElementTree as ET
from itertools import combinations, pairwise

import pytest

from calc.render.catalogue import load_words
from calc.render.drawings.detail import detail
from calc.render.drawings.detailed import detail_of
from calc.render.make.says import name_of
from calc.render.make.section import FRAGMENTS, as_make_html
from tests.unit.made import SCENARIOS, on_any, order, parts, scenario, simple
from tests.unit.test_drawings import STYLE, assert_readable, boxes

WORDS = load_words()
SPACE = "{http://www.w3.org/2000/svg}"
FUSED = {"fuse": 10}
COMBINER = '[combiner]\ncircuits = 10\nbar_rating = "100 A"\nbreaker = "80 A"\nvoltage_rating = "600 V"'


def segments(svg, *classes):
    """Every straight piece of the lines of some classes."""
    for element in ET.fromstring(svg).iter(f"{SPACE}path"):
        if element.get("class") in classes:
            points = [
                tuple(map(float, pair)) for pair in re.findall(r"(-?[\d.]+) (-?[\d.]+)", element.get("d"))
            ]
            yield from pairwise(points)


def cross(one, other):
    """Whether two pieces, each level or upright, touch."""
    (ax, ay), (bx, by) = one
    (cx, cy), (dx, dy) = other
    return (
        max(min(ax, bx), min(cx, dx)) <= min(max(ax, bx), max(cx, dx)) + 0.01
        and max(min(ay, by), min(cy, dy)) <= min(max(ay, by), max(cy, dy)) + 0.01
    )


def assert_apart(svg):
    """Plus meets neither minus nor ground anywhere, and no conductor runs through words."""
    plus, minus, ground = (list(segments(svg, css)) for css in ("d-wire", "d-wire-minus", "d-ground"))
    for one, other in ((plus, minus), (plus, ground), (minus, ground)):
        assert not [(a, b) for a in one for b in other if cross(a, b)]
    wires = plus + minus + ground
    for left, top, right, bottom, words in boxes(svg):
        for a, b in wires:
            inside = cross((a, b), ((left + 1, top + 2), (right - 1, bottom - 2)))
            assert not inside or words in COVERED or re.fullmatch(r"C\d+[+−]", words), (words, a, b)


COVERED = ("−", "+")
"""Signs on a terminal stand on a filled ring that lies over the wire; so do the names of couplers."""


@on_any(60)
def test_any_design_is_drawn_legibly(assessment):
    """Property over random designs: no words overlap or leave the drawing, no poles cross, nothing is too small."""
    svg = detail(parts(assessment), WORDS).svg
    assert_readable(svg)
    assert_apart(svg)


@pytest.mark.parametrize("more", ["", COMBINER])
@pytest.mark.parametrize(
    ("series", "parallel"), [(4, 8), (8, 4), (8, 8), (1, 1), (12, 3), (2, 30), (200, 200)]
)
def test_every_module_is_drawn_up_to_eight_by_eight(series, parallel, more):
    """Up to eight in a string and eight strings each module stands there with both signs; more are summarised."""
    svg = detail(parts(simple(series, parallel, more=more, **FUSED)), WORDS).svg
    drawn = svg.count('class="d-module"')
    assert drawn == (series if series <= 8 else 4) * (parallel if parallel <= 8 else 4)
    assert_readable(svg)
    assert_apart(svg)


def test_no_two_leads_of_one_pole_cross_at_a_combiner():
    """Leads of eight strings lie side by side: none touches another before its own terminal."""
    svg = detail(parts(simple(4, 8, more=COMBINER, **FUSED)), WORDS).svg
    for css in ("d-wire", "d-wire-minus"):
        lines = []
        for element in ET.fromstring(svg).iter(f"{SPACE}path"):
            if element.get("class") == css and element.get("d").count("L") == 3:
                points = [
                    tuple(map(float, pair)) for pair in re.findall(r"(-?[\d.]+) (-?[\d.]+)", element.get("d"))
                ]
                lines.append(list(pairwise(points)))
        assert len(lines) == 8
        for one, other in combinations(lines, 2):
            assert not any(cross(a, b) for a in one for b in other)


@on_any(40)
def test_names_on_the_drawing_are_the_lists(assessment):
    """Every part that the drawing names stands under that name in the list, and every mark on it belongs to a line."""
    found = parts(assessment)
    plan = detail_of(found, WORDS, "us")
    names = {name_of(line, WORDS) for line in found.lines} | {line.called for line in found.lines}
    for block in plan.blocks:
        assert any(block.name == name or block.name.startswith(f"{name} ") for name in names if name), (
            block.name
        )
    marks = {mark for line in found.lines for mark in line.marks}
    svg = detail(found, WORDS).svg
    drawn = set(re.findall(r">(F\d+|C\d+[+−])<", svg))
    assert drawn <= marks
    assert {row.mark for row in plan.rows if row.mark} <= marks


def test_poles_differ_in_more_than_colour():
    """Minus is dashed and plus is not, and every module and box bears both signs."""
    minus = re.search(r"\.d \.d-wire-minus \{([^}]*)\}", STYLE)[1]
    plus = re.search(r"\.d \.d-wire \{([^}]*)\}", STYLE)[1]
    assert "stroke-dasharray" in minus
    assert "stroke-dasharray" not in plus
    texts = [words for *_, words in boxes(detail(parts(scenario("bee-yard")), WORDS).svg)]
    assert texts.count("+") == texts.count("−") >= 4 + 4


def test_the_drawing_uses_the_hand_of_the_others():
    """It needs no class that the drawings' style does not know."""
    used = set()
    for more in ("", COMBINER):
        svg = detail(parts(simple(9, 9, more=more, **FUSED)), WORDS).svg
        used |= {name for names in re.findall(r'class="([^"]*)"', svg) for name in names.split()}
    styled = set(re.findall(r"\.(d(?:-[a-z-]+)?)(?![\w-])", STYLE))
    assert used - styled <= {"d-detail", "d-ink", "d-line"}


def test_run_stands_there_with_size_and_length():
    """The home run of 85 ft of 6 AWG is on the drawing, and in metres where that is asked for."""
    us, metric = (
        detail(parts(scenario("stock-water-pump")), WORDS, system).svg for system in ("us", "metric")
    )
    assert "85\N{NO-BREAK SPACE}ft of 6\N{NO-BREAK SPACE}AWG copper" in us
    assert "25.9\N{NO-BREAK SPACE}m of 6\N{NO-BREAK SPACE}AWG copper" in metric


@pytest.mark.parametrize("path", SCENARIOS, ids=lambda path: path.stem)
def test_fragments_are_complete_and_escaped(path):
    """Each fragment is one section with its fixed id, well formed, whatever names the design has."""
    assessment = scenario(path.stem)
    made = as_make_html(parts(assessment), order(assessment), home="../../")
    assert list(made) == list(FRAGMENTS)
    for name, html in made.items():
        assert html.startswith("<section ") or "<section " in html[:200]
        assert f'id="report-{name}"' in html
        assert html.count("<section ") == html.count("</section>") == 1
        assert "<script" not in html
    assert as_make_html(parts(assessment), order(assessment), wanted=("labels",)).keys() == {"labels"}


@pytest.mark.parametrize(
    ("inlets", "shown"), [(2, ["C1", "C2", "C29"]), (4, ["C1", "C10"]), (6, ["C1", "C6"]), (12, ["C1", "C3"])]
)
def test_strings_that_are_left_out_leave_no_lead_loose(inlets, shown):
    """Of 30 strings four are drawn; every drawn lead ends at a coupler, and the last coupler goes on to the rails."""
    coupler = f'[[coupler]]\ninputs = {inlets}\nrating = "30 A"'
    svg = detail(parts(simple(2, 30, more=coupler)), WORDS).svg
    assert re.findall(r">(C\d+)\+<", svg) == shown
    rects = [e for e in ET.fromstring(svg).iter(f"{SPACE}rect") if e.get("class") == "d-terminal"]
    edges = [[float(e.get(key)) for key in ("x", "y", "width", "height")] for e in rects]
    for css in ("d-wire", "d-wire-minus"):
        leads = list(segments(svg, css))
        ends = [point for lead in leads for point in lead]
        touching = [
            p
            for p in ends
            for x, y, w, h in edges
            if x - 0.1 <= p[0] <= x + w + 0.1 and y - 0.1 <= p[1] <= y + h + 0.1
        ]
        assert len(touching) >= 4 + 1
