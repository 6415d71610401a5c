"""Turning a number is light work for the browser: what did not change is not styled again.

Counted, not timed, so that it is the same on every machine.
"""

import json

import pytest

from benches.repainting import MOVE
from tests.browser.desk import TUNNEL, at_rest, slider, visit

LENGTH = "run.home run.length"
TURNS = 6
SHARE = 0.09


@pytest.fixture
def turned(page, address):
    """A report on which every slider that is moved below has been moved before, so that all is loaded and marked."""
    visit(page, address + TUNNEL)
    at_rest(page, lambda: slider(page, LENGTH).press("ArrowRight"))
    for turn in range(TURNS):
        page.evaluate(MOVE, turn)
    return page


def test_a_turned_number_restyles_only_what_changed(browser, turned):
    """A turn of a slider restyles a small part of the page's elements in all, drawings and verdicts included."""
    elements = turned.evaluate("document.querySelectorAll('*').length")
    for turn in range(TURNS):
        browser.start_tracing(page=turned, categories=["devtools.timeline"])
        turned.evaluate(MOVE, turn)
        events = json.loads(browser.stop_tracing())["traceEvents"]
        restyled = [
            event["args"].get("elementCount", 0) for event in events if event["name"] == "UpdateLayoutTree"
        ]
        assert 0 < sum(restyled) < SHARE * elements, restyled
