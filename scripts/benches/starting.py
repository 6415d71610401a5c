"""How the live calculation starts in each engine, on a first visit and on a later one without a network.

A start is timed from the moment the reader goes to a report whose address holds a changed design until the core's
first answer about it. What it is held against is the bare runtime: the npm package as it comes, started in a worker
of the same engine in the same round.
"""

import io
import shutil
import statistics
import tempfile
import threading
from collections.abc import Iterator
from contextlib import ExitStack, contextmanager
from functools import partial
from http.client import HTTPConnection
from pathlib import Path
from typing import Any

from playwright.sync_api import sync_playwright

from benches import AT_MOST, Figure
from benches.engines import DRIVEN, Chromium, Engine, until
from benches.pages import report_pages
from floor import Stop, browser, engines, npm
from floor.build import SITE
from floor.server import HOST, Handler, Server, address_of

ROUNDS = 3
MEGABYTE = 1_000_000
FIRST = 1.6
LATER = {engines.CHROMIUM: 0.35, engines.FIREFOX: 0.35, engines.WEBKIT: 0.3}
CHANGED = "#array.strings_in_parallel=3"
ANSWERED = 'return performance.getEntriesByName("arraybook:answered").map(mark => mark.startTime)[0]'
# The page must be read again without a network, so both the worker that keeps it and the calculation must be ready.
KEPT = """
if (!window.asked) {
  window.asked = true;
  addEventListener("arraybook:kept", () => (window.kept = true));
}
return window.kept && navigator.serviceWorker.controller !== null;
"""
BARE = {
    "index.html": '<!doctype html><title>Bare</title><script type="module" src="page.mjs"></script>',
    "page.mjs": """
      const worker = new Worker("worker.mjs", { type: "module" });
      worker.onmessage = () => (window.started = performance.now());
    """,
    "worker.mjs": """
      import { loadPyodide } from "./pyodide.mjs";
      const python = await loadPyodide();
      postMessage(python.runPython("1 + 1"));
    """,
}
BARE_FILES = ("pyodide.mjs", "pyodide.asm.mjs", "pyodide.asm.wasm", "python_stdlib.zip", "pyodide-lock.json")


def measure_starting() -> dict[str, Figure]:
    """Time the three starts in turn, round after round, in every engine; the middle ratio counts."""
    figures, weights = {}, []
    for name in engines.NAMES:
        reason = engines.lacking(name)
        if reason:
            raise Stop(f"The start cannot be measured: {reason}.")
        rounds = [one_round(name) for _ in range(ROUNDS)]
        first = statistics.median(one["first"] / one["bare"] for one in rounds)
        later = statistics.median(one["later"] / one["bare"] for one in rounds)
        weights += [one["weight"] for one in rounds]
        figures[f"first_live_ratio_{name}"] = Figure(round(first, 2), FIRST, AT_MOST, "times")
        figures[f"later_start_ratio_{name}"] = Figure(round(later, 2), LATER[name], AT_MOST, "times")
    return {"runtime_mb": Figure(round(max(weights) / MEGABYTE, 2), 6.5, AT_MOST, "MB")} | figures


def one_round(name: str) -> dict[str, float]:
    """Start the bare runtime, then ours on a first and on a later visit, in a browser that has seen neither."""
    report = report_pages()[0]
    with tempfile.TemporaryDirectory() as folder, opened(name) as engine:
        bare_place = bare(Path(folder))
        with counting(bare_place) as server:
            engine.open(address_of(server))
            bare_ms = until(engine, "return window.started")
        with counting(SITE) as server:
            address = address_of(server) + report + CHANGED
            engine.open(address)
            first_ms = until(engine, ANSWERED)
            until(engine, KEPT)
            weight = sum(size for path, size in server.sent if path.startswith("/runtime/"))
        engine.open("about:blank")
        engine.open(address)  # nobody answers there any more
        later_ms = until(engine, ANSWERED)
    return {"bare": bare_ms, "first": first_ms, "later": later_ms, "weight": weight}


def bare(folder: Path) -> Path:
    """A page that starts the runtime as its package has it."""
    package = npm.tool("runtime") / "pyodide"
    for name in BARE_FILES:
        shutil.copy(package / name, folder)
    for name, text in BARE.items():
        (folder / name).write_text(text, encoding="utf-8")
    return folder


@contextmanager
def opened(name: str) -> Iterator[Engine]:
    """A browser with a new profile on the disk, as a reader has one."""
    with ExitStack() as stack:
        if name != engines.CHROMIUM:
            yield stack.enter_context(DRIVEN[name]())
            return
        tool = stack.enter_context(sync_playwright())
        profile = stack.enter_context(tempfile.TemporaryDirectory(ignore_cleanup_errors=True))
        context = tool.chromium.launch_persistent_context(
            profile, executable_path=browser.ensure(), args=list(browser.FLAGS)
        )
        stack.callback(context.close)
        yield Chromium(context.pages[0])


class Counting(Handler):
    """A server that notes how much it sends, and that nobody reaches any more once it has ended."""

    def parse_request(self) -> bool:
        """Hang up on a browser that held on to its connection."""
        if self.server.over:  # type: ignore[attr-defined]  # set below
            self.close_connection = True
            return False
        return super().parse_request()

    def copyfile(self, source: Any, outputfile: Any) -> None:
        """Send a body and note its size."""
        content = source.read()
        self.server.sent.append((self.path, len(content)))  # type: ignore[attr-defined]  # set below
        super().copyfile(io.BytesIO(content), outputfile)


@contextmanager
def counting(folder: Path) -> Iterator[Any]:
    """Serve a folder on this machine and count what is sent."""
    with Server((HOST, 0), partial(Counting, directory=str(folder))) as server:
        server.sent, server.over = [], False  # type: ignore[attr-defined]
        threading.Thread(target=server.serve_forever, daemon=True).start()
        compressed((HOST, server.server_port), folder)
        server.sent.clear()  # type: ignore[attr-defined]
        try:
            yield server
        finally:
            server.over = True  # type: ignore[attr-defined]
            server.shutdown()


def compressed(server: tuple[str, int], folder: Path) -> None:
    """Have the large files compressed before anybody waits for them, as on any host."""
    for file in folder.rglob("*"):
        if file.suffix in {".wasm", ".mjs"}:
            line = HTTPConnection(*server)
            line.request(
                "GET", f"/{file.relative_to(folder).as_posix()}", headers={"Accept-Encoding": "gzip"}
            )
            line.getresponse().read()
            line.close()
