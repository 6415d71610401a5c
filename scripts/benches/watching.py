"""How long after a slider moves the day is drawn anew, while the reader looks at it: the real page, core and browser.

The day stands in view and the form is out of it, so that nothing but what everybody sees is worked out besides. Frames
are not held back to the screen's rhythm, as in ``repainting``.
"""

from benches import AT_MOST, Figure
from benches.repainting import BEGIN, late, started
from floor import Stop

CHANGES, WARMING = 120, 12
LOOK = """async () => {
  document.getElementById("report-day").scrollIntoView({ block: "start" });
  await new Promise((resolve) => setTimeout(resolve, 1500));
}"""
MOVE = (
    BEGIN
    + """
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
)


def measure_watching() -> dict[str, Figure]:
    """Move sliders, one after the other, and time each until the day that is looked at belongs to the new design."""
    with started() as page:
        page.evaluate(LOOK)
        times = [page.evaluate(MOVE, turn) for turn in range(WARMING + CHANGES)][WARMING:]
    drawn = sorted(taken for taken in times if taken > 0)
    if len(drawn) < CHANGES // 2:
        raise Stop("Most changes left the day as it was; nothing was measured.")
    return {"day_repaint_p95_ms": Figure(late(drawn), 100, AT_MOST, "ms")}
