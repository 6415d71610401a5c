"""A lesson's figure: the few controls, findings and quantities that its plan names, and nothing that it does not."""

import json
import re

import pytest

from calc import assess, bridge, load_book, read_design
from calc.read.change import changed_document
from calc.read.scenario import read_document
from calc.read.text import read_toml
from calc.render.as_form import Bench
from calc.render.as_lesson import Plan, as_lesson, as_mistake, as_working, in_lesson, plan_of
from floor import ROOT

FILE = (ROOT / "scenarios" / "examples" / "high-tunnel.toml").read_text("utf-8")
PLAN = Plan(
    controls=("array.modules_in_series", "run.home run.length", "no.such.path"),
    findings=("cold-voltage-controller", "run-ampacity @ home run", "no-such-finding"),
    quantities=("voc_cold_string_V", "no_such_quantity"),
    drawings=("ladder",),
    report="../designs/high-tunnel/",
)


@pytest.fixture(scope="module")
def begun():
    return assess(read_design(FILE), load_book())


@pytest.fixture(scope="module")
def wrong():
    """The same with five modules in series, which the controller does not take."""
    document = changed_document(read_toml(FILE), {"array.modules_in_series": "8"})
    return assess(read_document(document, "en"), load_book())


def ask(**request):
    asked = {"base": FILE, "home": "../../", "lesson": vars_of(PLAN), **request}
    return json.loads(bridge.answer(json.dumps(asked)))


def vars_of(plan):
    return {
        name: list(getattr(plan, name)) for name in ("controls", "findings", "quantities", "drawings")
    } | {"report": plan.report}


def test_a_plan_from_a_page_is_the_plan():
    """What a page sends is the plan that the build wrote into it."""
    assert plan_of(vars_of(PLAN)) == PLAN


@pytest.mark.parametrize(
    "asked",
    [None, 3, "controls", [], {"controls": 3, "findings": "abc", "report": ["x"]}, {"drawings": None}],
)
def test_a_broken_plan_is_an_empty_one(asked):
    """Whatever else a page sends is no plan, or one that shows nothing, never a fault."""
    assert plan_of(asked) in (None, Plan())


def test_the_figure_has_its_controls_and_no_others(begun):
    """Only what the plan names and the design has can be changed; the rest of the form is not there."""
    html = as_lesson(begun, PLAN, Bench("high-tunnel", FILE, "../../"), ["<svg></svg>"])

    fields = set(re.findall(r'data-path="([^"]+)"|name="([^"]+)"', html))
    assert "array.modules_in_series" in html
    assert "run.home run.length" in html
    assert "controller.max_voltage" not in {one for pair in fields for one in pair}
    assert "no.such.path" not in re.sub(r"<script.*?</script>", "", html, flags=re.DOTALL)
    assert "<svg></svg>" in html


def test_answers_are_those_that_were_asked_for(begun):
    """The plan's findings and quantities, in its order, and what it names in vain left out."""
    html = ask(parts=["answers"])["fragments"]["answers"]

    assert html.count('<li class="finding') == 2
    assert html.count("<dt>Open-circuit voltage of a string on the coldest morning</dt><dd>55.3") == 1
    assert html.index("coldest morning push") < html.index("home run")


def test_a_changed_figure_tells_what_it_was():
    """After a change the quantity is told with what it was before it."""
    answer = ask(parts=["answers", "form"], set={"array.modules_in_series": "3"})
    sent = " ".join([*answer["fragments"].values(), *answer["pieces"].values()])

    assert re.search(r'<dd>82\.9\W+V <span class="was">was 55\.3\W+V</span></dd>', sent)


def test_a_figure_that_cannot_be_read_shows_its_problem():
    """A control with a wrong value gives the problem beside it, and the form as it was typed."""
    answer = ask(parts=["answers", "form"], set={"run.home run.length": "40 gallons"})

    assert not answer["ok"]
    assert answer["problems"][0]["path"] == "run.home run.length"
    assert "40 gallons" in answer["fragments"]["form"]


def test_a_mistake_names_what_was_changed_and_what_fails(begun, wrong):
    """The common mistake: its change in words, ready to be tried, and the finding that says why it fails."""
    html = as_mistake(begun, wrong, ["cold-voltage-controller"])

    assert "221" in html
    assert re.search(r'data-change="[^"]*array\.modules_in_series', html)
    assert "fails" in html.lower()


def test_the_working_has_no_links_inside_its_formula(begun):
    """A reader of a lesson follows one link to the report, none inside the formula."""
    html = as_working(begun, "voc_cold_string_V", PLAN.report)

    assert "55.3" in html
    assert not re.search(r"<math[^>]*>(?:(?!</math>).)*<a\b", html, re.DOTALL)


def test_links_of_a_section_lead_to_the_report():
    """What a section links to on its own page stands in the report of the lesson's design."""
    assert in_lesson('<a href="#step-x">x</a> <a href="../y/">y</a>', PLAN) == (
        '<a href="../designs/high-tunnel/#step-x">x</a> <a href="../y/">y</a>'
    )
