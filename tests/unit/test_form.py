"""The live form, and two layouts set side by side."""

import re
from html import unescape

import pytest

from calc import as_html, check, load_book, read_design
from calc.model.problems import InputProblem
from calc.read.sections import BY_PATH
from calc.render.as_form import Bench, as_bench, as_form, as_state, problems_html
from calc.render.catalogue import load_words
from calc.render.compare import as_compare, compare
from calc.render.form import Typed, form_paths, make_form, typed_of
from calc.render.sliders import slider
from floor import ROOT

EXAMPLES = sorted((ROOT / "scenarios").rglob("*.toml"))
TUNNEL = (ROOT / "scenarios" / "examples" / "high-tunnel.toml").read_text("utf-8")
WORDS = load_words()


def assessed(text=TUNNEL, **change):
    for old, new in change.values():
        assert old in text
        text = text.replace(old, new)
    return check(read_design(text), load_book())


def form(assessment, typed=None, system="us"):
    return make_form(typed or typed_of(assessment.design), assessment, WORDS, system)


def control(made, path):
    controls = [*made.quick, *(one for section in made.sections for one in section.controls)]
    return next(one for one in controls if one.path == path)


@pytest.mark.parametrize("file", EXAMPLES, ids=lambda file: file.stem)
def test_every_given_value_has_a_field(file):
    """Whatever a design file says can be changed: each value has one field in the form."""
    assessment = assessed(file.read_text("utf-8"))
    html = as_form(assessment)

    names = [unescape(name) for name in re.findall(r'<(?:input|select) id="[^"]+" name="([^"]+)"', html)]
    assert len(names) == len(set(names))
    given = {path for path in assessment.design.values if not path.endswith(".name")}
    assert given - {"title", "story", "site.rules"} <= set(names)


@pytest.mark.parametrize("file", EXAMPLES, ids=lambda file: file.stem)
def test_every_field_has_a_label_of_its_own(file):
    """Each control has one label, and no two elements share an id."""
    html = as_form(assessed(file.read_text("utf-8")))

    ids = re.findall(r'\bid="([^"]+)"', html)
    assert len(ids) == len(set(ids))
    labelled = set(re.findall(r'<label for="([^"]+)"', html))
    assert labelled == set(re.findall(r'<(?:input|select) id="([^"]+)" name=', html))


def test_what_counts_where_nothing_was_said():
    """An empty field says what is assumed in its place, or gives an example of what could stand there."""
    assessment = assessed(noct=('noct = "44 degC"\n', ""))
    made = form(assessment)

    stands_for = control(made, "module.noct").stands_for
    assert stands_for.endswith("°C")
    assert f'<td class="said">{stands_for}</td>' in as_html(assessment)["assumptions"]
    assert control(made, "battery.device").example == "40 A"


def test_the_other_unit_stands_beside_the_typed_one():
    """A length typed in feet is also told in metres to a reader of metres, and is left as it was typed."""
    metric = control(form(assessed(), system="metric"), "run.home run.length")

    assert (metric.value, metric.also) == ("40 ft", "12.2\N{NO-BREAK SPACE}m")


def test_changes_are_listed_with_the_way_back():
    """What differs from the start is listed, each with what it was and the change that puts it back."""
    start, now = assessed(), assessed(longer=('length = "40 ft"', 'length = "60 ft"'))
    made = form(now, typed_of(now.design, start.design))

    assert [(one.label, one.now, one.was, one.back) for one in made.changes] == [
        ("length, one way (home run)", "60 ft", "40 ft", '{"run.home run.length": "40 ft"}')
    ]
    assert control(made, "run.home run.length").changed


def test_a_problem_stands_beside_its_field():
    """The field keeps what was typed, is marked as wrong, and says what is wanted; its box is open."""
    problem = InputProblem("battery.nominal", '"12"', "a voltage with its unit", '"12 V"')
    typed = Typed({"battery.nominal": "12"}, {}, (), 0, 0, (problem,))
    made = make_form(typed, None, WORDS, "us")

    wrong = control(made, "battery.nominal")
    assert (wrong.value, wrong.problem) == ("12", "a voltage with its unit")
    assert [section.title for section in made.sections if section.open] == ["Battery"]
    assert made.open


def test_a_problem_leads_to_its_field_only_where_there_is_one():
    """A line about something that has no field says so without a link that leads nowhere."""
    problems = tuple(InputProblem(path, "x", "y", "z") for path in ("battery.nominal", "battery.volts", ""))

    html = problems_html(problems, WORDS, form_paths(typed_of(assessed().design)))

    assert re.findall(r'<a href="([^"]+)"', html) == ["#in-battery-nominal"]


LENGTH, COLD, COUNT = BY_PATH["run.<run>.length"], BY_PATH["site.coldest"], BY_PATH["array.modules_in_series"]


@pytest.mark.parametrize(
    ("field", "text", "start", "wanted"),
    [
        (LENGTH, "40 ft", "40 ft", ("1", "120", "40", "ft")),
        (LENGTH, "300 ft", "40 ft", ("1", "300", "300", "ft")),
        (LENGTH, "20 m", "40 ft", ("1", "60", "20", "m")),
        (COLD, "-24 degC", "-24 degC", ("-54", "6", "-24", "degC")),
        (COLD, "\N{MINUS SIGN}70 degC", "-24 degC", ("-70", "6", "-70", "degC")),
        (COUNT, "2", "2", ("1", "12", "2", "")),
        (COUNT, "40", "2", ("1", "40", "40", "")),
    ],
)
def test_a_slider_reaches_what_is_typed(field, text, start, wanted):
    """A range goes well past the start, and always holds what was typed, in the unit in which it was typed."""
    made = slider(field, text, start)

    assert (made.least, made.most, made.value, made.unit) == wanted


@pytest.mark.parametrize("text", ["", "-", "long", "40", "1e999 ft", "<b>"])
def test_a_slider_stays_while_the_text_cannot_be_read(text):
    """In the middle of typing the range stays where the page began."""
    assert slider(LENGTH, text, "40 ft") == slider(LENGTH, "40 ft", "40 ft")


def test_a_slider_begins_at_what_is_assumed():
    """A temperature that nobody gave has its range around the one that is taken."""
    assert slider(COLD, "", "", "-10 degC").value == "-10"
    assert slider(LENGTH, "", "") is None
    assert slider(BY_PATH["module.voc"], "22 V", "22 V") is None


def test_the_design_file_stands_in_the_page_without_ending_its_script():
    """The text of a design file cannot end the element it stands in, whatever its author wrote."""
    text = TUNNEL.replace("High tunnel fans", "</script><script>alert(1)</script><!--")

    html = as_bench(assessed(text), Bench("tunnel", text, "../../"))

    data = html.split('id="bench-data">')[1].split("</script>")[0]
    assert "\\u003c/script>\\u003cscript>alert(1)" in data
    assert html.count("</script>") == 1


def test_the_line_at_the_foot_begins_hidden():
    """It is of use only once something has changed."""
    assert "hidden" in as_state(assessed()).split(">")[0]


def test_two_layouts_are_compared():
    """What was chosen differently, figures with the difference in words, and each finding that came out differently."""
    pinned, here = assessed(), assessed(more=("modules_in_series = 2", "modules_in_series = 4"))

    shown = compare(pinned, here, WORDS, "us")

    assert shown.says == "The pinned layout holds; this one fails. One finding differs."
    assert [(row.name, row.pinned, row.here) for row in shown.inputs] == [("modules in series", "2", "4")]
    figures = {row.name: row.says.replace("\N{NO-BREAK SPACE}", " ") for row in shown.figures}
    assert figures["Power of the array at standard test conditions"] == "1,600 W more"
    assert figures["Short-circuit current of the array"] == "the same"
    assert figures["Share of the voltage lost on the way"] == "0.90 percentage points less"
    (row,) = shown.findings
    assert (row.pinned.verdict, row.here.verdict) == ("holds", "fails")
    assert row.says.startswith("The pinned layout: holds (64")


def test_a_layout_beside_itself_differs_in_nothing():
    """The same layout twice: no input, no finding, and every figure the same."""
    shown = compare(assessed(), assessed(), WORDS, "us")

    assert (shown.inputs, shown.findings) == ((), ())
    assert {row.says for row in shown.figures} <= {"the same", ""}


@pytest.mark.parametrize("system", ["us", "metric"])
@pytest.mark.parametrize("file", EXAMPLES, ids=lambda file: file.stem)
def test_every_layout_can_be_compared(file, system):
    """Whatever is pinned and whatever stands on the bench, they are set side by side."""
    here = assessed(file.read_text("utf-8"))

    assert "report-compare" in as_compare(assessed(), here, system)
    assert "report-compare" in as_compare(here, assessed(), system)
