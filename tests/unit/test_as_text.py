"""The assessment as text: what comes first, how it is broken, and how it is spelled."""

import re

import pytest

from calc.assess import assess
from calc.plan.fixes import check
from calc.render.as_text import as_text
from tests.rules.designs import book, design


def text(changes=None, name="", **options):
    return as_text(check(design(changes), book()), name, **options)


def section(printed, title):
    """The lines below a title, up to the next empty line."""
    lines = printed.split("\n")
    start = lines.index(title)
    assert lines[start + 1] == "-" * len(title)
    return lines[start + 2 : lines.index("", start)]


def test_title_and_verdict_come_first():
    """Underlined, then the verdict in capitals with the closest finding."""
    roomy = {"grounding.conductor": "6 AWG", "battery.device": "60 A"}
    lines = text(roomy | {"title": "Test bench"}).split("\n")

    assert lines[:3] == ["Test bench", "==========", ""]
    assert lines[3].startswith("HOLDS. Every limit that was checked holds. The closest one: ")


def test_where_a_part_of_just_its_size_has_less_room_the_closest_is_told_as_one_of_the_others():
    """A fuse at its module's limit, a grounding conductor of the least size: the lead says why they are not named."""
    parts = "Fuses, breakers and grounding conductors may be just the size wanted. The closest of the other limits: "
    fuse = {"array.string_fuse": "20 A", "array.string_fuse_voltage": "150 V"}
    least = {"grounding.conductor": "10 AWG"}

    for changes, opening in (
        (fuse | {"grounding.conductor": "6 AWG"}, f"HOLDS. Every limit that was checked holds. {parts}"),
        (least, f"HOLDS. Every limit that was checked holds. {parts}"),
        (
            fuse | {"controller.max_voltage": "56 V"},
            f"TIGHT. Every limit that was checked holds, but the room is small in places. {parts}",
        ),
    ):
        assert re.sub(r"\s+", " ", text(changes)).startswith(opening), changes


def test_a_design_without_a_title_takes_the_name():
    """Of its file, say; without either there is no title."""
    assert text(name="shed").startswith("shed\n====\n\nHOLDS. ")
    assert text().startswith("HOLDS. ")


def test_a_value_that_just_meets_its_limit_is_told_without_an_empty_rest():
    """20 A of 20 A: nobody reads that 0 A is left; where room is wanted, the sentence says that there is none."""
    fuse = {"array.string_fuse": "20 A", "array.string_fuse_voltage": "150 V", "disconnect.rating": "20 A"}
    printed = re.sub(r"\s+", " ", text(fuse))

    assert "The fuse is 20 A, exactly its limit. That is allowed." in printed
    assert "The disconnect is rated 20 A, just what the array delivers. Nothing is left over." in printed
    assert " 0 A is left" not in printed


def test_beyond_the_grounding_table_nobody_is_asked_for_the_conductor_that_is_given():
    """No size would be an answer there: what is the case is said, and who settles it."""
    printed = re.sub(r"\s+", " ", text({"module.isc": "150 A", "module.imp": "7 A"}))

    assert "larger device than 400 A, where the table used here ends" in printed
    assert "A licensed person has to size its grounding conductor" in printed
    assert "The one in this design is not checked." in printed
    assert "without: size of the grounding conductor" not in printed


@pytest.mark.parametrize(
    ("changes", "word"),
    [
        ({}, "HOLDS"),
        ({"controller.max_voltage": "56 V"}, "TIGHT"),
        ({"controller.max_voltage": "50 V"}, "FAILS"),
        ({"controller.max_voltage": None}, "NEEDS INPUT"),
    ],
)
def test_the_verdict_in_a_word(changes, word):
    """Never by colour alone."""
    assert text(changes).startswith(f"{word}. ")


def test_findings_come_worst_first():
    """Fails, needs input, tight, holds, does not apply; each with name, part and id."""
    printed = section(
        text({"controller.max_voltage": "50 V", "disconnect.rating": None, "coupler.1.rating": "20 A"}),
        "Findings",
    )
    verdicts = [line[:15].strip() for line in printed if line[:1] != " "]
    ranks = [
        ("fails", "needs input", "tight", "holds", "does not apply").index(verdict) for verdict in verdicts
    ]

    assert ranks == sorted(ranks)
    assert set(ranks) == {0, 1, 2, 3, 4}
    assert printed[0] == "fails          Cold voltage at the controller (controller)"
    assert printed[1] == " " * 15 + "[cold-voltage-controller]"
    assert all(line.startswith(" " * 15) or line[:1] != " " for line in printed)


def test_what_to_fix_comes_before_the_findings():
    """Each fix once, whichever finding it is offered for."""
    printed = text({"grounding.conductor": "14 AWG", "battery.device": "30 A"})
    fixes = " ".join(section(printed, "What to fix"))

    assert printed.index("What to fix") < printed.index("Findings\n")
    assert fixes.count("- ") == 1
    assert "With that nothing fails. Whole design: holds." in fixes


def test_a_design_beyond_help_says_so():
    """No fix was found: what to look at instead."""
    broken = {
        "site.building": "dwelling",
        "array.modules_in_series": 1,
        "module.voc": "700 V",
        "module.vmp": "600 V",
    }

    assert "No single change" in " ".join(section(text(broken), "What to fix"))


def test_a_design_that_holds_has_nothing_to_fix():
    """The title is left out with the section."""
    assert "What to fix" not in text()


def test_every_step_is_printed_with_its_numbers():
    """What it is, its id, and symbol = symbols = numbers = result."""
    found = assess(design(), book())
    printed = as_text(found)
    flat = re.sub(r"\s+", " ", printed)

    for step in found.steps.values():
        assert f"[{step.id}]" in re.sub(r"-\s", "-", flat) or f"[{step.id}]" in flat
    assert "V_oc,STC = n_series × V_oc = 2 × 25 V = 50 V" in flat


def test_assumptions_and_what_is_not_checked_are_listed():
    """With their reasons, and the edition and caution at the end."""
    printed = text({"site.hottest": None})

    assert any(
        line.startswith("- site.hottest = 45 degC.")
        for line in section(printed, "Assumed, because nobody gave it")
    )
    assert any(line.startswith("- 690.12: ") for line in section(printed, "Not checked, or only partly"))
    assert re.search(r"Rules us-2023, tables [0-9a-f]{12}, core \d+\.\d+\.\d+\.", printed)
    assert printed.endswith("decide.\n")


def test_feet_or_metres():
    """By the system asked for."""
    assert "32.8 ft" in text()
    assert "10 m" in text(system="metric")
    assert " ft" not in text(system="metric")


@pytest.mark.parametrize("title", ["t" * 200, "word " * 39 + "end", "ö° ≤ Ω " * 20 + "."])
@pytest.mark.parametrize("ascii_only", [True, False])
def test_no_line_is_wider_than_80_columns(title, ascii_only):
    """Also where spelling in ASCII makes a line longer."""
    run = {"run.home run.length": "123456 mm", "run.home run.size": "35 mm2"}
    printed = text({"title": title} | run, ascii_only=ascii_only)

    assert max(map(len, printed.split("\n"))) <= 80
    assert not ascii_only or printed.isascii()


def test_there_are_no_blanks_at_the_ends_of_lines():
    """Nor special blanks anywhere."""
    printed = text()

    assert all(line == line.rstrip() for line in printed.split("\n"))
    assert "\N{NO-BREAK SPACE}" not in printed
