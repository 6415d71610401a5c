// @ts-check
// Buttons that do something to the design: by name (`data-do`), or a change that is written in the button (`data-change`).

/**
 * @param {Record<string, (texts: Record<string, string>) => unknown>} deeds what each name does; `change` takes texts by path
 */
export function watchButtons(deeds) {
  document.addEventListener("click", (event) => {
    const link = event.target instanceof Element ? event.target.closest("#report-problems a") : null;
    if (link instanceof HTMLAnchorElement && toField(link.hash.slice(1))) event.preventDefault();
    const button = event.target instanceof Element ? event.target.closest("button") : null;
    if (!button || button.disabled) return;
    const { do: name, change, next } = button.dataset;
    if (name && deeds[name]) void deeds[name]({});
    else if (change && deeds.change) {
      if (!next) leave(button);
      void deeds.change(JSON.parse(change));
      if (next) onwards(button, next);
    }
  });
}

/**
 * Go to a field of the form, also when it stands in a closed box; the address keeps telling the design.
 * @param {string} id
 */
function toField(id) {
  const field = document.getElementById(id);
  for (let box = field?.closest("details"); box; box = box.parentElement?.closest("details")) box.open = true;
  const target = field instanceof HTMLDetailsElement ? field.querySelector("summary") : field;
  target?.focus();
  return target !== null;
}

/**
 * A part was added or left out: the keyboard goes on to what is next, as soon as that stands in the form, unless the reader
 * has gone elsewhere meanwhile.
 * @param {HTMLButtonElement} button
 * @param {string} next an id
 */
function onwards(button, next) {
  if (toField(next) || !button.form) return;
  const watch = new MutationObserver(() => {
    const here = document.activeElement;
    if (here !== button && here !== document.body) watch.disconnect();
    else if (toField(next)) watch.disconnect();
  });
  watch.observe(button.form, { childList: true, subtree: true });
}

/**
 * The button will go when its change is made, so the keyboard moves to what the change is about: the verdict, or the
 * comparison, which stands above it.
 * @param {HTMLElement} button
 */
function leave(button) {
  const beside = document.querySelector("#report-compare:not([hidden])");
  const verdict = beside ?? document.getElementById("report-verdict");
  const place = button.closest("form") ? document.getElementById("report-state") : verdict;
  if (!(place instanceof HTMLElement)) return;
  place.tabIndex = -1;
  place.focus({ preventScroll: true });
  if (!button.closest("form")) place.scrollIntoView({ block: "start" });
}
