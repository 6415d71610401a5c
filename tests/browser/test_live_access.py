"""Every state of a live page, light and dark, narrow and wide, found good by the accessibility checker."""

import pytest
from playwright.sync_api import expect

from tests.browser.desk import BENCH, SLOW, TUNNEL, WATCH, at_rest, put, visit

NARROW, WIDE = 320, 1280
WCAG_2_2_AA = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"]
RUN_AXE = """async tags => {
  const found = await axe.run(document, { runOnly: { type: "tag", values: tags }, resultTypes: ["violations"] });
  return found.violations.flatMap(rule => rule.nodes.map(node => rule.id + " at " + node.target.join(" ")));
}"""


@pytest.fixture(scope="module", params=["light", "dark"])
def scheme(request):
    return request.param


@pytest.fixture(scope="module", params=[NARROW, WIDE])
def width(request):
    return request.param


def profile(browser, scheme, width, **more):
    """A reader's profile in one scheme and width; at 320 pixels its height is that of a wide screen at 400 percent."""
    height = 256 if width == NARROW else 900
    size = {"width": width, "height": height}
    context = browser.new_context(color_scheme=scheme, reduced_motion="reduce", viewport=size, **more)
    context.add_init_script(WATCH)
    return context


@pytest.fixture(scope="module")
def seen(browser, scheme, width):
    """A page of a reader who has been here before."""
    context = profile(browser, scheme, width)
    yield context.new_page()
    context.close()


@pytest.fixture
def first(browser, scheme, width):
    """A page of a reader who was never here, and whose browser keeps nothing by itself."""
    context = profile(browser, scheme, width, service_workers="block")
    yield context.new_page()
    context.close()


def good(page, axe_source):
    """Nothing found by the checker, and nothing wider than the window."""
    page.evaluate(axe_source)
    assert page.evaluate(RUN_AXE, WCAG_2_2_AA) == []
    assert page.evaluate("document.documentElement.scrollWidth") <= page.viewport_size["width"]


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


def test_changed_with_the_whole_form_open(seen, address, axe_source):
    """After a change, with every part of the form open."""
    visit(seen, address + TUNNEL)
    at_rest(seen, lambda: put(seen, "array.modules_in_series", "4"))
    seen.evaluate("for (const box of document.querySelectorAll('#bench details')) box.open = true")

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


def test_kept_for_offline(browser, scheme, width, address, axe_source):
    """The size is said before anything is kept; afterwards the line says that it is."""
    context = profile(browser, scheme, width)
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
