// @ts-check
// Python, started in this worker: from its files, or from an image of its memory. Nothing but the site's own files is asked for.

import { loadPyodide } from "pyodide";
import { RUNTIME } from "./places.mjs";
import { members, opened } from "./unpack.mjs";

/** @typedef {Awaited<ReturnType<typeof loadPyodide>>} Python */

/** What an image keeps: the memory, and the archives unpacked. @typedef {Uint8Array<ArrayBuffer>[]} Image */

/**
 * Everything that a start needs, asked for at once, so that the program is compiled while the rest is still on its way.
 * @param {import("./store.mjs").Files} files
 */
export function gathered(files) {
  const { wasm, engine, python, core } = FACTS.files;
  const parts = {
    program: files.response(wasm).then((response) => WebAssembly.compileStreaming(response)),
    script: files.module(engine),
    packed: Promise.all([files.bytes(python), files.bytes(core)]),
  };
  for (const part of Object.values(parts)) part.catch(() => {}); // whoever waits for it is told
  return parts;
}

/** @param {ReturnType<typeof gathered>} parts @returns {Promise<Image>} the archives alone, unpacked */
export const unpacked = async ({ packed }) => Promise.all((await packed).map(opened));

/**
 * @param {ReturnType<typeof gathered>} parts
 * @param {Image} archives what Python finds in its folders: its own library, and the core with what that needs
 * @param {Uint8Array<ArrayBuffer> | null} image
 * @returns {Promise<Python>}
 */
export async function boot({ program, script }, [library, own], image) {
  const [{ default: create }, compiled] = await Promise.all([script, program]);
  const failed = onlyThese(compiled, library);
  const started = loadPyodide({
    indexURL: RUNTIME.href,
    createPyodideModule: async (settings) => roomy(await create(settings), image?.length ?? 0),
    lockFileContents: FACTS.index,
    packageBaseUrl: RUNTIME.href,
    stdLibURL: new URL("library.zip", RUNTIME).href,
    env: { PYTHONHASHSEED: "0" },
    fsInit: async (/** @type {any} */ FS, /** @type {{ sitePackages: string }} */ { sitePackages }) => install(FS, sitePackages, own),
    ...(image ? { _loadSnapshot: image } : { _makeSnapshot: true }),
  });
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
 * From now on the worker fetches nothing by itself: what Python asks for is what was brought here. Of a program that cannot
 * begin, for want of memory, Python would only warn, and wait for ever; so that is told here.
 * @param {WebAssembly.Module} program
 * @param {Uint8Array<ArrayBuffer>} library
 * @returns {Promise<never>} rejected when the program cannot begin
 */
function onlyThese(program, library) {
  globalThis.fetch = async (asked) => {
    const address = String(asked instanceof Request ? asked.url : asked);
    if (address.endsWith(".wasm")) return new Response();
    if (address.endsWith(".zip")) return new Response(library);
    throw new TypeError(`nothing is fetched from ${address}`);
  };
  return new Promise((_, reject) => {
    WebAssembly.instantiateStreaming = async (_, imports) => {
      try {
        return { module: program, instance: await WebAssembly.instantiate(program, imports) };
      } catch (error) {
        reject(error);
        throw error;
      }
    };
  });
}
