// Packs the Python that readers' browsers run: compiled by the very interpreter that will run it.
// Arguments: the folder of npm packages, and the plan as JSON (see scripts/floor/runtime.py).

import { readFileSync } from "node:fs";
import { pathToFileURL } from "node:url";

const [packages, plan] = process.argv.slice(2);
const { loadPyodide } = await import(pathToFileURL(`${packages}/pyodide/pyodide.mjs`).href);
// Without the columns of each instruction, which only colour the lines of a traceback, the code is a fifth smaller.
const python = await loadPyodide({ env: { PYTHONHASHSEED: "0", PYTHONNODEBUGRANGES: "1" } });
const { mounts } = JSON.parse(plan);
for (const [place, folder] of Object.entries(mounts)) python.mountNodeFS(place, folder);
try {
  python.runPython(readFileSync(new URL("pack.py", import.meta.url), "utf-8"));
  python.globals.get("pack")(plan);
} catch (error) {
  console.error(String(error)); // the message alone: Node would print the whole of the runtime's one long line
  process.exitCode = 1;
}
