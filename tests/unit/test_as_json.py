"""The canonical JSON: digits, words, and what is left out when there is nothing to say."""

import json

import pytest

from calc.assess import assess
from calc.plan.fixes import check
from calc.render.as_json import as_json, as_plain, number
from calc.render.catalogue import Words, load_words
from tests.rules.designs import book, design


@pytest.mark.parametrize(
    ("value", "kept"),
    [
        (0.1 + 0.2, 0.3),
        (1 / 3, 0.3333333333),
        (123456.78901234, 123456.789),
        (-0.0, 0.0),
        (2.0, 2.0),
        (7, 7.0),
        (1e-12, 1e-12),
    ],
)
def test_numbers_keep_ten_digits(value, kept):
    """The last bits differ between platforms, so they are not printed."""
    assert number(value) == kept
    assert repr(number(value)) == repr(kept)


@pytest.mark.parametrize("value", [True, False, "10 AWG", ""])
def test_words_and_answers_stay_as_they_are(value):
    """A yes is not a one."""
    assert number(value) is value


def test_the_text_ends_with_a_line_and_keeps_letters_as_they_are():
    """Signs such as ° and − are written out, not escaped; one value a line, so that changes can be compared."""
    text = as_json(assess(design({"title": "Mühle − 5 °C"}), book()))

    assert text.endswith("}\n")
    assert "Mühle − 5 °C" in text
    assert text.count("\n") > 500


def test_it_is_the_plain_document_in_order():
    """The same keys in the same order as the nested dictionaries."""
    found = assess(design(), book())

    assert json.dumps(json.loads(as_json(found))) == json.dumps(as_plain(found))


def findings(changes):
    return {
        (one["id"], one["part"]): one
        for one in json.loads(as_json(check(design(changes), book())))["findings"]
    }


def test_an_open_question_names_what_it_needs():
    """And has no numbers."""
    found = findings({"controller.max_voltage": None})["cold-voltage-controller", "controller"]

    assert found["needs"] == ["controller.max_voltage"]
    assert not {"actual", "limit", "margin", "sense", "unit"} & set(found)


def test_a_question_that_does_not_arise_says_why_in_words():
    """The reader's sentence, not the code."""
    found = findings({})["pwm-voltage-given-away", "controller"]

    assert found["why"] == "An MPPT controller turns the extra voltage into current."
    assert "needs" not in found


def test_remarks_are_sentences_with_their_numbers():
    """Where the limit is reached, what the next size saves."""
    found = findings({"controller.max_voltage": "60 V"})["cold-voltage-controller", "controller"]

    assert found["remarks"]
    assert any("55" in sentence and "°C" in sentence for sentence in found["remarks"])


def test_a_fix_is_written_as_a_design_file_would_have_it():
    """Counts as numbers, quantities as text with their unit."""
    short = {"module.max_series_fuse": "9 A", "controller.max_voltage": "150 V"}
    fixes = findings(short)["string-fuse-needed", "string"]["fixes"]
    texts = findings({"battery.device": "30 A"})["battery-side-device", "battery"]["fixes"]

    assert {"array.modules_in_series": 4, "array.strings_in_parallel": 1} in [fix["change"] for fix in fixes]
    assert texts[0] == {
        "change": {"battery.device": "40 A"},
        "says": "Fit a 40 A device on the battery side.",
        "verdict": "holds",
    }


def test_notes_of_unlikely_values_go_with_it():
    """Path and code."""
    found = json.loads(as_json(assess(design({"site.hottest": "58 degC"}), book())))

    assert {"path": "site.hottest", "code": "unusual"} in found["notes"]


def test_another_language_changes_words_and_no_numbers():
    """The catalogue is an argument."""
    words = load_words()
    shouted = Words(
        "xx",
        {
            key: text.upper().replace("{NUMBER}", "{number}")
            for key, text in words.entries.items()
            if "{" not in text
        }
        | {key: text for key, text in words.entries.items() if "{" in text},
    )
    found = assess(design(), book())
    plain, loud = as_plain(found, words), as_plain(found, shouted)

    assert plain["quantities"] == loud["quantities"]
    assert [one.get("why") for one in loud["findings"]] == [
        one["why"].upper() if "why" in one else None for one in plain["findings"]
    ]
