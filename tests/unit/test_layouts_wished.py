"""What a design file wishes of the comparison of layouts: prices of wire, modules left out, and other values to try."""

import json
import re

import pytest

from calc import as_json, assess, load_book, read_design
from calc.model.problems import Refused
from calc.plan.layouts import layouts_of
from calc.plan.options import trials_of
from calc.plan.trying import left_out_by, prices_of
from calc.read.text import read_toml
from calc.read.wishes import read_wishes
from calc.read.write import write_document
from calc.render.catalogue import load_words
from calc.render.layouts.options import option_says
from calc.render.layouts.section import as_layouts_html
from calc.render.layouts.sentences import summary
from calc.sections import section_html
from tests.contract.scenes import ROOT

FILE = (ROOT / "scenarios/examples/high-tunnel.toml").read_text("utf-8")
PRICES = "10 AWG 0.85, 6 AWG=2.40, 2 AWG 5.1"
LENGTH_M = 40 * 0.3048
"""One way, as the file has it; a foot is 0.3048 m exactly."""


def wished(lines, file=FILE):
    """The design of a file that ends with these lines about layouts."""
    return read_design(f"{file}\n[layouts]\n{lines}\n")


def test_prices_and_modules_left_out_are_read():
    """Sizes in any spelling, each with its price; a count."""
    design = wished(f'wire_prices = "{PRICES}"\nleave_out = 2')
    assert prices_of(design) == {"10 AWG": 0.85, "6 AWG": 2.4, "2 AWG": 5.1}
    assert left_out_by(design) == 2


def test_a_file_that_wishes_nothing_has_neither_prices_nor_options():
    """Copper counts instead of cost, and nothing is left out unless nothing else holds."""
    design = read_design(FILE)
    assert (prices_of(design), left_out_by(design), design.options) == ({}, None, ())
    assert all(one.columns["cost"] is None for one in layouts_of(design, load_book()).layouts)


def test_the_cost_of_a_layout_is_its_metres_times_the_price():
    """Out and back, in a size that has a price; a layout whose size has none has no cost."""
    layouts = layouts_of(wished(f'wire_prices = "{PRICES}"'), load_book()).layouts
    sizes = {one.wires[0].size: one.columns["cost"] for one in layouts if len(one.wires) == 1}
    assert sizes["6 AWG"] == pytest.approx(2 * LENGTH_M * 2.40)
    assert all(cost is None for size, cost in sizes.items() if size not in ("10 AWG", "6 AWG", "2 AWG"))


def test_modules_are_left_out_as_the_file_says():
    """Up to one of eight: rectangles of seven are tried too, and it is told that this was asked for."""
    report = layouts_of(wished("leave_out = 1"), load_book())
    assert {one.left_out for one in report.layouts} == {0, 1}
    assert report.asked


def test_what_is_asked_for_in_the_terminal_counts_before_the_file():
    """The file says two, the terminal none; the file gives one price, the terminal another."""
    design = wished('wire_prices = "6 AWG 2.40"\nleave_out = 2')
    report = layouts_of(design, load_book(), leave_out=0, prices={"6 AWG": 1.0})
    costs = [one.columns["cost"] for one in report.layouts if one.wires[0].size == "6 AWG"]
    assert costs == [pytest.approx(2 * LENGTH_M)] * len(costs) != []
    assert {one.left_out for one in report.layouts} == {0}


def test_other_values_are_the_design_with_that_one_value():
    """Run size, joining, controller: each as if the file had said it, and as the terminal would try it."""
    said = ["run.home run.size = 6 AWG", "array.joining = couplers", "controller.max_voltage = 50 V"]
    design = wished(f'or = "{"; ".join(said)}"')
    asked = read_wishes(FILE, None, [], [one.replace(" = ", "=") for one in said])
    assert [one for one, _ in design.options] == said
    assert [dict(one.values) for _, one in design.options] == [dict(one.values) for _, one in asked.options]


def test_the_section_tells_what_comes_first_with_each_other_value():
    """By name, with the change in a button; and nothing of the kind where nothing is asked."""
    book = load_book()
    html = section_html("layouts", assess(wished('or = "controller.max_voltage = 50 V"'), book), book)
    assert "highest voltage of the controller: 50\u00a0V" in html
    assert 'data-change="{&#34;controller.max_voltage&#34;: &#34;50 V&#34;}"' in html
    assert "layouts-options" not in section_html("layouts", assess(read_design(FILE), book), book)


def changes(option, lines="", file=FILE):
    """What the section says of one other value."""
    book = load_book()
    design = wished(f'or = "{option}"\n{lines}', file)
    ((_, other),) = design.options
    said = option_says(layouts_of(other, book), layouts_of(design, book), load_words())
    return [one.replace("\N{NO-BREAK SPACE}", " ") for one in said]


LOWER = FILE.replace('max_voltage = "150 V"', 'max_voltage = "100 V"')


def test_another_value_is_told_by_what_it_changes():
    """Four in series pass 100 V when cold: with such a controller two do better, and what fails or no longer does is named."""
    first, check, *more = changes("controller.max_voltage = 100 V")
    assert first == "2 × 4 comes first, instead of 4 × 2."
    assert check.startswith("Holds: ")
    assert any(one.startswith("Against the first without it: metal in the wire (516") for one in more)
    assert more[-1] == "These fail then: 4 × 2."
    first, check, *more = changes("controller.max_voltage = 150 V", file=LOWER)
    assert first == "4 × 2 comes first, instead of 2 × 4."
    assert more[-1] == "These no longer fail: 4 × 2."


def test_a_value_that_changes_nothing_is_said_to():
    """A controller for more voltage than any layout that holds has: the same first, with the same check, and that is all."""
    first, _, *more = changes("controller.max_voltage = 151 V")
    assert first == "4 × 2 comes first, as without it."
    assert more == ["Nothing else changes in the comparison."]


def test_the_wire_of_another_value_is_set_against_that_of_the_file():
    """Twice the length: twice the wire or thicker, at its price."""
    said = " ".join(changes("run.home run.length = 80 ft", f'wire_prices = "{PRICES}"'))
    assert "Against the first without it: " in said
    assert "metal in the wire" in said


def test_sizes_without_a_price_are_named():
    """Once each; not where nothing has a price, nor where all have one."""
    words = load_words()
    start = words("layouts.says.unpriced", sizes="|").split("|")[0]
    book = load_book()
    sizes = {wire.size for one in layouts_of(read_design(FILE), book).layouts for wire in one.wires}
    every = ", ".join(f"{size} 1" for size in sorted(filter(None, sizes)))

    def told(line):
        said = summary(layouts_of(wished(line), book), words)
        return [one for one in said if one.startswith(start)]

    assert told("leave_out = 0") == []
    assert told(f'wire_prices = "{every}"') == []
    (said,) = told('wire_prices = "6 AWG 2.4"')
    missing = [size.replace(" ", "\N{NO-BREAK SPACE}") for size in sizes - {"6 AWG", None}]
    assert sorted(re.findall(r"[\d/]+\sAWG", said)) == sorted(missing)


def test_a_line_can_be_left_out_as_another_value():
    """Nothing after the sign; told in words, and the button takes it out."""
    book = load_book()
    design = wished('or = "module.max_series_fuse ="')
    html = section_html("layouts", assess(design, book), book)
    (_, without), *_ = design.options
    assert "module.max_series_fuse" not in without.values
    assert "maximum series fuse of the module: left out" in html
    assert 'data-change="{&#34;module.max_series_fuse&#34;: &#34;&#34;}"' in html


@pytest.mark.parametrize("prices", ["", PRICES])
def test_the_comparison_is_tried_bit_by_bit_to_the_same_end(prices):
    """The design's own layouts first and whole, then each other value; all as if each were asked for alone."""
    lines = 'or = "controller.max_voltage = 50 V; run.home run.size = 6 AWG"\n'
    design, book = wished(lines + (f'wire_prices = "{prices}"' if prices else "")), load_book()
    trials = trials_of(design, book)
    told = [len(trials.options()) for _ in trials.in_turn() if trials.report()]
    own = trials.own.whole
    assert told[own - 1 : own + 1] == [0, 0]
    assert (told, trials.so_far) == (sorted(told), None)
    assert told[-1] == 2
    assert trials.report() == layouts_of(design, book)
    assert trials.options() == tuple((said, layouts_of(one, book)) for said, one in design.options)


def test_work_is_counted_with_that_on_other_values():
    """As much again for each, until it is known; while it goes on, a page has the button to stop it."""
    trials = trials_of(wished('or = "controller.max_voltage = 50 V"'), load_book())
    work = trials.in_turn()
    next(work)
    assert trials.so_far == (1, 2 * trials.own.whole)
    assert trials.report().unfinished == trials.so_far
    while not trials.own.finished:
        next(work)
    assert trials.report().unfinished is None
    html = as_layouts_html(trials.report(), so_far=trials.so_far)
    assert "layouts-progress" in html
    assert 'aria-busy="true"' in html


@pytest.mark.parametrize(
    ("line", "wanted"),
    [
        ('wire_prices = "10 AWG"', "what one metre of it costs"),
        ('wire_prices = "0,85"', "a decimal point"),
        ('wire_prices = "77 AWG 1.20"', "wire sizes"),
        ('wire_prices = ""', "wire sizes"),
        ("wire_prices = 3", "in quotes"),
        (f'wire_prices = "{"6 AWG 1, " * 60}6 AWG 1"', "at most 400 characters"),
        ("leave_out = 41", "from 0 to 40"),
        ('leave_out = "x"', "a whole number"),
        ("or = 3", "in quotes"),
        ('or = "controller.max_voltage"', "the sign ="),
        ('or = "a=1; b=2; c=3; d=4; e=5"', "at most 4"),
        (f'or = "run.home run.name = {"x" * 400}"', "at most 400 characters"),
        ('or = "run.home run.size = 77 AWG"', "for run.home run.size = 77 AWG: a size in the tables"),
        ('or = "layouts.or = run.home run.size = 6 AWG"', "paths of other lines"),
        ('or = "nowhere.at = 3"', "for nowhere.at = 3: one of the tables"),
    ],
)
def test_a_wish_that_cannot_be_read_is_refused_with_what_is_wanted(line, wanted):
    """One problem, at its line, with an example that can be read."""
    refused = wished(line)
    assert isinstance(refused, Refused)
    (problem,) = refused.problems
    assert problem.path == f"layouts.{line.partition(' ')[0]}"
    assert wanted in problem.wanted
    assert not isinstance(wished(f"{line.partition(' ')[0]} = {problem.example}"), Refused)


def test_wishes_change_no_verdict_and_no_step():
    """They are about the comparison alone."""
    book, lines = (
        load_book(),
        f'wire_prices = "{PRICES}"\nor = "controller.max_voltage = 50 V"\nleave_out = 1',
    )
    plain, asked = (json.loads(as_json(assess(one, book))) for one in (read_design(FILE), wished(lines)))
    for key in ("verdict", "findings", "quantities"):
        assert plain[key] == asked[key], key


def test_a_written_file_keeps_its_wishes():
    """Read, written and read again it is the same design."""
    text = (
        f'{FILE}\n[layouts]\nwire_prices = "{PRICES}"\nor = "controller.max_voltage = 50 V"\nleave_out = 1\n'
    )
    assert read_design(write_document(read_toml(text))) == read_design(text)
