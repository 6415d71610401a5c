"""Every state of a live page, found good by the accessibility checker: in every look, narrow and wide."""

import pytest
from playwright.sync_api import expect

from tests.browser.desk import BENCH, SLOW, TUNNEL, WATCH, at_rest, field, put, visit
from tests.site.looks import HEIGHTS, NARROW, OPEN_ALL, WIDE, found_in_every_look

LIVE = ("#bench", "#bench-bar", "#report-verdict", "#report-fixes", "#report-findings", "#report-problems")
"""Where a change is made and told; the rest of a report is looked at where everything is open."""
NO_MATCH = "No part of the page that was to be looked at is there."


def profile(browser, width=WIDE, **more):
    """A reader's profile."""
    size = {"width": width, "height": HEIGHTS[width]}
    context = browser.new_context(color_scheme="light", reduced_motion="reduce", viewport=size, **more)
    context.add_init_script(WATCH)
    return context


@pytest.fixture(scope="module")
def seen(browser):
    """A page of a reader who has been here before."""
    context = profile(browser)
    yield context.new_page()
    context.close()


@pytest.fixture
def first(browser):
    """A page of a reader who was never here, and whose browser keeps nothing by itself."""
    context = profile(browser, service_workers="block")
    yield context.new_page()
    context.close()


def good(page, axe_source, *within):
    """Nothing found by the checker in any look, and nothing wider than the window."""
    there = [one for one in within if page.locator(one).count()]
    assert bool(there) == bool(within), NO_MATCH
    found = found_in_every_look(page, axe_source, within=there, alike=True)
    assert not found, "\n".join(found)


def test_loading(first, address, axe_source):
    """While the calculation is fetched."""
    first.route("**/*.wasm", lambda _: None)  # never answered
    visit(first, address + TUNNEL)
    put(first, "array.modules_in_series", "3")
    expect(first.locator("#bench-progress")).to_be_visible(timeout=SLOW)

    good(first, axe_source, "#bench", "#bench-bar")
    assert first.locator("#bench-progress").is_visible()


def test_trouble(first, address, axe_source):
    """When the calculation cannot be fetched."""
    first.route("**/*.wasm", lambda route: route.abort())
    visit(first, address + TUNNEL)
    put(first, "array.modules_in_series", "3")
    expect(first.locator("#bench-trouble")).to_be_visible(timeout=SLOW)

    good(first, axe_source, "#bench", "#bench-bar")


def test_changed(seen, address, axe_source):
    """After a change that makes the design fail; then with a part more, and with every part and chapter open."""
    visit(seen, address + TUNNEL)
    at_rest(seen, lambda: put(seen, "array.modules_in_series", "4"))
    expect(seen.locator("#report-fixes .fix-now").first).to_be_visible(timeout=SLOW)
    good(seen, axe_source, *LIVE)

    at_rest(seen, lambda: seen.locator("#add-run-battery").dispatch_event("click"))
    seen.evaluate(OPEN_ALL)
    good(seen, axe_source)


def test_changed_back_with_a_fix(seen, address, axe_source):
    """After a fix was taken, with the keyboard at the new verdict."""
    visit(seen, address + TUNNEL)
    at_rest(seen, lambda: put(seen, "array.modules_in_series", "4"))
    at_rest(seen, seen.locator("#report-fixes .fix-now").first.click)
    expect(seen.locator("#report-verdict")).to_be_focused()

    good(seen, axe_source, *LIVE)


def test_problems(seen, address, axe_source):
    """When values cannot be read."""
    visit(seen, address + TUNNEL)
    put(seen, "site.coldest", "cold")
    put(seen, "module.voc", "x" * 300)
    expect(seen.locator("#report-problems")).to_contain_text("2 values", timeout=SLOW)

    good(seen, axe_source, *LIVE)


def test_pinned(seen, address, axe_source):
    """Two layouts side by side, one of them failing."""
    visit(seen, address + BENCH)
    at_rest(seen, lambda: put(seen, "array.modules_in_series", "4"))

    good(seen, axe_source, *LIVE, "#report-compare")


def test_asked_for(seen, address, axe_source):
    """What is worked out on request: what adding modules does, and what moves the verdict first."""
    visit(seen, address + TUNNEL)
    for deed, part in (("adding", "adding"), ("moves", "limits")):
        place = seen.locator(f"#report-{part}")
        place.locator(f'[data-do="{deed}"]').click()
        expect(place).to_have_attribute("data-whole", "", timeout=SLOW)

    good(seen, axe_source, "#report-adding", "#report-limits")


def test_lesson(seen, address, axe_source):
    """A lesson whose figure was turned, whose mistake was tried, and whose answer is open."""
    seen.goto(address + "guide/where-currents-add/")
    answers = seen.locator("#report-answers")
    field(seen, "array.strings_in_parallel").fill("2")
    answers.get_by_text("was 15.8 A").wait_for(timeout=SLOW)
    good(seen, axe_source, "#bench")

    seen.get_by_role("button", name="Try it in the figure").click()
    answers.get_by_text("Coupler 3: it carries 31.5 A").wait_for(timeout=SLOW)
    seen.evaluate(OPEN_ALL)
    good(seen, axe_source)


def test_kept_for_offline(browser, address, axe_source):
    """The size is said before anything is kept; afterwards the line says that it is."""
    context = profile(browser)
    page = context.new_page()
    visit(page, address + TUNNEL)
    expect(page.locator("#bench-offline-says")).to_contain_text("MB", timeout=SLOW)
    good(page, axe_source, "#bench")

    page.locator('[data-do="keep"]').click()
    expect(page.locator("#bench-offline-says")).to_contain_text("Kept on this device", timeout=SLOW)
    good(page, axe_source, "#bench")
    context.close()


@pytest.mark.parametrize("width", [NARROW, WIDE])
def test_the_line_at_the_foot_hides_no_field(seen, address, width):
    """Whatever has the keyboard can be seen in full above the line at the foot of the window."""
    seen.set_viewport_size({"width": width, "height": HEIGHTS[width]})
    visit(seen, address + TUNNEL)
    at_rest(seen, lambda: put(seen, "array.modules_in_series", "4"))
    seen.locator("#bench-box > summary").focus()
    hidden = []
    for _ in range(25):
        seen.keyboard.press("Tab")
        hidden += seen.evaluate(
            """() => {
              const bar = document.getElementById("bench-bar"), here = document.activeElement;
              if (bar.contains(here) || getComputedStyle(bar).position !== "sticky") return [];
              const at = here.getBoundingClientRect(), foot = bar.getBoundingClientRect();
              return at.bottom > foot.top + 1 && at.height < foot.top ? [here.id || here.textContent] : [];
            }"""
        )

    assert hidden == []
