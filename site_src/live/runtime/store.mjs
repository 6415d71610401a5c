// @ts-check
// The runtime's files: from this device's own store when they are there, else from the site, counted while they arrive.

import { Failure } from "./failure.mjs";
import { STORE, named } from "./names.mjs";
import { HOME, RUNTIME } from "./places.mjs";

/** The browser's own; in the worker another takes its place, so that Python asks for nothing else. */
const ask = globalThis.fetch.bind(globalThis);

/** The store, or nothing where the browser has none or refuses it, as in a private window. */
export async function openStore() {
  try {
    return await caches.open(named(STORE, HOME.pathname));
  } catch {
    return null;
  }
}

export class Files {
  /**
   * @param {Cache | null} store
   * @param {(name: string, bytes: number) => void} count told how many more bytes of a file have arrived
   * @param {boolean} anew fetch everything again, whatever is kept
   */
  constructor(store, count, anew) {
    this.store = store;
    this.count = count;
    this.anew = anew;
    /** A file that ended too early, if one did. @type {string | null} */
    this.short = null;
    /** What arrived and is to be kept, once the calculation runs. @type {(() => Promise<void>)[]} */
    this.arrived = [];
  }

  /**
   * A file as a response; a stream, so that it can be used while it arrives.
   * @param {RuntimeFile} file
   */
  async response(file) {
    const address = new URL(file.name, RUNTIME).href;
    const kept = this.anew ? undefined : await this.store?.match(address).catch(() => undefined);
    return kept ?? this.fetched(file, address);
  }

  /**
   * A whole file; its size is proof that all of it arrived.
   * @param {RuntimeFile} file
   */
  async bytes(file) {
    const response = await this.response(file);
    const content = await response.arrayBuffer().catch((error) => {
      throw new Failure("truncated", `${file.name}: ${error}`);
    });
    if (content.byteLength !== file.bytes) {
      await this.store?.delete(new URL(file.name, RUNTIME).href);
      throw new Failure("truncated", `${file.name}: ${content.byteLength} bytes instead of ${file.bytes}`);
    }
    return content;
  }

  /**
   * A script, imported. It cannot be counted while it arrives, nor kept from here: fetching it first would fetch it twice.
   * @param {RuntimeFile} file
   */
  async module(file) {
    const address = new URL(file.name, RUNTIME).href;
    try {
      const [module, kept] = await Promise.all([import(address), this.store?.match(address).catch(() => undefined)]);
      if (!kept) this.count(file.name, file.bytes);
      return module;
    } catch (error) {
      await this.bytes(file); // tells what is wrong with the file, if it is that
      throw error;
    }
  }

  /** Keep what arrived; storage that is full or refused only means that it is fetched again another time. */
  async keep() {
    const keeping = this.arrived.splice(0);
    for (const one of keeping) await one().catch(() => {});
  }

  /**
   * @param {RuntimeFile} file
   * @param {string} address
   */
  async fetched(file, address) {
    const response = await ask(address, this.anew ? { cache: "reload" } : {}).catch((error) => {
      throw new Failure("unreachable", `${file.name}: ${error}`);
    });
    if (!response.ok) throw new Failure(response.status < 500 ? "missing" : "unreachable", `${file.name}: ${response.status}`);
    void this.watch(file, address, response.clone());
    return response;
  }

  /**
   * Count a copy of the stream, and remember the whole of it for keeping.
   * @param {RuntimeFile} file
   * @param {string} address
   * @param {Response} copy
   */
  async watch(file, address, copy) {
    const reader = /** @type {ReadableStream<Uint8Array<ArrayBuffer>>} */ (copy.body).getReader();
    /** @type {Uint8Array<ArrayBuffer>[]} */
    const chunks = [];
    let bytes = 0;
    try {
      for (let part = await reader.read(); !part.done; part = await reader.read()) {
        chunks.push(part.value);
        bytes += part.value.length;
        this.count(file.name, part.value.length);
      }
    } catch {
      // whoever uses the response meets the same error
    }
    if (bytes !== file.bytes) this.short = file.name;
    if (bytes !== file.bytes || !this.store) return;
    const { store } = this;
    const headers = { "Content-Type": copy.headers.get("Content-Type") ?? "application/octet-stream" };
    this.arrived.push(() => store.put(address, new Response(new Blob(chunks), { headers })));
  }
}
