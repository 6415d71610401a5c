"""The browser door: what it answers, that it sends only what is new, and that markup from outside stays text."""

import json
import re
from html.parser import HTMLParser
from importlib import import_module

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calc import as_html, as_json, assess, bridge, check, load_book, read_design
from calc.render.as_form import as_form
from calc.render.kept import Kept
from floor import ROOT

SCENARIOS = sorted((ROOT / "scenarios").rglob("*.toml"))
TUNNEL = (ROOT / "scenarios" / "examples" / "high-tunnel.toml").read_text("utf-8")
HOSTILE = "<img src=x onerror=alert(1)>'\"&</script><script>alert(2)</script>"


def ask(base=TUNNEL, **request):
    return json.loads(bridge.answer(json.dumps({"base": base, "home": "../../", **request})))


def applied(page, answer):
    """The text of a page's parts after an answer in pieces: each put in place of the element that has its id."""
    for name, piece in answer["pieces"].items():
        part = next(part for part, text in page.items() if f'id="{name}"' in text)
        text = page[part]
        begin = text.rindex("<", 0, text.index(f'id="{name}"'))
        page = {**page, part: text[:begin] + piece.rstrip("\n") + text[end_of(text, begin) :]}
    return page


def end_of(text, begin):
    """Where the element ends that begins at a place."""
    tag = re.compile(rf"<(/?){re.match(r'<([a-z]+)', text[begin:])[1]}\b")
    depth = 0
    for found in tag.finditer(text, begin):
        depth += -1 if found[1] else 1
        if not depth:
            return text.index(">", found.end()) + 1
    raise AssertionError("an element that does not end")


@pytest.mark.parametrize("file", SCENARIOS, ids=lambda file: file.stem)
def test_an_unchanged_design_is_the_built_page(file):
    """For a design as it stands in its file the door gives the very bytes that the build puts into the page."""
    text = file.read_text("utf-8")
    assessment = check(read_design(text), load_book())

    answer = ask(text)

    built = as_html(assessment, home="../../") | {"form": as_form(assessment)}
    assert {name: answer["fragments"][name] for name in built} == built
    assert answer["differs"] == {}


@pytest.mark.parametrize("file", SCENARIOS, ids=lambda file: file.stem)
def test_a_built_page_needs_nothing_new(file):
    """A page that stands as it was built is sent nothing for an unchanged design but the comparison."""
    answer = ask(file.read_text("utf-8"), have="start")

    assert (list(answer["fragments"]), answer["pieces"]) == (["compare"], {})


@pytest.mark.parametrize("file", SCENARIOS, ids=lambda file: file.stem)
def test_the_json_is_that_of_the_terminal(file):
    """The results saved from a page are those that the terminal prints."""
    text = file.read_text("utf-8")

    answer = ask(text, parts=[], json=True)

    assert answer["assessment"] == json.loads(as_json(check(read_design(text), load_book())))


CHANGES = [
    {"site.coldest": "-31 degC", "run.home run.length": "55 ft"},
    {"array.modules_in_series": "7"},
    {"run.home run.length": "400 ft", "run.home run.size": "10 AWG"},
    {"combiner.breaker": "20 A"},
]


@pytest.mark.parametrize("change", CHANGES, ids=" ".join)
def test_pieces_make_the_same_page(change):
    """What is sent in pieces, put in place, is what would have been sent whole."""
    parts = ["findings", "derivations", "given", "form"]
    begun = ask(parts=parts)

    answer = ask(parts=parts, set=change, have=begun["number"])

    assert "findings" not in answer["fragments"]
    assert any(name.startswith("finding-") for name in answer["pieces"])
    there = {**begun["fragments"], **answer["fragments"]}
    assert applied(there, answer) == ask(parts=parts, set=change)["fragments"]


@pytest.mark.parametrize("change", CHANGES, ids=" ".join)
def test_what_was_kept_is_of_no_other_design(monkeypatch, change):
    """After another design was printed, a page is what it would be had nothing been kept of that one."""
    parts = ["findings", "derivations"]
    ask(parts=parts)
    printed = ask(parts=parts, set=change)["fragments"]

    for module, name in (
        ("as_html", "_PIECES"),
        ("as_html", "_FRAMES"),
        ("view", "_FINDINGS"),
        ("view", "_LINES"),
    ):
        monkeypatch.setattr(import_module(f"calc.render.{module}"), name, Kept())

    assert printed == ask(parts=parts, set=change)["fragments"]


def test_a_finding_whose_numbers_change_sends_only_those():
    """Of a finding that comes out as before, only its sentence and its figures are sent."""
    begun = ask(parts=["findings"])

    sent = ask(parts=["findings"], set={"site.coldest": "-26 degC"}, have=begun["number"])["pieces"]
    back = ask(parts=["findings"], set={"array.modules_in_series": "7"}, have=begun["number"])["pieces"]

    assert {name.rpartition("-")[2] for name in sent} == {"says", "figures"}
    assert 'id="finding-cold---2d---voltage---2d---controller--controller-says"' in "".join(back.values())
    assert "finding-cold---2d---voltage---2d---controller--controller" in back


def test_a_number_that_is_not_known_brings_everything():
    """A page that took over an answer of another life of the door is sent everything."""
    assert set(ask(have=10**6)["fragments"]) == set(ask()["fragments"])


def test_changes_are_marked_in_words():
    """Verdict, figures, findings, steps and inputs that differ from the start say what they were."""
    fragments = ask(set={"array.modules_in_series": "4"})["fragments"]

    assert '<span class="was">was holds</span>' in fragments["verdict"]
    for name in ("verdict", "findings", "derivations"):
        assert '<span class="was">was 55.3\N{NO-BREAK SPACE}V</span>' in fragments[name], name
    for name in ("given", "form"):
        assert '<span class="was">was 2</span>' in fragments[name], name


def test_back_at_the_start_nothing_is_marked():
    """A change and its opposite leave no trace."""
    assert ask(set={"array.modules_in_series": "2"})["fragments"] == ask()["fragments"]


def test_what_cannot_be_read_comes_back_as_typed():
    """Problems lead to their fields, the form keeps every text, and no verdict is given."""
    answer = ask(set={"module.voc": "22.4", "array.modules_in_series": "2.5"})

    assert not answer["ok"]
    assert {one["path"] for one in answer["problems"]} == {"module.voc", "array.modules_in_series"}
    assert set(answer["fragments"]) == {"form", "problems"}
    for text in ('value="22.4"', 'value="2.5"', 'aria-invalid="true"'):
        assert text in answer["fragments"]["form"]
    assert 'href="#in-module-voc"' in answer["fragments"]["problems"]
    assert answer["differs"] == {"module.voc": "22.4", "array.modules_in_series": "2.5"}


def test_the_file_is_the_design_on_the_page():
    """The saved design file holds the changes and is read back as the same design."""
    answer = ask(set={"run.home run.length": "60 ft"}, file=True)

    assert read_design(answer["file"]).values["run.home run.length"].said == "60 ft"


def test_a_link_tells_what_differs_from_its_page():
    """When another file was opened, the link still tells the design against the page it leads to."""
    opened = TUNNEL.replace('coldest = "-24 degC"', 'coldest = "-10 degC"')

    answer = ask(opened, origin=TUNNEL, set={"array.strings_in_parallel": "3"})

    assert answer["differs"] == {"site.coldest": "-10 degC", "array.strings_in_parallel": "3"}
    assert "coldest" not in answer["fragments"]["problems"]


def test_a_pinned_layout_is_compared():
    """With a pinned layout the answer sets the two side by side, with each difference named."""
    compare = ask(parts=["compare"], set={"array.modules_in_series": "4"}, pinned={"base": TUNNEL, "set": {}})

    text = compare["fragments"]["compare"]
    assert "The pinned layout holds; this one fails." in text
    assert "The pinned layout: holds" in text


@pytest.mark.parametrize(
    "pinned", [{"base": "not toml", "set": {}}, {"base": TUNNEL, "set": {"module.voc": "x"}}, 3]
)
def test_a_pinned_layout_that_cannot_be_read_is_left_out(pinned):
    """A damaged link cannot stop the page."""
    assert "hidden" in ask(parts=["compare"], pinned=pinned)["fragments"]["compare"]


@pytest.mark.parametrize(
    "text", ["", "voc = ", "\x00", "[module]\nvoc = '" + "9" * 400_000, '[module]\nvoc = "<b>"']
)
def test_a_broken_file_is_not_opened(text):
    """A file that cannot be read gives its problems and leaves the form alone."""
    answer = ask(text, opened=True, parts=["problems"])

    assert not answer["ok"]
    assert set(answer["fragments"]) == {"problems"}
    assert "The file was not opened" in answer["fragments"]["problems"]


def test_an_empty_part_is_not_lost_on_the_way():
    """A coupler of which nothing is said counts in the browser as it does in the terminal."""
    text = TUNNEL.replace('combiner"', 'couplers"') + "\n[[coupler]]\n[[coupler]]\n"

    answer = ask(text, parts=[], json=True)

    assert answer["assessment"] == json.loads(as_json(check(read_design(text), load_book())))


class Tags(HTMLParser):
    """Collects what a browser would make of a text."""

    def __init__(self):
        super().__init__()
        self.found = set()

    def handle_starttag(self, tag, attrs):
        """Note an element and the names of its attributes."""
        self.found |= {tag, *(name for name, _ in attrs)}


def tags(fragments):
    parser = Tags()
    parser.feed("".join(fragments.values()))
    return parser.found


TEXTS = ("title", "story", "module.label", "controller.label", "run.home run.name")


@pytest.mark.parametrize(
    "path", [*TEXTS, "module.voc", "run.home run.length", "array.joining", f"module.{HOSTILE}", HOSTILE]
)
def test_markup_stays_text(path):
    """Markup and script in any text, value or name come out as text and make no element or handler."""
    fragments = ask(set={path: HOSTILE})["fragments"]

    assert not {"img", "script", "onerror"} & tags(fragments)


@given(st.dictionaries(st.text(max_size=12), st.text(max_size=12), max_size=4), st.text(max_size=60))
def test_any_request_is_answered(change, base):
    """Whatever a link or a file holds, there is an answer."""
    assert ask(base, set=change)["ok"] in (True, False)
    assert ask(set=change)["ok"] in (True, False)


KEYS = ("set", "pinned", "home", "have", "parts", "system", "language", "origin")
KINDS = st.one_of(
    st.none(),
    st.integers(),
    st.text(max_size=4),
    st.lists(st.integers(), max_size=2),
    st.dictionaries(st.text(max_size=3), st.integers(), max_size=2),
)


@given(st.dictionaries(st.sampled_from(KEYS), KINDS))
def test_any_kind_of_value_is_answered(request_):
    """A request of wrong kinds is read as far as it can be."""
    ask(**request_)


def test_the_first_answer_needs_no_fixes():
    """Verdict and findings come from the assessment alone; fixes, which take long to search, only when asked for."""
    parts = ask(parts=["verdict", "findings"])["fragments"]
    assessment = assess(read_design(TUNNEL), load_book())

    assert parts == as_html(assessment, home="../../", parts=["verdict", "findings"])


def test_a_search_for_fixes_is_answered_bit_by_bit():
    """Asked briefly, the door says that there is more until the fixes are there, and they are those of one answer."""
    change = {"array.modules_in_series": "4", "grounding.conductor": "14 AWG"}
    wanted = ask(set=change, parts=["fixes"], have=0)["fragments"]
    change["site.hottest"] = "38.0 degC"  # another request about the same, which nothing is remembered of
    answers = [ask(set=change, parts=["fixes"], briefly=True, have=0)]
    while answers[-1].get("more"):
        answers.append(ask(set=change, parts=["fixes"], briefly=True, have=0))

    assert all(answer["fragments"] == answer["pieces"] == {} for answer in answers[:-1])
    assert answers[-1]["fragments"] == wanted
    assert "<button" in wanted["fixes"]
