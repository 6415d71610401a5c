// @ts-check
// In every page: once it is at rest, have the site kept for reading without a network. A browser that cannot do so loses nothing.

import { HOME } from "./places.mjs";

const REST_MS = 3000;

async function register() {
  const { serviceWorker } = navigator;
  const watched = serviceWorker.controller !== null;
  await serviceWorker.register(new URL("sw.js", HOME), { scope: HOME.pathname, updateViaCache: "none" });
  const { active } = await serviceWorker.ready;
  if (!watched) active?.postMessage({ keep: location.href }); // it came when the page was already there
}

if ("serviceWorker" in navigator) {
  const quietly = () => void register().catch(() => {});
  const later = () => ("requestIdleCallback" in window ? requestIdleCallback(quietly, { timeout: REST_MS }) : setTimeout(quietly, REST_MS));
  if (document.readyState === "complete") later();
  else addEventListener("load", later, { once: true });
}
