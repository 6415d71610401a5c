// @ts-check
// Ticks of the order of work: kept on the device for each design, so that a phone that drops the page in the middle of the
// work forgets nothing. Another design, or a changed one, begins with none.

const KEY = "arraybook.ticks";
/** Designs whose ticks are kept; the one ticked longest ago goes first. */
const MOST = 40;
/** Where nothing can be kept, ticks last as long as the page. @type {Record<string, string[]>} */
let here = {};

/** @param {EventTarget | null} target */
const box = (target) =>
  target instanceof HTMLInputElement && target.dataset.tick !== undefined ? target : null;

const boxes = () => /** @type {NodeListOf<HTMLInputElement>} */ (document.querySelectorAll("input[data-tick]"));

/** @returns {Record<string, string[]>} the ticks of each design */
function kept() {
  try {
    const found = JSON.parse(localStorage.getItem(KEY) ?? "{}");
    return found && typeof found === "object" && !Array.isArray(found) ? found : {};
  } catch {
    return here;
  }
}

/** @param {string} design @param {string[]} ticks */
function keep(design, ticks) {
  const { [design]: _, ...others } = kept();
  const entries = Object.entries(others).slice(-(MOST - 1));
  here = Object.fromEntries(ticks.length > 0 ? [...entries, [design, ticks]] : entries);
  try {
    localStorage.setItem(KEY, JSON.stringify(here));
  } catch {
    // Nothing is kept; the boxes stay ticked on this page.
  }
}

/**
 * Keep ticks from now on.
 * @param {() => string} design names the design as it stands, apart from every other one
 * @returns {() => void} puts the ticks of the design back, after its order of work was printed anew
 */
export function keepTicks(design) {
  const show = () => {
    const ticks = kept()[design()];
    const ticked = new Set(Array.isArray(ticks) ? ticks : []);
    for (const one of boxes()) one.checked = ticked.has(one.dataset.tick ?? "");
    for (const button of document.querySelectorAll('[data-do="untick"]')) {
      /** @type {HTMLButtonElement} */ (button).hidden = ticked.size === 0;
    }
  };
  document.addEventListener("change", (event) => {
    if (!box(event.target)) return;
    keep(design(), [...boxes()].filter((one) => one.checked).map((one) => one.dataset.tick ?? ""));
    show();
  });
  document.addEventListener("click", (event) => {
    const button = event.target instanceof Element ? event.target.closest('[data-do="untick"]') : null;
    if (!button) return;
    keep(design(), []);
    show();
    boxes()[0]?.focus();
  });
  show();
  return show;
}
