"""A live page under test: opened, changed and looked at as a reader would."""

import re
from math import isclose

from playwright.sync_api import Page, expect

SLOW = 60_000
"""Milliseconds for the calculation to start and answer on a machine that is busy with other tests."""
TUNNEL = "designs/high-tunnel/"
BENCH = "try/"
WATCH = """
  window.painted = 0;
  document.addEventListener("arraybook:painted", () => (window.painted += 1));
"""


def visit(page: Page, url: str) -> Page:
    """Open a page and the box in which its design is changed."""
    page.goto(url)
    box = page.locator("#bench-box")
    if box.get_attribute("open") is None:
        page.locator("#bench-box > summary").click()
    return page


def field(page: Page, path: str):
    """The field of a path."""
    return page.locator(f'#report-form [name="{path}"]')


def slider(page: Page, path: str):
    """The range beside the field of a path."""
    return page.locator(f'#field-{field(page, path).get_attribute("id")} input[type="range"]')


def put(page: Page, path: str, text: str) -> None:
    """Type a text into the field of a path and leave it."""
    more = page.locator("#form-more")
    if not field(page, path).is_visible() and more.get_attribute("open") is None:
        page.locator("#form-more > summary").click()
    if not field(page, path).is_visible():
        page.locator(f'#form-more details:has([name="{path}"]) > summary').click()
    field(page, path).fill(text)
    field(page, path).press("Tab")


def verdict(page: Page, word: str) -> None:
    """Wait until the report's verdict is a word."""
    expect(page.locator("#report-verdict-word")).to_have_text(re.compile(f"Verdict: {word}"), timeout=SLOW)


def at_rest(page: Page, deed) -> None:
    """Do something, and wait until the whole page has been painted after it."""
    before = page.evaluate("window.painted")
    deed()
    page.wait_for_timeout(50)
    expect(page.locator("#bench-progress")).to_be_hidden(timeout=SLOW)
    for _ in range(SLOW // 100):
        if page.evaluate("window.painted") > before:
            return
        page.wait_for_timeout(100)
    raise AssertionError("the page was not painted")


def told(page: Page, text: str) -> None:
    """Wait until the address tells a text, as a reader sees it."""
    expect(page).to_have_url(re.compile(re.escape(text).replace("\\ ", "%20") + "$"), timeout=SLOW)


def apart(one, other, place=""):
    """Where two results differ, but for the last digits of what is found by repeated steps, one line each."""
    if isinstance(one, dict) and isinstance(other, dict):
        if list(one) != list(other):
            yield f"{place}: {[key for key in one if key not in other]} and {[key for key in other if key not in one]}"
        for key in one.keys() & other.keys():
            yield from apart(one[key], other[key], f"{place}/{key}")
    elif isinstance(one, list) and isinstance(other, list) and len(one) == len(other):
        for number, value in enumerate(one):
            yield from apart(value, other[number], f"{place}/{number}")
    elif isinstance(one, float) and isinstance(other, int | float):
        if not isclose(one, other, rel_tol=1e-8, abs_tol=1e-9):
            yield f"{place}: {one} and {other}"
    elif one != other:
        yield f"{place}: {one!r} and {other!r}"
