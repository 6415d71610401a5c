// @ts-check
// Keeping the site on this device: what is kept, and keeping all that the calculation needs when the reader asks.

import { Failure } from "./failure.mjs";
import { HOME, RUNTIME } from "./places.mjs";
import { openStore } from "./store.mjs";

const WAIT_MS = 10_000;

/** Every file without which the calculation does not start here; this script is one of them. */
const NEEDED = [
  ...Object.values(FACTS.files),
  ...(FACTS.worker ? [FACTS.worker, { name: import.meta.url.slice(RUNTIME.href.length), bytes: 0, wire: 0 }] : []),
];

/** @param {RuntimeFile} file */
const addressOf = (file) => new URL(file.name, RUNTIME).href;

/**
 * @param {Cache} store
 * @returns {Promise<RuntimeFile[]>}
 */
async function lacking(store) {
  const there = new Set((await store.keys()).map((request) => request.url));
  return NEEDED.filter((file) => !there.has(addressOf(file)));
}

/** @param {RuntimeFile[]} files */
const wire = (files) => files.reduce((sum, file) => sum + file.wire, 0);

/**
 * What is kept on this device. `kept`: pages and calculation work without a network; `possible`: this browser can keep them;
 * `bytes`: what is still to be fetched, as sent; `total`: all of it; `reason`: a line, when nothing can be kept.
 */
export async function offlineState() {
  const total = wire(NEEDED);
  const store = await openStore();
  const { serviceWorker } = navigator;
  if (!store || !serviceWorker) {
    return { kept: false, possible: false, bytes: total, total, reason: new Failure("no-storage").message };
  }
  const left = await lacking(store).catch(() => NEEDED);
  const registration = await serviceWorker.getRegistration(HOME).catch(() => undefined);
  const kept = left.length === 0 && Boolean(registration?.active);
  return { kept, possible: true, bytes: wire(left), total, reason: null };
}

/**
 * Keep all that the calculation needs, and this page. Show the size first: `(await offlineState()).bytes`.
 * @param {(done: number, total: number) => void} [onProgress] bytes fetched so far and in all, as sent
 */
export async function keepForOffline(onProgress = () => {}) {
  const store = await openStore();
  if (!store || !navigator.serviceWorker) throw new Failure("no-storage");
  void navigator.storage?.persist?.().catch(() => false);
  const left = await lacking(store);
  const total = wire(left);
  let done = 0;
  for (const file of left) {
    await kept(store, file, (bytes) => onProgress(Math.min((done += bytes), total), total));
  }
  const { active } = await soon(navigator.serviceWorker.ready); // not ready where it could not keep the pages
  active?.postMessage({ keep: location.href });
}

/** Keep the scripts that started the calculation too, which the browser fetched by itself; it has them at hand. */
export async function keepScripts() {
  const store = await openStore();
  if (!store) return;
  for (const file of await lacking(store)) {
    const response = await fetch(addressOf(file), { cache: "force-cache" });
    if (response.ok) await store.put(addressOf(file), response);
  }
}

/** Forget the calculation's files on this device; the pages stay. */
export async function dropOffline() {
  const store = await openStore();
  for (const request of (await store?.keys()) ?? []) await store?.delete(request);
}

/**
 * @param {Cache} store
 * @param {RuntimeFile} file
 * @param {(bytes: number) => void} count
 */
async function kept(store, file, count) {
  const response = await fetch(addressOf(file)).catch((error) => {
    throw new Failure("unreachable", String(error));
  });
  if (!response.ok || !response.body) throw new Failure(response.status < 500 ? "missing" : "unreachable", file.name);
  let bytes = 0;
  const counted = response.body.pipeThrough(
    new TransformStream({
      transform(part, out) {
        bytes += part.length;
        if (file.bytes) count((part.length / file.bytes) * file.wire);
        out.enqueue(part);
      },
    }),
  );
  const headers = { "Content-Type": response.headers.get("Content-Type") ?? "application/octet-stream" };
  try {
    await store.put(addressOf(file), new Response(counted, { headers }));
  } catch (error) {
    await store.delete(addressOf(file)).catch(() => false);
    throw new Failure(/quota/i.test(String(error)) ? "storage-full" : "unreachable", String(error));
  }
  if (file.bytes && bytes !== file.bytes) {
    await store.delete(addressOf(file));
    throw new Failure("truncated", `${file.name}: ${bytes} bytes instead of ${file.bytes}`);
  }
}

/**
 * @template T
 * @param {Promise<T>} promise
 * @returns {Promise<T>}
 */
function soon(promise) {
  return Promise.race([
    promise,
    new Promise((_, reject) => setTimeout(() => reject(new Failure("storage-full", "no service worker")), WAIT_MS)),
  ]);
}
