// @ts-check
// Keeping the pages and the calculation on this device: the size is said first, and how it stands afterwards.

import { keepForOffline, offlineState } from "./runtime/client.mjs";
import { megabytes, words } from "./page.mjs";

const line = document.getElementById("bench-offline");
const says = document.getElementById("bench-offline-says");
const button = /** @type {HTMLButtonElement | null} */ (document.querySelector('[data-do="keep"]'));

/** @param {string} text @param {boolean} canKeep */
function tell(text, canKeep) {
  if (!line || !says || !button) return;
  line.hidden = false;
  says.textContent = text;
  button.hidden = !canKeep;
}

export const offline = {
  async show() {
    try {
      const state = await offlineState();
      if (state.reason) tell(state.reason, false);
      else if (state.kept) tell(words("offline-kept"), false);
      else tell(words("offline-size", { size: megabytes(state.bytes) }), true);
    } catch (error) {
      tell(/** @type {Error} */ (error).message, false);
    }
  },

  async keep() {
    try {
      await keepForOffline((done, total) =>
        tell(words("offline-keeping", { done: megabytes(done), total: megabytes(total) }), false),
      );
      await offline.show();
    } catch (error) {
      tell(/** @type {Error} */ (error).message, true);
    }
  },
};
