"""Every state of a live page, light and dark, narrow and wide, found good by the accessibility checker."""

import pytest
from playwright.sync_api import expect

from tests.browser.desk import BENCH, SLOW, TUNNEL, WATCH, at_rest, put, visit
from tests.site.test_pages import OPEN_ALL, found_on

NARROW, WIDE = 320, 1280


@pytest.fixture(scope="module", params=[("light", NARROW), ("dark", WIDE)], ids=["light-phone", "dark-desk"])
def look(request):
    """A scheme and a width."""
    return request.param


def profile(browser, look, **more):
    """A reader's profile in one scheme and width; at 320 pixels its height is that of a wide screen at 400 percent."""
    scheme, width = look
    size = {"width": width, "height": 256 if width == NARROW else 900}
    context = browser.new_context(color_scheme=scheme, reduced_motion="reduce", viewport=size, **more)
    context.add_init_script(WATCH)
    return context


@pytest.fixture(scope="module")
def seen(browser, look):
    """A page of a reader who has been here before."""
    context = profile(browser, look)
    yield context.new_page()
    context.close()


@pytest.fixture
def first(browser, look):
    """A page of a reader who was never here, and whose browser keeps nothing by itself."""
    context = profile(browser, look, service_workers="block")
    yield context.new_page()
    context.close()


def good(page, axe_source):
    """Nothing found by the checker, and nothing wider than the window."""
    assert found_on(page, axe_source) == []


def test_loading(first, address, axe_source):
    """While the calculation is fetched."""
    first.route("**/*.wasm", lambda _: None)  # never answered
    visit(first, address + TUNNEL)
    put(first, "array.modules_in_series", "3")
    expect(first.locator("#bench-progress")).to_be_visible(timeout=SLOW)

    good(first, axe_source)


def test_trouble(first, address, axe_source):
    """When the calculation cannot be fetched."""
    first.route("**/*.wasm", lambda route: route.abort())
    visit(first, address + TUNNEL)
    put(first, "array.modules_in_series", "3")
    expect(first.locator("#bench-trouble")).to_be_visible(timeout=SLOW)

    good(first, axe_source)


def test_changed_with_everything_open(seen, address, axe_source):
    """After a change that makes the design fail, with every part of the form and every chapter of the working open."""
    visit(seen, address + TUNNEL)
    at_rest(seen, lambda: put(seen, "array.modules_in_series", "4"))
    at_rest(seen, lambda: seen.locator("#add-run-battery").dispatch_event("click"))
    seen.evaluate(OPEN_ALL)

    good(seen, axe_source)


def test_problems(seen, address, axe_source):
    """When values cannot be read."""
    visit(seen, address + TUNNEL)
    put(seen, "site.coldest", "cold")
    put(seen, "module.voc", "x" * 300)
    expect(seen.locator("#report-problems")).to_contain_text("2 values", timeout=SLOW)

    good(seen, axe_source)


def test_pinned(seen, address, axe_source):
    """Two layouts side by side, one of them failing."""
    visit(seen, address + BENCH)
    at_rest(seen, lambda: put(seen, "array.modules_in_series", "4"))

    good(seen, axe_source)


def test_kept_for_offline(browser, look, address, axe_source):
    """The size is said before anything is kept; afterwards the line says that it is."""
    context = profile(browser, look)
    page = context.new_page()
    visit(page, address + TUNNEL)
    expect(page.locator("#bench-offline-says")).to_contain_text("MB", timeout=SLOW)
    good(page, axe_source)

    page.locator('[data-do="keep"]').click()
    expect(page.locator("#bench-offline-says")).to_contain_text("Kept on this device", timeout=SLOW)
    good(page, axe_source)
    context.close()


def test_the_line_at_the_foot_hides_no_field(seen, address):
    """Whatever has the keyboard can be seen in full above the line at the foot of the window."""
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
