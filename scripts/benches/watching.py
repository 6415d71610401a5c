"""How long after a slider moves the day is drawn anew, while the reader looks at it: the real page, core and browser.

The day stands in view and the form is out of it, so that nothing but what everybody sees is worked out besides. Frames
are not held back to the screen's rhythm, as in ``repainting``.
"""

from playwright.sync_api import sync_playwright

from benches import AT_MOST, Figure
from benches.repainting import FREE_FRAMES, PAGE, late, started
from floor import browser
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
  const settled = () => new Promise(resolve => setTimeout(resolve, 400));
  const sliders = [...document.querySelectorAll("#report-form .quick .slide")];
  const slider = sliders[(turn >> 1) % sliders.length];
  const step = 1 + (turn >> 1) % 3;
  const moved = new Promise(resolve => document.addEventListener("arraybook:painted", resolve, { once: true }));
  slider.value = Number(slider.value) + (turn % 2 ? -step : step);
  const start = performance.now();
  slider.dispatchEvent(new Event("input", { bubbles: true }));
  await moved;
  const day = document.getElementById("report-day");
  if (day.getAttribute("aria-busy") === "true") {
    await new Promise(resolve => {
      const watch = new MutationObserver(() => {
        const now = document.getElementById("report-day");
        if (now.getAttribute("aria-busy") === "true") return;
        watch.disconnect();
        resolve();
      });
      watch.observe(document.body, { subtree: true, childList: true, attributeFilter: ["aria-busy"] });
    });
  }
  await painted();
  const taken = performance.now() - start;
  await settled();
  return taken;
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
    return {"day_repaint_p95_ms": Figure(late(sorted(times)), 100, AT_MOST, "ms")}
