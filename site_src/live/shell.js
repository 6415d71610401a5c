// @ts-check
// What a page can do without the calculation: light or dark, search, and opening closed boxes. Nothing here is needed to read.

const script = /** @type {HTMLScriptElement} */ (document.querySelector("script[data-search]"));
const KEY = "arraybook.page";

/** Light or dark: the button names what it will do; going back to the system's own choice forgets the other. */
function turnLight() {
  const button = document.getElementById("turn-light");
  if (!button) return;
  const system = matchMedia("(prefers-color-scheme: dark)");
  const root = document.documentElement;
  const isDark = () => (root.dataset.page ? root.dataset.page === "dark" : system.matches);
  const name = () => (button.textContent = isDark() ? "Light page" : "Dark page");
  button.addEventListener("click", () => {
    const dark = !isDark();
    if (dark === system.matches) delete root.dataset.page;
    else root.dataset.page = dark ? "dark" : "light";
    try {
      if (root.dataset.page) localStorage.setItem(KEY, root.dataset.page);
      else localStorage.removeItem(KEY);
    } catch {
      // A reader who keeps no storage still gets the change on this page.
    }
    name();
  });
  system.addEventListener("change", name);
  name();
  button.hidden = false;
}

/** The id that the address leads to; nothing where it leads nowhere, tells a design, or is damaged. */
function place() {
  try {
    return decodeURIComponent(location.hash.slice(1));
  } catch {
    return "";
  }
}

/** A link may point into a closed box, and paper has no boxes to open. */
function openBoxes() {
  const reveal = () => {
    const target = document.getElementById(place());
    for (let box = target?.closest("details"); box; box = box.parentElement?.closest("details")) box.open = true;
    if (target) target.scrollIntoView();
  };
  addEventListener("hashchange", reveal);
  if (location.hash) reveal();
  /** @type {HTMLDetailsElement[]} */
  let closed = [];
  addEventListener("beforeprint", () => {
    closed = [...document.querySelectorAll("details:not([open])")].map((box) => /** @type {HTMLDetailsElement} */ (box));
    for (const box of closed) box.open = true;
  });
  addEventListener("afterprint", () => {
    for (const box of closed) box.open = false;
    closed = [];
  });
}

/** On a wide page the side column stands open, as it looks; on a narrow one it opens and shuts. */
function sideColumn() {
  const side = /** @type {HTMLDetailsElement | null} */ (document.querySelector("details.side"));
  const wide = matchMedia("(min-width: 64rem)");
  const follow = () => {
    if (side) side.open = wide.matches;
  };
  wide.addEventListener("change", follow);
  follow();
}

/** The search dialog; its index and worker are fetched when it is first opened. */
function searching() {
  const button = document.getElementById("open-search");
  const dialog = /** @type {HTMLDialogElement | null} */ (document.getElementById("search"));
  const words = /** @type {HTMLInputElement} */ (document.getElementById("search-words"));
  const count = /** @type {HTMLElement} */ (document.getElementById("search-count"));
  const found = /** @type {HTMLElement} */ (document.getElementById("search-found"));
  if (!button || !dialog || !("showModal" in dialog)) return;
  /** @type {Promise<Worker> | null} */
  let ready = null;

  const start = async () => {
    const answer = await fetch(script.dataset.index ?? "");
    if (!answer.ok) throw new Error(String(answer.status));
    const index = await answer.json();
    const worker = new Worker(script.dataset.search ?? "");
    await new Promise((resolve, reject) => {
      worker.onmessage = resolve;
      worker.onerror = reject;
      worker.postMessage({ type: 0, data: { ...index, options: { suggest: false } } });
    });
    worker.onmessage = (message) => show(message.data.data.items);
    return worker;
  };

  const ask = async () => {
    const query = words.value.trim();
    try {
      const worker = await (ready ??= start());
      if (query.length > 1) worker.postMessage({ type: 2, data: query });
      else show(null);
    } catch {
      ready = null;
      count.textContent = "The search index could not be loaded. The pages are in the menu above.";
    }
  };

  /** @param {string} html */
  const plain = (html) => new DOMParser().parseFromString(html, "text/html").body.textContent ?? "";

  /** @param {{location: string, title: string, text: string}[][] | null} groups */
  const show = (groups) => {
    found.replaceChildren();
    if (!groups) {
      count.textContent = "";
      return;
    }
    const places = groups.map((group) => ({ ...group[0], page: group.find((one) => !one.location.includes("#")) }));
    count.textContent = places.length === 0 ? "Nothing found." : places.length === 1 ? "1 page" : `${places.length} pages`;
    for (const place of places.slice(0, 20)) {
      const item = document.createElement("li");
      const link = document.createElement("a");
      const text = document.createElement("p");
      const at = place.text.indexOf("<mark");
      link.href = (script.dataset.home ?? ".") + "/" + place.location;
      link.textContent = plain(place.title);
      const page = plain(place.page?.title ?? "");
      if (page && page !== link.textContent) link.textContent = `${page}: ${link.textContent}`;
      text.textContent = plain(place.text.slice(Math.max(0, at - 60))).slice(0, 150).trim();
      item.append(link, text);
      found.append(item);
    }
  };

  button.hidden = false;
  button.addEventListener("click", () => {
    dialog.showModal();
    words.select();
    void ask();
  });
  words.addEventListener("input", () => void ask());
  words.addEventListener("keydown", (event) => {
    if (event.key === "Escape") dialog.close(); // else the first press would only empty the field
    if (event.key !== "Enter") return;
    event.preventDefault(); // Enter would press Close, the dialog's only button
    found.querySelector("a")?.click();
  });
  found.addEventListener("click", (event) => {
    if (event.target instanceof HTMLAnchorElement) dialog.close();
  });
}

turnLight();
sideColumn();
openBoxes();
searching();
