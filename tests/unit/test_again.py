"""A check that works out only what a change reaches says the same as one that works out everything."""

import random
from dataclasses import replace

import pytest

from calc.assess import assess, completed
from calc.model.assessment import Assessment
from calc.model.design import Design, Given
from calc.model.fields import FIELDS
from calc.model.problems import Refused
from calc.plan.again import Again
from calc.plan.limits import Solver
from calc.plan.quests import Quest, quests, stepped
from calc.plan.searching import Sight, joined, last_by_room, last_passing
from calc.plan.shapes import module_count, shapes_of
from calc.plan.sizing import sized, sizes_for
from calc.read.change import changed_document
from calc.read.scenario import read_design, read_document
from calc.read.text import read_toml
from tests.contract.scenes import ROOT
from tests.rules.designs import book

FILES = {path.stem: path for path in sorted((ROOT / "scenarios").glob("*/*.toml"))}
NAMES = sorted(
    name for name, path in FILES.items() if isinstance(read_design(path.read_text("utf-8")), Design)
)
CHOICES = {one.path: one.choices for one in FIELDS if one.choices}


def scenario(name):
    """One of the project's own designs."""
    return read_design(FILES[name].read_text("utf-8"))


def same(found: Assessment, whole: Assessment) -> bool:
    """Whether both say the same, also in order; clauses and what is not checked are left to the whole one."""
    return (
        (found.verdict, found.findings, found.assumptions)
        == (whole.verdict, whole.findings, whole.assumptions)
        and list(found.steps.items()) == list(whole.steps.items())
        and found.design == whole.design
    )


def steps_tried(quest: Quest, solver: Solver) -> list[int]:
    """Both ends and some steps between, the same at each run."""
    low, high = sorted(solver.bounds(quest))
    chosen = random.Random(quest.code)
    return [low, high, *(chosen.randint(low, high) for _ in range(3))]


@pytest.mark.parametrize("name", NAMES)
def test_a_change_of_any_number_says_what_the_whole_check_says(name):
    """Counts, temperatures, lengths and ratings, from end to end: the same findings, steps and assumptions."""
    asked = scenario(name)
    again = Again(asked, book())
    solver = Solver(asked, again)
    for quest in quests(asked, again.now):
        for step in steps_tried(quest, solver):
            change = {quest.path: stepped(quest.path, step)}
            assert same(again.after(change), assess(asked.changed(change), book())), change


@pytest.mark.parametrize("name", NAMES)
def test_a_check_begun_from_another_says_what_the_whole_check_says(name):
    """Another layout's check is begun from the design's own; it and each change after it are as if begun anew."""
    asked = scenario(name)
    again = Again(asked, book())
    for shape in shapes_of(asked, module_count(asked))[:4]:
        other = again.other(joined(shape))
        laid = asked.changed(joined(shape))
        assert same(other.now, assess(laid, book())), shape
        for change in ({"site.coldest": Given(-31.0, "degC", "-31 degC")}, joined((2, 1))):
            assert same(other.after(change), assess(laid.changed(change), book())), (shape, change)


@pytest.mark.parametrize("name", NAMES)
def test_a_change_of_any_choice_says_what_the_whole_check_says(name):
    """Kinds, materials, ways of joining, whether the file had said so or not; and sizes of every run."""
    asked = scenario(name)
    again = Again(asked, book())
    changes = [
        {path: Given(choice, "", choice)}
        for path, choices in CHOICES.items()
        if "<" not in path and path != "site.rules"
        for choice in choices
    ]
    changes += [sized({run: size}) for run in asked.runs for size in sizes_for(asked, book(), run)[::4]]
    for change in changes:
        assert same(again.after(change), assess(asked.changed(change), book())), change


@pytest.mark.parametrize("name", NAMES)
def test_a_design_that_says_less_or_more_is_checked_as_a_whole_one_would_be(name):
    """Each value that may be left out, left out and put back; clauses and what is not checked as well."""
    asked, document = scenario(name), read_toml(FILES[name].read_text("utf-8"))
    again = Again(asked, book())
    tried = 0
    for path in asked.values:
        less = read_document(changed_document(document, {path: ""}))
        if isinstance(less, Refused) or (there := again.of(less)) is None:
            continue
        tried += 1
        assert completed(there, book()) == assess(less, book()), path
        assert completed(Again(less, book()).of(asked), book()) == assess(asked, book()), path
    assert tried


def test_a_design_with_other_parts_is_not_compared():
    """Another run or another kind of string means other working; the whole check is the way."""
    asked = scenario(NAMES[0])
    assert Again(asked, book()).of(replace(asked, runs=(*asked.runs, "further"))) is None


@pytest.mark.parametrize("name", NAMES)
def test_no_change_at_all_is_the_design_itself(name):
    """The first assessment is the design's own."""
    assert same(Again(scenario(name), book()).now, assess(scenario(name), book()))


@pytest.mark.parametrize("costly", [False, True])
@pytest.mark.parametrize("near", [None, 0, 3, 60, 100])
@pytest.mark.parametrize("edge", [0, 1, 7, 62, 99, 100])
@pytest.mark.parametrize("power", [0.3, 1.0, 3.0])
def test_a_search_that_aims_finds_what_halving_finds(edge, near, power, costly):
    """Room that shrinks evenly, slower or faster; and one limit more that has no number."""

    def look(step: int) -> Sight:
        passes = step <= edge
        room = (edge + 0.5) ** power - step**power
        return Sight(passes, {("a", ""): room, ("b", ""): 5.0})

    assert last_by_room(look, 0, 100, near, costly=costly) == last_passing(lambda step: step <= edge, 0, 100)


@pytest.mark.parametrize("costly", [False, True])
@pytest.mark.parametrize("edge", [0, 1, 31, 100])
def test_a_search_without_any_room_to_see_halves(edge, costly):
    """Limits that are a plain yes or no give nothing to aim at."""
    assert last_by_room(lambda step: Sight(step <= edge, {}), 0, 100, costly=costly) == edge


def test_aiming_takes_three_trials_where_room_shrinks_evenly():
    """The last step, where room should end, and the one after."""
    seen = []

    def look(step: int) -> Sight:
        seen.append(step)
        return Sight(step <= 4321, {("a", ""): 4321.5 - step})

    assert last_by_room(look, 0, 1_000_000) == 4321
    assert seen == [0, 1_000_000, 4321, 4322]
