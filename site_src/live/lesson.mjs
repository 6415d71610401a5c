// @ts-check
// A lesson: its figure is live as a report is, and its card can be printed alone.

import "./live.mjs";

const root = document.documentElement;

document.addEventListener("click", (event) => {
  const link = event.target instanceof Element ? event.target.closest("[data-print]") : null;
  if (!(link instanceof HTMLElement)) return;
  event.preventDefault();
  root.dataset.printing = link.dataset.print;
  window.print();
});
addEventListener("afterprint", () => {
  delete root.dataset.printing;
});
