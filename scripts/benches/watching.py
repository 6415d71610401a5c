"""How long after a slider moves the day is drawn anew, while the reader looks at it: the real page, core and browser.

The day stands in view and the form is out of it, so that nothing but what everybody sees is worked out besides. Frames
are not held back to the screen's rhythm, as in ``repainting``.
"""

from playwright.sync_api import sync_playwright

from benches import AT_MOST, Figure
from benches.repainting import FREE_FRAMES, PAGE, late, started
from floor import Stop, browser
from floor.build import SITE
from floor.server import serving

CHANGES, WARMING = 120, 12
LOOK = """async () => {
  document.getElementById("report-day").scrollIntoView({ block: "start" });
  await new Promise((resolve) => setTimeout(resolve, 1500));
}"""
MOVE = """async turn => {
  const painted = () => new Promise(resolve => requestAnimationFrame(() => {
    const channel = new MessageChannel();
    channel.port1.onmessage = resolve;
    channel.port2.postMessage(0);
  }));
  const sliders = [...document.querySelectorAll("#report-form .quick .slide")];
  const slider = sliders[(turn >> 1) % sliders.length];
  const step = 1 + (turn >> 1) % 3;
  const all = new Promise(resolve => document.addEventListener("arraybook:painted", resolve, { once: true }));
  let drawn = 0;
  const day = new MutationObserver(async () => {
    await painted();
    drawn = performance.now();
  });
  day.observe(document.getElementById("report-day"), { subtree: true, childList: true, characterData: true });
  slider.value = Number(slider.value) + (turn % 2 ? -step : step);
  const start = performance.now();
  slider.dispatchEvent(new Event("input", { bubbles: true }));
  await all;
  while (document.getElementById("report-day").getAttribute("aria-busy") === "true") {
    await new Promise(resolve => setTimeout(resolve, 1));
  }
  await painted();
  day.disconnect();
  const taken = drawn - start;
  await new Promise(resolve => setTimeout(resolve, 400));
  return taken; // below zero where the change left the day as it was
}"""


def measure_watching() -> dict[str, Figure]:
    """Move sliders, one after the other, and time each until the day that is looked at belongs to the new design."""
    with serving(SITE) as address, sync_playwright() as tool:
        flags = [*browser.FLAGS, *FREE_FRAMES]
        chromium = tool.chromium.launch(executable_path=browser.ensure(), args=flags)
        page = chromium.new_page()
        page.goto(address + PAGE)
        started(page)
        page.evaluate(LOOK)
        times = [page.evaluate(MOVE, turn) for turn in range(WARMING + CHANGES)][WARMING:]
        chromium.close()
    drawn = sorted(taken for taken in times if taken > 0)
    if len(drawn) < CHANGES // 2:
        raise Stop("Most changes left the day as it was; nothing was measured.")
    return {"day_repaint_p95_ms": Figure(late(drawn), 100, AT_MOST, "ms")}
