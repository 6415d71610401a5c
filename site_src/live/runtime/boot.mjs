// @ts-check
// Python, started in this worker: from its files, or from an image of its memory. Nothing but the site's own files is asked for.

import { loadPyodide } from "pyodide";
import { failureOf } from "./failure.mjs";
import { RUNTIME } from "./places.mjs";
import { members, opened } from "./unpack.mjs";

/** @typedef {Awaited<ReturnType<typeof loadPyodide>>} Python */

/**
 * @param {import("./store.mjs").Files} files
 * @param {Uint8Array | null} image
 * @returns {Promise<Python>}
 */
export async function boot(files, image) {
  const { wasm, engine, python, core } = FACTS.files;
  const library = files.bytes(python).then(opened);
  const own = files.bytes(core).then(opened);
  const failed = onlyThese(files.response(wasm), library);
  const script = files.module(engine);
  const started = Promise.all([library, own, script]).then(([, content, { default: create }]) =>
    loadPyodide({
      indexURL: RUNTIME.href,
      createPyodideModule: async (settings) => roomy(await create(settings), image?.length ?? 0),
      lockFileContents: FACTS.index,
      packageBaseUrl: RUNTIME.href,
      stdLibURL: new URL("library.zip", RUNTIME).href,
      env: { PYTHONHASHSEED: "0" },
      fsInit: async (/** @type {any} */ FS, /** @type {{ sitePackages: string }} */ { sitePackages }) => install(FS, sitePackages, content),
      ...(image ? { _loadSnapshot: image } : { _makeSnapshot: true }),
    }),
  );
  return Promise.race([started, failed]);
}

/**
 * Let the memory grow to the size of an image; the memory's content does not matter, the image takes its place.
 * @param {any} module
 * @param {number} size
 */
function roomy(module, size) {
  while (module.HEAP8.length < size) module._malloc(size - module.HEAP8.length);
  return module;
}

/**
 * Put the core and its libraries where Python finds them.
 * @param {any} FS
 * @param {string} place
 * @param {Uint8Array} archive
 */
function install(FS, place, archive) {
  const made = new Set([place]);
  for (const [name, content] of members(archive)) {
    const path = `${place}/${name}`;
    const folder = path.slice(0, path.lastIndexOf("/"));
    if (!made.has(folder)) FS.mkdirTree(folder);
    made.add(folder);
    FS.writeFile(path, content, { canOwn: true });
  }
}

/**
 * From now on the worker fetches nothing by itself: what Python asks for is what was brought here. The program is compiled
 * from its first byte on, while everything else is fetched; of one that cannot be compiled Python would only warn, and wait
 * for ever, so that is told here.
 * @param {Promise<Response>} program
 * @param {Promise<Uint8Array<ArrayBuffer>>} library
 * @returns {Promise<never>} rejected when the program cannot be had
 */
function onlyThese(program, library) {
  const compiled = WebAssembly.compileStreaming(program);
  WebAssembly.instantiateStreaming = async (_, imports) => {
    const module = await compiled;
    return { module, instance: await WebAssembly.instantiate(module, imports) };
  };
  globalThis.fetch = async (asked) => {
    const address = String(asked instanceof Request ? asked.url : asked);
    if (address.endsWith(".wasm")) return new Response();
    if (address.endsWith(".zip")) return new Response(await library);
    throw new TypeError(`nothing is fetched from ${address}`);
  };
  return compiled.then(
    () => new Promise(() => {}),
    (error) => Promise.reject(failureOf(error)),
  );
}
