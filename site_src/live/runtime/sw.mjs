// @ts-check
/// <reference lib="webworker" />
// The service worker: pages and shell for reading without a network, and the runtime's files once they are kept.
//
// A page is fetched from the site when that is possible, because a corrected number must reach its reader; what is kept is for
// when the network is away or slow. All else has a name that follows its content, so pages of two builds never mix. A new
// build waits until no page of the old one is open, and then what was kept of the old one goes.

import { cleanupOutdatedCaches, matchPrecache, precacheAndRoute } from "workbox-precaching";
import { registerRoute, setCatchHandler } from "workbox-routing";
import { CacheFirst, NetworkFirst } from "workbox-strategies";
import { STORE, named } from "./names.mjs";

/** Written in front of this script by the build (site_src/hooks/offline.py). */
/** @type {{ build: string, shell: {url: string, revision: string | null}[], runtime: string[], hashed: string, lost: string }} */
const SITE = /** @type {any} */ (self).SITE;
const worker = /** @type {ServiceWorkerGlobalScope} */ (/** @type {unknown} */ (self));

const PATIENCE_S = 4;
const home = new URL(worker.registration.scope).pathname;
const pages = named(`pages ${SITE.build}`, home);
const runtime = named(STORE, home);
const hashed = new RegExp(SITE.hashed);

/** @param {URL} url */
const inside = (url) => url.origin === location.origin && url.pathname.startsWith(home);
/** @param {URL} url */
const below = (url) => url.pathname.slice(home.length);

/** When neither the site nor this build's visited pages have it: the copy that came with the service worker. */
const came = {
  /** @param {{ cachedResponse?: Response, request: Request }} asked */
  cachedResponseWillBeUsed: async ({ cachedResponse, request }) => {
    const { pathname } = new URL(request.url);
    return cachedResponse ?? matchPrecache(pathname.endsWith("/") ? `${pathname}index.html` : pathname);
  },
};

/** Only good answers are kept, and once for all that may follow a question mark. */
const good = {
  cacheWillUpdate: async (/** @type {{ response: Response }} */ { response }) => (response.ok && !response.redirected ? response : null),
  cacheKeyWillBeUsed: async (/** @type {{ request: Request }} */ { request }) => request.url.replace(/[?#].*/, ""),
};

const fresh = new NetworkFirst({ cacheName: pages, networkTimeoutSeconds: PATIENCE_S, plugins: [came, good] });

registerRoute(
  ({ url }) => inside(url) && below(url).startsWith("runtime/"),
  async ({ request }) => (await (await caches.open(runtime)).match(request.url)) ?? (await matchPrecache(request.url)) ?? fetch(request),
);
registerRoute(({ url, request }) => inside(url) && (request.mode === "navigate" || !hashed.test(below(url))), fresh);
precacheAndRoute(SITE.shell);
registerRoute(({ url }) => inside(url), new CacheFirst({ cacheName: pages, plugins: [good] }));
cleanupOutdatedCaches();
setCatchHandler(async ({ request }) =>
  request instanceof Request && request.mode === "navigate"
    ? new Response(SITE.lost.replaceAll("{home}", home), { status: 503, headers: { "Content-Type": "text/html; charset=utf-8" } })
    : Response.error(),
);

worker.addEventListener("install", (event) => event.waitUntil(Promise.allSettled([renewPages(), renewRuntime()])));
worker.addEventListener("activate", (event) => event.waitUntil(Promise.all([forgetOld(), worker.clients.claim()])));
worker.addEventListener("message", (event) => {
  if (typeof event.data?.keep === "string" && inside(new URL(event.data.keep))) event.waitUntil(keepPage(event.data.keep));
});

/** Pages that a reader visited under the build before are kept as they are now. */
async function renewPages() {
  const before = (await caches.keys()).filter((name) => name.startsWith(named("pages ", home)) && name !== pages);
  for (const name of before) {
    for (const { url } of await (await caches.open(name)).keys()) {
      if (!hashed.test(below(new URL(url)))) await keepPage(url).catch(() => {});
    }
  }
}

/** If the calculation was kept, what is new in it is fetched before the new build takes over. */
async function renewRuntime() {
  const store = await caches.open(runtime);
  const there = new Set((await store.keys()).map(({ url }) => below(new URL(url))));
  if (!there.size) return;
  for (const name of SITE.runtime) if (!there.has(name)) await store.add(home + name);
}

/** Pages and runtime of builds before are deleted; no page of theirs is open any more. */
async function forgetOld() {
  for (const name of await caches.keys()) {
    if (name.startsWith(named("pages ", home)) && name !== pages) await caches.delete(name);
  }
  const store = await caches.open(runtime);
  for (const request of await store.keys()) {
    if (!SITE.runtime.includes(below(new URL(request.url)))) await store.delete(request);
  }
}

/** @param {string} address */
async function keepPage(address) {
  const url = new URL(address);
  url.hash = url.search = "";
  await (await caches.open(pages)).add(new Request(url, { cache: "no-cache" }));
}
