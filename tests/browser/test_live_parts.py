"""Parts that a design may have more of: added and left out on the form, by keyboard, and told like any other change."""

import re

import pytest
from playwright.sync_api import expect

from tests.browser.desk import SLOW, TUNNEL, at_rest, field, put, told, verdict, visit


@pytest.fixture
def opened(page, address):
    """A report with the whole form open."""
    visit(page, address + TUNNEL)
    page.locator("#form-more > summary").click()
    return page


def press(page, name):
    """Press a button by keyboard, which the part's own box may hold closed."""
    button = page.locator(f"#report-form #{name}")
    button.evaluate(
        "one => { for (let at = one; at; at = at.parentElement) if (at.localName === 'details') at.open = true; }"
    )
    button.focus()
    page.keyboard.press("Enter")


def test_a_run_is_added_filled_and_left_out(opened):
    """A new run takes the keyboard to its length, counts once it is described, and can be left out or taken back."""
    page = opened
    at_rest(page, lambda: press(page, "add-run-battery"))
    expect(field(page, "run.battery run.length")).to_be_focused()
    verdict(page, "Needs input")
    told(page, "#run.battery run.carries=battery")

    page.keyboard.type("12 ft")
    at_rest(page, lambda: put(page, "run.battery run.size", "10 AWG"))
    expect(page.locator("#report-derivations")).to_contain_text("Run: battery run")
    expect(page.locator("#report-given")).to_contain_text("12 ft")

    at_rest(page, lambda: press(page, "leave-out-run-battery--run"))
    verdict(page, "Holds")
    expect(field(page, "run.battery run.length")).to_have_count(0)
    expect(page.locator("#add-run-array")).to_be_focused()
    expect(page).to_have_url(re.compile(f"{TUNNEL}$"))
    at_rest(page, lambda: page.keyboard.press("Control+z"))
    assert field(page, "run.battery run.length").input_value() == "12 ft"


def test_what_is_typed_wrong_into_a_new_run_stays(opened):
    """A new part that cannot be read yet keeps its place and its text in the form, with what is wrong beside it."""
    page = opened
    at_rest(page, lambda: press(page, "add-run-string"))

    put(page, "run.string run.length", "far")

    expect(page.locator("#report-problems")).to_contain_text("One value cannot be used", timeout=SLOW)
    assert field(page, "run.string run.length").input_value() == "far"
    assert field(page, "run.string run.length").get_attribute("aria-invalid") == "true"
    page.locator("#report-problems a").press("Enter")
    expect(field(page, "run.string run.length")).to_be_focused()


def test_strings_of_another_kind(opened):
    """Alike strings become the first group of two; without the second they are all alike again."""
    page = opened
    at_rest(page, lambda: press(page, "add-string"))
    expect(field(page, "string.2.modules_in_series")).to_be_focused()
    assert field(page, "string.1.strings_in_parallel").input_value() == "4"
    expect(field(page, "array.strings_in_parallel")).to_have_count(0)
    put(page, "string.2.module.voc", "20 V")  # a module of its own, of which more has to be said
    expect(page.locator("#report-problems")).to_be_visible(timeout=SLOW)
    assert field(page, "string.2.module.voc").input_value() == "20 V"
    at_rest(page, lambda: page.locator('#bench [data-do="undo"]').click())

    at_rest(page, lambda: press(page, "leave-out-string-2"))

    assert field(page, "array.strings_in_parallel").input_value() == "4"
    verdict(page, "Holds")
    expect(page).to_have_url(re.compile(f"{TUNNEL}$"))


def test_a_part_that_stands_once_is_left_out(opened):
    """What a design need not have, such as a combiner, goes with one button, and the keyboard stays at its place."""
    page = opened
    at_rest(page, lambda: press(page, "leave-out-disconnect"))

    expect(page.locator("#form-disconnect > summary")).to_be_focused()
    assert field(page, "disconnect.rating").input_value() == ""
    expect(page.locator("#report-given")).not_to_contain_text("disconnect.rating")
