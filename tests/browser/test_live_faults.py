"""When something does not work: one line says what and why, the report stays, and nothing typed is lost."""

import re

import pytest
from playwright.sync_api import expect

from tests.browser.desk import SLOW, TUNNEL, WATCH, field, put, verdict, visit


@pytest.fixture
def fresh(browser):
    """A reader who was never here, with nothing kept; and whose page is never blank and never asks anything."""
    context = browser.new_context(viewport={"width": 1280, "height": 900}, service_workers="block")
    context.add_init_script(WATCH)
    page = context.new_page()
    faults = []
    page.on("pageerror", lambda error: faults.append(str(error)))
    yield page
    context.close()
    assert not faults


def trouble(page):
    return page.locator("#bench-trouble")


def stands(page):
    """The report is there as it was built, and the field says what was typed."""
    assert "Holds" in page.locator("#report-verdict").inner_text()
    assert page.locator("#report-derivations math").count() > 50
    assert field(page, "array.modules_in_series").input_value() == "4"


def test_what_is_typed_during_the_start_is_kept(fresh, address):
    """A line says how far the calculation is, and what is typed meanwhile is worked out at the end."""

    def slowly(route):
        fresh.wait_for_timeout(1500)
        route.continue_()

    fresh.route("**/*.wasm", slowly)
    visit(fresh, address + TUNNEL)

    put(fresh, "array.modules_in_series", "3")
    expect(fresh.locator("#bench-stage")).to_have_text(re.compile(r"What you type is kept\.$"), timeout=SLOW)
    assert fresh.locator("#bench-progress").is_visible()
    put(fresh, "array.modules_in_series", "4")

    verdict(fresh, "Fails")
    expect(fresh.locator("#bench-progress")).to_be_hidden()
    assert field(fresh, "array.modules_in_series").input_value() == "4"


@pytest.mark.parametrize("what", ["**/*.wasm", "**/python.*.pack", "**/core.*.pack", "**/worker.*.mjs"])
def test_a_part_that_is_missing(fresh, address, what):
    """A part of the calculation that is not there is told in a line; once it is there again the next change works."""
    fresh.route(what, lambda route: route.fulfill(status=404, body="gone"))
    visit(fresh, address + TUNNEL)

    put(fresh, "array.modules_in_series", "4")

    expect(trouble(fresh)).to_be_visible(timeout=SLOW)
    assert trouble(fresh).inner_text().strip()
    stands(fresh)
    fresh.unroute(what)
    put(fresh, "site.coldest", "-20 degC")
    verdict(fresh, "Fails")
    expect(trouble(fresh)).to_be_hidden()


def test_a_part_that_is_cut_off(fresh, address):
    """A file that arrives shorter than it should is told, not run."""
    fresh.route("**/core.*.pack", lambda route: route.fulfill(status=200, body=b"\x1f\x8b\x08\x00 half"))
    visit(fresh, address + TUNNEL)

    put(fresh, "array.modules_in_series", "4")

    expect(trouble(fresh)).to_be_visible(timeout=SLOW)
    stands(fresh)


def test_no_network_in_the_middle_of_the_first_load(fresh, address):
    """The network goes while the calculation is on its way: the report and what was typed stay."""
    fresh.route("**/*.wasm", lambda route: route.abort("internetdisconnected"))
    visit(fresh, address + TUNNEL)

    put(fresh, "array.modules_in_series", "4")

    expect(trouble(fresh)).to_contain_text("could not be fetched", timeout=SLOW)
    stands(fresh)


@pytest.mark.parametrize(
    ("missing", "says"), [("WebAssembly", "WebAssembly"), ("Worker", "workers"), ("DecompressionStream", "")]
)
def test_a_browser_that_lacks_something(fresh, address, missing, says):
    """A browser without what the calculation needs still shows the whole report, and says what it lacks."""
    fresh.add_init_script(f"delete window.{missing};")
    visit(fresh, address + TUNNEL)

    put(fresh, "array.modules_in_series", "4")

    expect(trouble(fresh)).to_contain_text(says or "report", timeout=SLOW)
    stands(fresh)


def test_no_storage(fresh, address):
    """A browser that keeps nothing works all the same, and says that nothing can be kept."""
    fresh.add_init_script(
        """
        for (const name of ["localStorage", "indexedDB", "caches"])
          Object.defineProperty(window, name, { get() { throw new DOMException("no", "SecurityError"); } });
        """
    )
    visit(fresh, address + TUNNEL)

    put(fresh, "array.modules_in_series", "4")

    verdict(fresh, "Fails")
    expect(fresh.locator("#bench-offline-says")).to_contain_text("Nothing can be kept")


def test_a_script_that_does_not_arrive(fresh, address):
    """Without the page's own code the report is still the finished one."""
    fresh.route("**/assets/live.*.mjs", lambda route: route.abort())
    fresh.goto(address + TUNNEL)

    assert fresh.locator("#report-verdict").is_visible()
    assert "Holds" in fresh.locator("#report-verdict").inner_text()


def test_begins_while_the_page_is_read(fresh, address):
    """Where the address tells another design, the calculation does not wait for the page's own code; else it is not begun."""
    fresh.route("**/assets/live.*.mjs", lambda route: route.abort())
    fresh.goto(address + TUNNEL)
    fresh.wait_for_timeout(500)

    assert fresh.workers == []
    fresh.goto("about:blank")
    with fresh.expect_worker(timeout=SLOW):
        fresh.goto(address + TUNNEL + "#array.modules_in_series=3")
