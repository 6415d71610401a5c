"""A design document with values changed by path, as a form or a link gives them."""

import tomllib

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calc import Design, read_design
from calc.read import read_document, write_document
from calc.read.change import MOST_CHANGES, changed_document

BASE = """
title = "Shed"

[module]
voc = "22.4 V"
isc = "6.3 A"
vmp = "18.2 V"
imp = "6.04 A"

[array]
modules_in_series = 1
strings_in_parallel = 4

[[run]]
name = "home run"
length = "85 ft"
size = "10 AWG"

[[run]]
length = "10 ft"

[[coupler]]
inputs = 2
rating = "30 A"
"""
DOCUMENT = tomllib.loads(BASE)


def changed(**change):
    return changed_document(DOCUMENT, {path.replace("__", "."): text for path, text in change.items()})


def test_the_base_stays_as_it_is():
    """A page asks again and again from the same base, so a change must not reach it."""
    before = write_document(DOCUMENT)

    changed_document(
        DOCUMENT, {"array.modules_in_series": "3", "run.home run.size": "", "coupler.1.rating": ""}
    )

    assert write_document(DOCUMENT) == before


@pytest.mark.parametrize(
    ("path", "text", "place"),
    [
        ("title", "Barn", lambda document: document["title"]),
        ("array.modules_in_series", "3", lambda document: document["array"]["modules_in_series"]),
        ("run.home run.length", "60 ft", lambda document: document["run"][0]["length"]),
        ("run.run 2.length", "3 m", lambda document: document["run"][1]["length"]),
        ("coupler.1.rating", "40 A", lambda document: document["coupler"][0]["rating"]),
        ("coupler.2.rating", "50 A", lambda document: document["coupler"][1]["rating"]),
        ("battery.nominal", "24 V", lambda document: document["battery"]["nominal"]),
        ("run.garden.length", "9 m", lambda document: document["run"][2]["length"]),
    ],
)
def test_a_text_goes_to_its_place(path, text, place):
    """Each path leads to the line it would be in a file; parts that are not there yet are added."""
    document = changed_document(DOCUMENT, {path: text})

    assert str(place(document)) == text


def test_counts_and_flags_become_what_a_file_has():
    """A count is a number and a yes is a yes, so that the file that is saved is one that a person would write."""
    document = changed(array__modules_in_series="3", controller__blocks_reverse="true")

    assert document["array"]["modules_in_series"] == 3
    assert document["controller"]["blocks_reverse"] is True


def test_what_cannot_be_a_count_stays_text():
    """So reading it says what is wrong with it, in the words the reader typed."""
    refused = read_document(changed(array__modules_in_series="two <b>"))

    assert [(one.path, one.said) for one in refused.problems] == [("array.modules_in_series", '"two <b>"')]


def test_an_empty_text_takes_the_value_out():
    """And with the last value its table goes, so that nothing is left that would be read as a part."""
    document = changed(coupler__1__inputs="", coupler__1__rating="  ")

    assert "coupler" not in document
    assert isinstance(read_document(document), Design)


def test_a_run_without_values_is_no_run():
    """A run that has only its name would carry nothing anywhere."""
    document = changed_document(DOCUMENT, {"run.home run.length": "", "run.home run.size": ""})

    assert [table.get("name") for table in document["run"]] == [None]


def test_the_last_string_goes_with_its_last_value():
    """Taking out every value of the last of unlike strings takes out the string, its module too."""
    text = BASE.replace("[array]\nmodules_in_series = 1\nstrings_in_parallel = 4\n", "") + (
        '[[string]]\nmodules_in_series = 1\n[[string]]\nmodules_in_series = 2\n[string.module]\nlabel = "odd"\n'
    )

    document = changed_document(
        tomllib.loads(text), {"string.2.modules_in_series": "", "string.2.module.label": ""}
    )

    assert document["string"] == [{"modules_in_series": 1}]


def test_a_part_of_which_nothing_is_said_is_still_a_part():
    """Empty tables that stand in the file stay, whatever else is changed."""
    document = {**DOCUMENT, "coupler": [{}, {}], "combiner": {}, "run": [{"name": "spare"}]}

    changed = changed_document(document, {"array.modules_in_series": "3", "coupler.1.rating": "30 A"})

    assert changed["coupler"] == [{"rating": "30 A"}, {}]
    assert (changed["combiner"], changed["run"]) == ({}, [{"name": "spare"}])
    assert changed_document(document, {}) == document


def test_an_unknown_path_is_told():
    """A link may hold anything; what is no input is named as such."""
    refused = read_document(changed(module__voltage="22 V"))

    assert refused.problems[0].path == "module.voltage"


def test_a_long_link_is_cut():
    """A link with more changes than a form has fields is read up to there."""
    change = {f"module.x{number}": "1" for number in range(MOST_CHANGES + 50)}

    assert len(changed_document({}, change)["module"]) == MOST_CHANGES


def test_the_changed_document_is_written_and_read_back():
    """The file that a reader saves is the design that stood on the page."""
    document = changed_document(DOCUMENT, {"run.home run.length": "60 ft", "array.strings_in_parallel": "2"})

    design = read_design(write_document(document))

    assert isinstance(design, Design)
    assert design.values == read_document(document).values


PATHS = st.one_of(
    st.sampled_from(
        [
            "module.voc",
            "run.home run.length",
            "run",
            "run.x",
            "string.1.module.voc",
            "string.0.x",
            "coupler",
            "",
        ]
    ),
    st.text('abcmodulerunstring.123 "<[', max_size=24),
)
VALUES = st.recursive(
    st.one_of(st.text(max_size=5), st.integers(-3, 99), st.booleans()),
    lambda inner: (
        st.lists(inner, max_size=2)
        | st.dictionaries(st.sampled_from(["module", "name", "voc"]), inner, max_size=2)
    ),
    max_leaves=4,
)
DOCUMENTS = st.dictionaries(
    st.sampled_from(["module", "run", "string", "coupler", "array", "title"]), VALUES, max_size=4
)


@given(DOCUMENTS, st.dictionaries(PATHS, st.text(max_size=8), max_size=4))
def test_any_change_of_any_document_can_be_read(document, change):
    """Whatever stands in a file and in a link, the answer is a design or problems."""
    read_document(changed_document(document, change))
