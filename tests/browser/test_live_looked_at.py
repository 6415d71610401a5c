"""What the reader is looking at is worked out first: the day in sight before the parts of the page that are out of sight."""

import re

import pytest
from playwright.sync_api import expect

from calc import Design, load_book, read_design
from calc.plan.day import day_of
from calc.render.day.section import as_day_html
from floor import ROOT
from tests.browser.desk import SLOW, TUNNEL, at_rest, put, slider, visit

FILE = (ROOT / "scenarios" / "examples" / "high-tunnel.toml").read_text("utf-8")
ORDER = """() => {
  window.order = [];
  for (const id of ["report-verdict", "report-day", "report-derivations"]) {
    const watch = new MutationObserver(() => window.order.includes(id) || window.order.push(id));
    watch.observe(document.getElementById(id), { subtree: true, childList: true, characterData: true });
  }
}"""
MOVE = """(range) => {
  range.value = Number(range.value) + 12;
  range.dispatchEvent(new Event("input", { bubbles: true }));
  range.dispatchEvent(new Event("change", { bubbles: true }));
}"""


def words(html):
    """The words of a section, without its marks and however it is spelled."""
    text = (
        re.sub(r"<[^>]*>", " ", html)
        .replace("&nbsp;", " ")
        .replace("&#39;", "'")
        .replace("\N{NO-BREAK SPACE}", " ")
    )
    return re.sub(r"\s+", " ", text).strip()


@pytest.mark.parametrize("looks", [True, False], ids=["looked at", "out of sight"])
def test_the_day_in_sight_comes_before_what_is_not(page, address, looks):
    """Looked at, it follows the verdicts at once and fits the new design; out of sight, the rest of the page goes first."""
    visit(page, address + TUNNEL)
    at_rest(page, lambda: put(page, "run.home run.length", "50 ft"))
    moved = slider(page, "run.home run.length")
    if looks:
        page.locator("#report-day").scroll_into_view_if_needed()
        expect(page.locator("#report-day[aria-busy]")).to_have_count(0, timeout=SLOW)
    page.evaluate(ORDER)

    at_rest(page, lambda: moved.evaluate(MOVE))

    order = page.evaluate("window.order")
    assert order.index("report-verdict") == 0
    day = order.index("report-day") if "report-day" in order else len(order)
    assert (day < order.index("report-derivations")) is looks
    if looks:
        assert page.locator("#report-day").get_attribute("aria-busy") is None
        design = read_design(FILE.replace("40 ft", "62 ft"))
        assert isinstance(design, Design)
        fresh = as_day_html(day_of(design, load_book()), home="../../")
        shown = page.locator("#report-day").evaluate("one => one.outerHTML")
        assert words(shown) == words(fresh)
