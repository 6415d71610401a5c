"""The page of published values works itself out again in the reader's browser, and sees a figure that is off."""

import re

import pytest
from playwright.sync_api import expect

from tests.browser.desk import SLOW
from tests.browser.test_live_access import good

PAGE = "how/published/"
ROW = re.compile(r'(<tr data-proof="code-tables\.3">.*?data-label="Ours:">)([^<]*)')
DIGEST = re.compile(r'(<tr data-digest="high-tunnel">.*?<code>)[0-9a-f]{4}')


def worked_out(page):
    """Start the self-check by keyboard and wait until it has come to its end."""
    page.locator("#proof-start").focus()
    page.keyboard.press("Enter")
    expect(page.locator("#proof-start")).to_be_hidden()
    expect(page.locator("#proof-start")).to_be_visible(timeout=SLOW)


@pytest.fixture
def plain(browser):
    """A page of a reader whose browser keeps nothing, so that every page comes from the site."""
    context = browser.new_context(service_workers="block")
    yield context.new_page()
    context.close()


def test_every_figure_comes_out_the_same(page, address, axe_source):
    """Every row of the page is worked out here, is found to be what the build printed, and the total says so."""
    page.goto(address + PAGE)
    figures, designs = page.locator("[data-proof]").count(), page.locator("[data-digest]").count()
    assert figures > 700
    assert designs >= 6

    worked_out(page)

    said = f"All {figures} figures and {designs} reports came out on this device as they stand here."
    expect(page.locator("#proof-said")).to_have_text(said)
    assert page.locator(".is-checked").count() == figures + designs
    assert page.locator(".is-wrong").count() == 0
    expect(page.locator("#proof-start")).to_be_focused()
    good(page, axe_source)


def test_a_figure_that_is_off_is_seen(plain, address, axe_source):
    """A page whose printed figure or report is not what this device works out says how many, marks each and opens its box."""

    def spoiled(route):
        answer = route.fetch()
        text, figures = ROW.subn(r"\g<1>7\g<2>", answer.text(), count=1)
        text, designs = DIGEST.subn(r"\g<1>0000", text, count=1)
        assert (figures, designs) == (1, 1)
        route.fulfill(response=answer, body=text)

    plain.route(f"**/{PAGE}", spoiled)
    plain.goto(address + PAGE)

    worked_out(plain)

    expect(plain.locator("#proof-said")).to_contain_text("2 of ")
    expect(plain.locator(".is-wrong")).to_have_count(2)
    for row in plain.locator(".is-wrong").all():
        expect(row).to_be_visible()
        expect(row).to_contain_text("DIFFERS")
    good(plain, axe_source)


def test_it_can_be_stopped(page, address, axe_source):
    """The reader can end it before its end, and is told how far it came."""
    page.goto(address + PAGE)
    page.evaluate(
        """() => new MutationObserver(() => {
          if (/1 of/.test(document.getElementById("proof-said").textContent)) document.getElementById("proof-stop").click();
        }).observe(document.getElementById("proof-said"), { childList: true })"""
    )

    worked_out(page)

    expect(page.locator("#proof-said")).to_contain_text("Stopped after")
    good(page, axe_source, "#proof")
    assert page.locator(".is-checked").count() < page.locator("[data-proof]").count()
