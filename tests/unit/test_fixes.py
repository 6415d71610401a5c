"""The search for fixes: what is tried, what is offered, and where it stops."""

from dataclasses import replace
from types import SimpleNamespace

import pytest

from calc.assess import assess
from calc.model.assessment import Verdict
from calc.model.design import Given
from calc.plan import fixes
from calc.plan.again import Again
from calc.plan.candidates import CANDIDATES
from calc.plan.fixes import Mending, check
from calc.render.catalogue import load_words
from calc.render.changes import change_says
from tests.rules.designs import COMBINER, book, design

WORDS = load_words()


def offered(changes, finding, part):
    """The changes offered for one failing finding."""
    found = check(design(changes), book())
    (one,) = (one for one in found.findings if (one.id, one.part) == (finding, part))
    assert one.verdict is Verdict.FAILS
    return [dict(fix.change) for fix in one.fixes]


def test_what_holds_needs_no_fix():
    """The same assessment as without the search."""
    assert check(design(), book()) == assess(design(), book())


@pytest.mark.parametrize(
    ("changes", "finding", "part", "fix"),
    [
        # 55 V against 50 V: one module a string (27.5 V), or a controller for the next voltage that is sold
        (
            {
                "controller.max_voltage": "50 V",
                "battery.nominal": "12 V",
                "battery.absorption": "14.4 V",
                "battery.lowest": "12 V",
                "controller.rated_output_current": "60 A",
                "battery.device": "80 A",
                "run.home run.size": "35 mm2",
                "coupler.1.rating": "50 A",
                "grounding.conductor": "8 AWG",
                "disconnect.rating": "60 A",
                "module.max_series_fuse": "30 A",
                "controller.max_input_current": "60 A",
            },
            "cold-voltage-controller",
            "controller",
            {"array.modules_in_series": 1, "array.strings_in_parallel": 4},
        ),
        (
            {"controller.max_voltage": "50 V"},
            "cold-voltage-controller",
            "controller",
            {"controller.max_voltage": "75 V"},
        ),
        (
            {"coupler.1.voltage_rating": "50 V"},
            "cold-voltage-parts",
            "coupler 1",
            {"coupler.1.voltage_rating": "75 V"},
        ),
        (
            {"disconnect.voltage_rating": "50 V"},
            "cold-voltage-parts",
            "disconnect",
            {"disconnect.voltage_rating": "75 V"},
        ),
        (
            {"run.home run.voltage_rating": "50 V"},
            "cold-voltage-parts",
            "home run",
            {"run.home run.voltage_rating": "75 V"},
        ),
        (
            COMBINER | {"combiner.voltage_rating": "50 V"},
            "cold-voltage-parts",
            "combiner",
            {"combiner.voltage_rating": "75 V"},
        ),
        ({"run.home run.length": "40 m"}, "run-voltage-drop", "home run", {"run.home run.size": "25 mm2"}),
        (
            {"run.home run.length": "60 ft", "run.home run.size": "10 AWG"},
            "run-voltage-drop",
            "home run",
            {"run.home run.size": "6 AWG"},
        ),
        (
            {"controller.max_input_current": "15 A"},
            "controller-input-current",
            "controller",
            {"controller.max_input_current": "20 A"},
        ),
        (
            {"controller.rated_output_current": "20 A"},
            "controller-output-current",
            "controller",
            {"controller.rated_output_current": "25 A"},
        ),
        ({"coupler.1.rating": "15 A"}, "coupler-current", "coupler 1", {"coupler.1.rating": "20 A"}),
        (COMBINER | {"combiner.circuits": 1}, "combiner-circuits", "combiner", {"combiner.circuits": 2}),
        (
            COMBINER | {"combiner.bar_rating": "20 A"},
            "combiner-bar",
            "combiner",
            {"combiner.bar_rating": "25 A"},
        ),
        (
            COMBINER | {"combiner.breaker": "20 A"},
            "breaker-rating",
            "breaker, for the array",
            {"combiner.breaker": "25 A"},
        ),
        ({"disconnect.rating": "15 A"}, "disconnect-rating", "disconnect", {"disconnect.rating": "20 A"}),
        (
            {"grounding.conductor": "14 AWG"},
            "grounding-conductor-size",
            "grounding conductor",
            {"grounding.conductor": "10 AWG"},
        ),
        ({"battery.device": "30 A"}, "battery-side-device", "battery", {"battery.device": "40 A"}),
        (
            {"module.max_series_fuse": "9 A", "controller.max_voltage": "150 V"},
            "string-fuse-needed",
            "string",
            {"array.modules_in_series": 4, "array.strings_in_parallel": 1},
        ),
    ],
)
def test_the_mildest_change_is_offered(changes, finding, part, fix):
    """The next voltage, rating or size that is sold and does, or the same modules joined another way."""
    assert fix in offered(changes, finding, part)


def test_a_fix_is_never_offered_that_breaks_something_else():
    """A longer string would spare the fuse, but passes the controller's limit: it is not among the fixes."""
    changes = {
        "array.strings_in_parallel": 3,
        "module.max_series_fuse": "15 A",
        "controller.max_voltage": "60 V",
    }
    found = offered(changes, "string-fuse-needed", "string")

    assert found
    assert all(change.get("array.modules_in_series", 2) <= 2 for change in found)


def test_two_failures_are_mended_together():
    """Neither change alone leaves nothing failing; both together do, and are offered for both."""
    changes = {"grounding.conductor": "14 AWG", "battery.device": "30 A"}
    both = {"grounding.conductor": "10 AWG", "battery.device": "40 A"}

    assert offered(changes, "grounding-conductor-size", "grounding conductor") == [both]
    assert offered(changes, "battery-side-device", "battery") == [both]


def test_nothing_is_offered_where_nothing_helps():
    """No change that is tried makes the site warmer in winter or the house allow more."""
    changes = {
        "site.building": "dwelling",
        "array.modules_in_series": 1,
        "module.voc": "700 V",
        "module.vmp": "600 V",
    }

    assert offered(changes, "cold-voltage-site", "site") == []


def test_at_most_three_fixes_each_another():
    """Three are enough to choose from."""
    found = offered({"controller.max_input_current": "15 A"}, "controller-input-current", "controller")

    assert 2 <= len(found) <= 3
    assert all(found.count(change) == 1 for change in found)


def trials(monkeypatch):
    """Every change that is tried from now on, with the design itself as the first."""
    tried = []
    whole = Again.after
    monkeypatch.setattr(
        Again, "after", lambda again, change: (tried.append(dict(change)), whole(again, change))[1]
    )
    return tried


def test_the_search_stops_after_a_fixed_number_of_trials(monkeypatch):
    """However much fails; a few more are spent on leaving out what is idle."""
    tried = trials(monkeypatch)
    broken = {
        "controller.max_voltage": "20 V",
        "module.max_series_fuse": "1 A",
        "run.home run.length": "900 m",
    }
    broken |= {
        "array.strings_in_parallel": 40,
        "array.modules_in_series": 12,
        "grounding.conductor": "14 AWG",
    }
    check(design(broken), book())

    assert 20 < len(tried) <= fixes.MOST_TRIALS + 60


def test_the_same_change_is_tried_once(monkeypatch):
    """Whichever finding asks for it; only the way back to the design itself may come up again."""
    tried = trials(monkeypatch)
    broken = design({"grounding.conductor": "14 AWG", "battery.device": "30 A", "disconnect.rating": "15 A"})
    check(broken, book())

    assert len(tried) > 10
    assert all(tried.count(change) == 1 for change in tried if change)


def test_a_change_of_the_design_leaves_the_rest():
    """Values are replaced or added; everything else stays."""
    before = design()
    after = before.changed({"battery.device": Given(60.0, "A", "60 A")})

    assert after.number("battery.device") == 60
    assert before.number("battery.device") == 40
    assert {path: value for path, value in after.values.items() if path != "battery.device"} == {
        path: value for path, value in before.values.items() if path != "battery.device"
    }


@pytest.mark.parametrize("finding", CANDIDATES)
def test_candidates_of_a_design_that_gives_little_are_none_or_sound(finding):
    """No candidate stumbles over what a small design file leaves out."""
    small = design(
        {
            "run": None,
            "controller": None,
            "battery": None,
            "coupler": None,
            "disconnect": None,
            "grounding": None,
        }
    )
    found = assess(small, book())
    (one, *_) = (one for one in found.findings if one.id == finding)
    for make in CANDIDATES[finding]:
        for change in make(small, found, one, book()):
            assert assess(small.changed(change), book())


@pytest.mark.parametrize(
    ("change", "says"),
    [
        ({"array.modules_in_series": 1}, "Put one module in series."),
        (
            {"array.modules_in_series": 2, "run.home run.size": "6 AWG"},
            "Put 2 modules in series and make the home run 6 AWG.",
        ),
        ({"controller.kind": "mppt"}, "Take an MPPT controller."),
        ({"coupler.1.rating": "50 A"}, "Take couplers rated 50 A."),
        (
            {"array.strings_in_parallel": 1, "array.string_fuse": "10 A", "disconnect.rating": "30 A"},
            "Have one string in parallel, fit a 10 A fuse in each string and take a disconnect rated 30 A.",
        ),
        ({"run.shed 1.5.size": "6 mm2"}, "Make the shed 1.5 6 mm2."),
    ],
)
def test_a_change_in_words(change, says):
    """One sentence, with numbers of one and of many."""
    assert change_says(change, WORDS) == says


def test_a_search_gone_on_with_bit_by_bit_finds_the_same():
    """Left after every trial and taken up again, it comes to its end, and to the very fixes of a search in one go."""
    broken = design({"grounding.conductor": "14 AWG", "battery.device": "30 A", "coupler.1.rating": "15 A"})
    search = Mending(assess(broken, book()), book())
    bits = 1
    while not search.further(0.0):
        bits += 1

    assert bits > 10
    assert search.whole() == check(broken, book())
    assert search.further()


@pytest.mark.parametrize(("kinds", "most"), [(0, 120), (1, 120), (4, 30), (40, 16)])
def test_many_kinds_of_strings_have_fewer_trials(kinds, most):
    """Each is worked out by itself in every trial, so that the whole search takes about as long."""
    other = replace(design(), strings=kinds)
    again = SimpleNamespace(design=other)

    assert fixes.Search(again).most == most
