"""Buttons of the form that add a part or leave one out: each change is one that a design can take, and can be taken back."""

import json
from types import SimpleNamespace

import pytest

from calc import read_design
from calc.model.design import Design
from calc.read.change import changed_document
from calc.read.scenario import read_document
from calc.read.text import read_toml
from calc.render.catalogue import load_words
from calc.render.form import form_paths, make_form, typed_of
from calc.render.form_parts import adding, leaving_out
from floor import ROOT

FILES = sorted((ROOT / "scenarios").rglob("*.toml"))
WORDS = load_words()


def sections(design):
    return make_form(typed_of(design), None, WORDS, "us").sections


def offered(design, kind):
    """The buttons of a kind (``add``, ``leave``) by their id, with what each changes and where the keyboard goes."""
    return {one.id: one for section in sections(design) for one in getattr(section, kind)}


def after(text, design, offer):
    """The design file with the change of a button made, as the page makes it."""
    document = changed_document(text if isinstance(text, dict) else read_toml(text), json.loads(offer.change))
    return document, read_document(document, "en")


def counted(design):
    return len(design.runs), design.strings, design.couplers


@pytest.mark.parametrize("file", FILES, ids=lambda file: file.stem)
def test_whatever_is_added_can_be_left_out_again(file):
    """Each button that adds makes one part more, has a field to go on to, and leaving that part out undoes it."""
    text = file.read_text("utf-8")
    begun = read_design(text)
    for offer in offered(begun, "add").values():
        document, more = after(text, begun, offer)

        assert isinstance(more, Design), (offer, more)
        assert sum(counted(more)) > sum(counted(begun)), offer
        assert offer.next in {f"in-{one}" for one in slugs(more)}, offer
        leave = [one for name, one in offered(more, "leave").items() if name not in offered(begun, "leave")]
        assert len(leave) == 1, offer
        _, less = after(document, more, leave[0])
        assert less.values == begun.values, offer


def slugs(design):
    return {control.id.removeprefix("in-") for control in controls(design)}


def controls(design):
    form = make_form(typed_of(design), None, WORDS, "us")
    return [*form.quick, *(one for section in form.sections for one in section.controls)]


@pytest.mark.parametrize("file", FILES, ids=lambda file: file.stem)
def test_whatever_is_there_can_be_left_out(file):
    """Leaving a part out leaves a design that can be read, without any value of that part."""
    text = file.read_text("utf-8")
    begun = read_design(text)
    for offer in offered(begun, "leave").values():
        _, less = after(text, begun, offer)

        assert isinstance(less, Design), (offer, less)
        change = json.loads(offer.change)
        told = {path: text for path, text in change.items() if text}
        assert not (change.keys() - told.keys()) & less.values.keys()
        assert {path for path in less.values if less.values[path] != begun.values.get(path)} == told.keys()
        assert form_paths(typed_of(less)) <= form_paths(typed_of(begun)) | told.keys()


def parts(**given):
    return SimpleNamespace(**{"texts": {}, "runs": (), "strings": 0, "couplers": 0} | given)


def test_a_new_run_has_a_name_of_its_own():
    """Names that are taken get the next number."""
    taken = ("home run", "home run 2", "battery run")
    changes = [json.loads(one.change) for one in adding("run", parts(runs=taken), WORDS)]

    assert changes == [
        {"run.string run.carries": "string"},
        {"run.home run 3.carries": "array"},
        {"run.battery run 2.carries": "battery"},
    ]


def test_only_the_last_of_numbered_parts_can_be_left_out():
    """Leaving out an earlier one would give the later ones other numbers."""
    three = parts(texts={f"coupler.{number}.inputs": "2" for number in (1, 2, 3)}, couplers=3)

    assert [list(leaving_out(f"coupler.{number}", three, WORDS, "")) != [] for number in (1, 2, 3)] == [
        False,
        False,
        True,
    ]
    assert list(leaving_out("controller", parts(texts={"controller.kind": "pwm"}), WORDS, "")) == []
