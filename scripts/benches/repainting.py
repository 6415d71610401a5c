"""How long after a slider moves the verdicts, and then the whole page, are painted: the real page, core and browser.

Every slider of the form is moved in turn, to one side and back. Frames are not held back to the screen's rhythm, so that
the work is measured and not the wait for the next picture; a frame counts as painted once the browser has gone on to
its next task.
"""

import statistics
from collections.abc import Iterator
from contextlib import contextmanager

from playwright.sync_api import Page, expect, sync_playwright

from benches import AT_MOST, Figure
from floor import browser
from floor.build import SITE
from floor.server import serving

PAGE = "designs/high-tunnel/"
CHANGES, WARMING = 200, 20
START_MS = 60_000
FREE_FRAMES = ("--disable-frame-rate-limit", "--disable-gpu-vsync")
PERCENTILE = 0.95
BEGIN = """async turn => {
  const painted = () => new Promise(resolve => requestAnimationFrame(() => {
    const channel = new MessageChannel();
    channel.port1.onmessage = resolve;
    channel.port2.postMessage(0);
  }));
  const sliders = [...document.querySelectorAll("#report-form .quick .slide")];
  const slider = sliders[(turn >> 1) % sliders.length];
  const step = 1 + (turn >> 1) % 3;
  const all = new Promise(resolve => document.addEventListener("arraybook:painted", resolve, { once: true }));
"""
"""How every turn begins: a slider and how far it goes, and what tells when something is painted, and when all is."""
MOVE = (
    BEGIN
    + """
  const verdicts = new Promise(resolve => {
    const watch = new MutationObserver(() => { watch.disconnect(); resolve(); });
    watch.observe(document.getElementById("report-state"), { subtree: true, childList: true, characterData: true });
    watch.observe(document.getElementById("report-verdict"), { subtree: true, childList: true, characterData: true });
    watch.observe(document.getElementById("report-findings"), { subtree: true, childList: true, characterData: true });
  });
  slider.value = Number(slider.value) + (turn % 2 ? -step : step);
  const start = performance.now();
  slider.dispatchEvent(new Event("input", { bubbles: true }));
  await Promise.race([verdicts, all]);
  await painted();
  const first = performance.now() - start;
  await all;
  await painted();
  return [first, performance.now() - start];
}"""
)


def measure_repainting() -> dict[str, Figure]:
    """Move sliders, one after the other, and time each until the verdicts and until everything is painted."""
    with started() as page:
        times = [page.evaluate(MOVE, turn) for turn in range(WARMING + CHANGES)][WARMING:]
    verdicts, everything = (sorted(one[place] for one in times) for place in (0, 1))
    return {
        "repaint_verdicts_ms": Figure(round(statistics.median(verdicts), 1), 16.7, AT_MOST, "ms"),
        "repaint_verdicts_p95_ms": Figure(late(verdicts), 50, AT_MOST, "ms"),
        "repaint_all_p95_ms": Figure(late(everything), 100, AT_MOST, "ms"),
    }


@contextmanager
def started() -> Iterator[Page]:
    """A live page with its form open, after the calculation has answered a first change."""
    with serving(SITE) as address, sync_playwright() as tool:
        flags = [*browser.FLAGS, *FREE_FRAMES]
        chromium = tool.chromium.launch(executable_path=browser.ensure(), args=flags)
        page = chromium.new_page()
        page.goto(address + PAGE)
        page.locator("#bench-box > summary").click()
        page.locator("#report-form .quick .slide").last.press("ArrowRight")
        expect(page.locator("#report-form .is-changed")).to_be_attached(timeout=START_MS)
        page.wait_for_timeout(1000)
        yield page
        chromium.close()


def late(times: list[float]) -> float:
    """The time within which 95 of 100 are done, of times in order."""
    return round(times[int(PERCENTILE * len(times))], 1)
