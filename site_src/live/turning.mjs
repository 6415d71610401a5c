// @ts-check
// Marks the page while its numbers are turned: its style may then pass over what is far out of sight. At rest the page is whole,
// for pictures of it, for links into it, and for whoever looks for a word.

/** How long the page stays marked after the last turn, in milliseconds. */
const REST = 1200;

const page = document.documentElement;
let resting = 0;

/**
 * A number was turned.
 * @param {() => boolean} busy whether the page is still brought up to date
 */
export function turning(busy) {
  page.dataset.turning = "";
  clearTimeout(resting);
  resting = window.setTimeout(() => {
    if (busy()) turning(busy);
    else delete page.dataset.turning;
  }, REST);
}
