// @ts-check
// The fields of the form: a slider and its text field stay in step, and every change goes on as a text at a path.

/**
 * @param {(texts: Record<string, string>, manner: {typing: boolean, settled: boolean, path: string}) => void} changed
 */
export function watchFields(changed) {
  const inForm = (/** @type {EventTarget | null} */ target) =>
    (target instanceof HTMLInputElement || target instanceof HTMLSelectElement) && target.form?.id === "report-form"
      ? target
      : null;

  document.addEventListener("input", (event) => {
    const field = inForm(event.target);
    if (!field) return;
    const { path, text, typing } = read(field);
    changed({ [path]: text }, { typing, settled: false, path });
  });
  document.addEventListener("change", (event) => {
    const field = inForm(event.target);
    if (!field) return;
    const { path, text } = read(field);
    changed({ [path]: text }, { typing: false, settled: true, path });
  });
  document.addEventListener("submit", (event) => {
    if (event.target instanceof HTMLFormElement && event.target.id === "report-form") event.preventDefault();
  });
}

/**
 * What a field says, and where; a slider speaks through its text field.
 * @param {HTMLInputElement | HTMLSelectElement} field
 */
function read(field) {
  if (!(field instanceof HTMLInputElement && field.type === "range")) {
    return { path: field.name, text: field.value, typing: field instanceof HTMLInputElement };
  }
  const text = `${field.value} ${field.dataset.unit}`.trim();
  field.setAttribute("aria-valuetext", text);
  const partner = /** @type {HTMLInputElement} */ (document.getElementById(field.dataset.for ?? ""));
  partner.value = text;
  return { path: partner.name, text, typing: false };
}

/** Whether the keyboard is in a field in which text is typed, which has an undo of its own. */
export function isTyping() {
  const field = document.activeElement;
  return field instanceof HTMLTextAreaElement || (field instanceof HTMLInputElement && ["text", "search"].includes(field.type));
}
