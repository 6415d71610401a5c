"""Layouts in the page: tried one by one, stopped, drawn on axes that the reader picks, taken over, and within reach of all."""

import re

import pytest
from playwright.sync_api import expect

from tests.browser.desk import BENCH, SLOW, TUNNEL, at_rest, field, put, visit
from tests.browser.test_live_access import good, profile

SECTION = "#report-layouts"
WATCH = """
  window.seen = [];
  const watch = () => {
    const bar = document.querySelector("#layouts-progress progress");
    const rows = document.querySelectorAll("#report-layouts .layouts tbody tr").length;
    const now = [bar?.value ?? null, bar?.max ?? null, rows];
    if (String(now) !== String(window.seen.at(-1))) window.seen.push(now);
  };
  new MutationObserver(watch).observe(document.body, {subtree: true, childList: true, attributes: true});
"""

HALT = """
  new MutationObserver(() => {
    const stop = document.querySelector('[data-do="layouts-stop"]');
    const bar = document.querySelector("#layouts-progress progress");
    if (stop && !window.halted && bar.value >= 3) { window.halted = true; stop.focus(); stop.click(); }
  }).observe(document.body, {subtree: true, childList: true, attributes: true});
"""


def rows(page):
    """The layouts by name, in the order of the page."""
    return page.locator(f"{SECTION} .layouts tbody tr th strong").all_inner_texts()


def of_24(page):
    """Make it 24 modules: four in series, six strings."""
    at_rest(page, lambda: put(page, "array.modules_in_series", "4"))
    at_rest(page, lambda: put(page, "array.strings_in_parallel", "6"))


def bring(page):
    """Bring the layouts into view, and wait until all are there."""
    page.locator(SECTION).scroll_into_view_if_needed()
    expect(page.locator(SECTION)).not_to_have_attribute("aria-busy", "true", timeout=SLOW)


def test_the_layouts_stand_ready_without_a_script(open_page, address):
    """All of them, with the drawing and its table; what only a script could do is not shown."""
    page = open_page(script=False)
    for place in (BENCH, TUNNEL):
        page.goto(address + place)

        assert len(rows(page)) > 1
        expect(page.locator(f"{SECTION} .tradeoff")).to_be_visible()
        for button in page.locator(f"{SECTION} button, {SECTION} select").all():
            expect(button).to_be_hidden()


def test_rows_come_one_by_one_with_progress(page, address):
    """The design's own first, then more, then hours and faults; in the end the bar is gone."""
    visit(page, address + BENCH)
    of_24(page)
    page.evaluate(WATCH)
    bring(page)

    seen = page.evaluate("window.seen")
    working = [one for one in seen if one[0] is not None]
    assert working[0][0] == 1
    assert working[0][2] == 1
    assert [one[0] for one in working] == sorted(one[0] for one in working)
    assert len(working) >= 6
    assert seen[-1][0] is None
    assert {"4 × 6", "24 × 1", "1 × 24"} <= {name.replace("\N{NO-BREAK SPACE}", " ") for name in rows(page)}


def test_the_work_can_be_stopped_and_gone_on_with(page, address):
    """What was tried stays; the keyboard is on the button that goes on, and after that on the section."""
    visit(page, address + BENCH)
    of_24(page)
    page.evaluate(HALT)
    page.locator(SECTION).scroll_into_view_if_needed()
    go = page.locator('[data-do="layouts-go"]')
    expect(go).to_be_visible(timeout=SLOW)
    expect(go).to_be_focused()
    tried = len(rows(page))
    page.wait_for_timeout(300)

    assert 3 <= tried == len(rows(page)) < 8

    page.keyboard.press("Enter")
    expect(page.locator("#layouts-progress")).to_have_count(0, timeout=SLOW)
    assert len(rows(page)) >= 8
    expect(page.locator(SECTION)).to_be_focused()


def test_a_newer_design_ends_the_work_on_the_one_before(page, address):
    """The rows in the end are those of the newest design."""
    visit(page, address + BENCH)
    of_24(page)
    page.locator(SECTION).scroll_into_view_if_needed()
    put(page, "array.strings_in_parallel", "2")
    bring(page)
    expect(page.locator(SECTION)).to_contain_text("4 × 2", timeout=SLOW)
    bring(page)

    assert (
        page.locator(f"{SECTION} .is-own strong").inner_text().replace("\N{NO-BREAK SPACE}", " ") == "4 × 2"
    )


def test_two_axes_can_be_picked_with_the_keyboard_alone(page, address):
    """The drawing and the table beside it change, and the keyboard stays in the field."""
    visit(page, address + TUNNEL)
    picker = page.locator("#layouts-across")
    picker.focus()
    picker.select_option("energy")
    head = page.locator(f"{SECTION} .tradeoff thead")
    expect(head).to_contain_text("Energy, shortest day", timeout=SLOW)
    expect(picker).to_be_focused()
    page.locator("#layouts-up").select_option("cold")

    expect(head).to_contain_text("Voltage, cold", timeout=SLOW)
    expect(head).to_contain_text("Energy, shortest day")
    assert page.locator("#layouts-across").input_value() == "energy"


def test_each_mark_says_why_on_hover_focus_and_tap(page, address):
    """The reason is read out, and stands under the drawing as long as the mark is pointed at."""
    page.goto(address + TUNNEL)
    marks = page.locator(f"{SECTION} .d-point")
    for number, mark in enumerate(marks.all()):
        reason = mark.locator("> title").text_content()
        why = mark.locator(".d-why")
        expect(why).to_be_hidden()
        if number % 2:
            mark.locator(".d-touch").hover(force=True)
        else:
            mark.focus()
        expect(why).to_be_visible()
        shown = " ".join(why.locator("text").all_text_contents())
        assert re.sub(r"\s+", " ", shown) == re.sub(r"\s+", " ", reason)
        page.mouse.move(0, 0)
        page.evaluate("document.activeElement.blur()")
        expect(why).to_be_hidden()
    assert any("fails" in mark.locator("> title").text_content() for mark in marks.all())


def test_a_layout_can_be_taken_over(page, address):
    """Its counts are then in the form and in the address, and it is the design's own layout."""
    visit(page, address + TUNNEL)
    taken = page.locator(f"{SECTION} .use-now").first
    series, strings = re.findall(r"\d+", taken.inner_text())
    at_rest(page, taken.click)

    assert field(page, "array.modules_in_series").input_value() == series
    assert field(page, "array.strings_in_parallel").input_value() == strings
    expect(page.locator("#report-verdict")).to_be_focused()
    bring(page)
    own = page.locator(f"{SECTION} .is-own strong")
    expect(own).to_have_text(re.compile(rf"{series}\s×\s{strings}"), timeout=SLOW)


@pytest.mark.parametrize(("deed", "part"), [("adding", "adding"), ("moves", "limits")])
def test_what_takes_long_is_worked_out_on_request(page, address, deed, part):
    """In place, with the keyboard on it; and after a change of the design it is the whole again."""
    visit(page, address + TUNNEL)
    place = page.locator(f"#report-{part}")
    expect(place).not_to_have_attribute("data-whole", "")
    place.locator(f'[data-do="{deed}"]').click()
    expect(place).to_have_attribute("data-whole", "", timeout=SLOW)
    expect(place).to_be_focused()
    before = place.inner_text()

    at_rest(page, lambda: put(page, "array.modules_in_series", "1"))
    place.scroll_into_view_if_needed()
    expect(place).not_to_have_attribute("aria-busy", "true", timeout=SLOW)
    expect(place).to_have_attribute("data-whole", "")
    assert place.inner_text() != before


def test_nobody_is_kept_out(browser, address, axe_source):
    """By the checker's rules, half done, and done with a mark pointed at, in every look; nothing is too wide."""
    context = profile(browser)
    page = context.new_page()
    visit(page, address + BENCH)
    of_24(page)
    page.evaluate(HALT)
    page.locator(SECTION).scroll_into_view_if_needed()
    go = page.locator('[data-do="layouts-go"]')
    expect(go).to_be_visible(timeout=SLOW)
    good(page, axe_source, SECTION)
    go.click()
    expect(page.locator("#layouts-progress")).to_have_count(0, timeout=SLOW)
    page.locator(f"{SECTION} .d-point").first.focus()

    good(page, axe_source, SECTION)
    context.close()


def test_what_is_wished_of_the_comparison_is_tried_kept_and_taken_over(page, address, open_page):
    """Typed into the form it is in the section, in the file, and in the address; a button takes the other value over."""
    visit(page, address + TUNNEL)
    at_rest(page, lambda: put(page, "layouts.wire_prices", "6 AWG 2.40, 4 AWG 3.60"))
    at_rest(page, lambda: put(page, "layouts.leave_out", "1"))
    at_rest(page, lambda: put(page, "layouts.or", "controller.max_voltage = 100 V"))
    bring(page)
    expect(page.locator(SECTION)).to_contain_text("leaves out one module", timeout=SLOW)
    expect(page.locator(SECTION)).to_contain_text("cost ")
    other = page.locator(f"{SECTION} .layouts-options > li")
    expect(other).to_contain_text("highest voltage of the controller: 100\N{NO-BREAK SPACE}V")
    said = other.text_content()

    with page.expect_download() as saved:
        page.locator('[data-do="save"]').click()
    file = saved.value.path().read_text("utf-8")
    assert file.split("[layouts]\n")[1].splitlines()[:3] == [
        "leave_out = 1",
        'wire_prices = "6 AWG 2.40, 4 AWG 3.60"',
        'or = "controller.max_voltage = 100 V"',
    ]

    again = open_page()
    visit(again, page.url)
    expect(field(again, "layouts.or")).to_have_value("controller.max_voltage = 100 V", timeout=SLOW)
    bring(again)
    expect(again.locator(f"{SECTION} .layouts-options > li")).to_have_text(said, timeout=SLOW)

    at_rest(page, page.locator(f"{SECTION} .layouts-options button").click)
    assert field(page, "controller.max_voltage").input_value() == "100 V"
