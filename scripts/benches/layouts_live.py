"""How long it takes in the page to try every way to join 24 modules: until the first row is there, and until all are.

The bench itself, in a browser, with what it does of its own accord: the checks, the wire, the shortest day and the faults
of every layout, also of those that leave modules out where none of all modules holds. Time runs from the moment in which
the section comes into view.
"""

import statistics

from playwright.sync_api import Page, expect, sync_playwright

from benches import AT_MOST, Figure
from floor import browser
from floor.build import SITE
from floor.server import serving

PAGE = "try/"
ROUNDS = 5
START_MS = 60_000
COUNTS = {"array.modules_in_series": "4", "array.strings_in_parallel": "6"}
WATCH = """() => {
  const section = () => document.getElementById("report-layouts");
  return new Promise(resolve => {
    const start = performance.now();
    let first = 0;
    const watch = new MutationObserver(() => {
      const working = document.getElementById("layouts-progress");
      if (working && !first) first = performance.now() - start;
      if (!first || working || section().hasAttribute("aria-busy")) return;
      watch.disconnect();
      resolve([first, performance.now() - start, section().querySelectorAll(".layouts tbody tr").length]);
    });
    watch.observe(document.body, { subtree: true, childList: true, attributes: true });
    section().scrollIntoView();
  });
}"""


def measure_layouts_live() -> dict[str, Figure]:
    """Change the design a little before each round, so that nothing is known already; the middle one counts."""
    with serving(SITE) as address, sync_playwright() as tool:
        chromium = tool.chromium.launch(executable_path=browser.ensure(), args=list(browser.FLAGS))
        page = chromium.new_page(viewport={"width": 1280, "height": 800})
        page.goto(address + PAGE)
        times = [tried(page, turn) for turn in range(ROUNDS + 1)][1:]
        chromium.close()
    first, everything = (statistics.median(one[place] for one in times) for place in (0, 1))
    return {
        "layouts_24_first_row_s": Figure(round(first / 1000, 3), 0.1, AT_MOST, "s"),
        "layouts_24_live_s": Figure(round(everything / 1000, 3), 1.0, AT_MOST, "s"),
    }


def tried(page: Page, turn: int) -> list[float]:
    """Put in 24 modules and another temperature out of sight of the section, then look at it."""
    page.evaluate("scrollTo(0, 0)")
    for path, text in {**COUNTS, "site.coldest": f"{-20 - turn} degC"}.items():
        field = page.locator(f'#report-form [name="{path}"]')
        field.fill(text)
        field.press("Tab")
    expect(page.locator("#report-layouts")).to_have_attribute("aria-busy", "true", timeout=START_MS)
    page.wait_for_timeout(1500)
    times: list[float] = page.evaluate(WATCH)
    least = 8
    if times[2] < least:
        raise RuntimeError(f"the page shows {times[2]} layouts of 24 modules")
    return times
