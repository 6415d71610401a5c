// @ts-check
// In every page: once it is at rest, have the site kept for reading without a network. A browser that cannot do so loses nothing.

import { HOME } from "./places.mjs";

const REST_MS = 3000;

function register() {
  navigator.serviceWorker.register(new URL("sw.js", HOME), { scope: HOME.pathname, updateViaCache: "none" }).catch(() => {});
}

if ("serviceWorker" in navigator) {
  const later = () => ("requestIdleCallback" in window ? requestIdleCallback(register, { timeout: REST_MS }) : setTimeout(register, REST_MS));
  if (document.readyState === "complete") later();
  else addEventListener("load", later, { once: true });
}
