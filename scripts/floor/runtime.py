"""What runs the calculation in a reader's browser: packed and bundled into .tools, for the site build to take over.

Made again only when something it is made from has changed. Every file's name follows its content.
"""

import gzip
import hashlib
import json
import re
import shutil
import tempfile
import tomllib
from collections.abc import Callable, Iterable, Mapping
from dataclasses import asdict, dataclass
from pathlib import Path

from floor import ROOT, TOOLS, alone, npm, run, say
from floor.bundle import bundle
from floor.environment import FOLDER, LOCK

MADE = TOOLS / "runtime-made"
MARK = "made-from"
LIVE = ROOT / "site_src" / "live"
SOURCES = LIVE / "runtime"
PAGES = ("live", "lesson", "meter", "proof")
"""The modules that pages begin with. Each is one file: a reader's browser would ask for two dozen, one after the other."""
CLIENT = "./runtime/client.mjs"
PACKER = npm.NPM_FOLDER / "runtime"
CORE = ROOT / "calc"
HASH_DIGITS = 10
ENGINE = {"wasm": "pyodide.asm.wasm", "engine": "pyodide.asm.mjs"}


@dataclass(frozen=True)
class Sent:
    """A file of the runtime as a host sends it: its name, its size, and its size compressed."""

    name: str
    bytes: int
    wire: int


def ensure() -> Path:
    """Make the runtime unless it is made, and return its folder: `runtime/`, `assets/`, `sw.js`, `made.json`."""
    made_from = [
        CORE,
        LIVE,
        PACKER,
        npm.NPM_FOLDER / "live",
        LOCK,
        Path(__file__),
        Path(__file__).with_name("bundle.py"),
    ]
    with alone("runtime-made"):
        return once(MADE, stamp(made_from), lambda folder: make(folder, packed()))


def packed() -> Path:
    """The archives of Python and of the core, which take long to make and do not depend on the browser's side."""
    return once(TOOLS / "runtime-packed", stamp([CORE, PACKER, LOCK, SOURCES / "library.txt"]), pack)


def once(place: Path, wanted: str, fill: Callable[[Path], None]) -> Path:
    """Fill a folder anew unless it was filled from the same; it never stands half filled."""
    if not (place / MARK).is_file() or (place / MARK).read_text(encoding="utf-8") != wanted:
        folder = Path(tempfile.mkdtemp(dir=TOOLS))
        fill(folder)
        (folder / MARK).write_text(wanted, encoding="utf-8")
        shutil.rmtree(place, ignore_errors=True)
        folder.rename(place)
    return place


def pack(folder: Path) -> None:
    """Have the browser runtime itself compile and pack what will run in it."""
    say("Packing the calculation for browsers")
    plan = {
        "mounts": {"/project": str(ROOT), "/packages": str(installed()), "/out": str(folder)},
        "core": "/project/calc",
        "packages": "/packages",
        "needs": needs(),
        "out": "/out",
        "kept": kept_modules(),
    }
    command: list[str | Path] = [npm.node(), PACKER / "pack.mjs", npm.tool("runtime"), json.dumps(plan)]
    run(command, "could not pack the calculation for browsers")


def installed() -> Path:
    """Where the environment has its libraries."""
    return next(FOLDER.glob("**/jinja2/__init__.py")).parents[1]


def needs() -> list[str]:
    """The libraries that the core itself imports; those that they need in turn are found where they are installed."""
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    return [str(re.split(r"[^\w.-]", line)[0]) for line in project["dependencies"]]


def kept_modules() -> list[str]:
    """The modules that are packed whether or not they are seen in use."""
    lines = (SOURCES / "library.txt").read_text(encoding="utf-8").splitlines()
    return [line.strip() for line in lines if line.strip() and not line.startswith("#")]


def make(folder: Path, packs: Path) -> None:
    """Write every file of the runtime, and what the site build needs to know of them."""
    target = folder / "runtime"
    target.mkdir()
    engine = npm.tool("runtime") / "pyodide"
    files = {key: put(target, name, (engine / name).read_bytes()) for key, name in ENGINE.items()}
    files |= {
        key: put(target, f"{key}.pack", (packs / f"{key}.pack").read_bytes()) for key in ("python", "core")
    }
    words = tomllib.loads((SOURCES / "words.toml").read_text(encoding="utf-8"))
    sources = stamp([*SOURCES.glob("*.mjs")]) + "".join(file.name for file in files.values())
    index = json.loads((engine / "pyodide-lock.json").read_text(encoding="utf-8")) | {"packages": {}}
    facts = {
        "build": short(sources.encode()),
        "index": json.dumps(index),
        "files": {key: asdict(file) for key, file in files.items()},
    }
    worker = bundled(target, "worker", {"FACTS": facts, "WORDS": words})
    client = bundled(target, "client", {"FACTS": facts | {"worker": asdict(worker)}, "WORDS": words})
    page = bundled(target, "page", {})
    bundle(SOURCES / "sw.mjs", folder / "sw.js", {}, kind="iife")
    needed = [*files.values(), worker, client]
    (folder / "assets").mkdir()
    made = {
        "pages": {name: f"assets/{begun(folder / 'assets', name, client).name}" for name in PAGES},
        "client": f"runtime/{client.name}",
        "page": f"runtime/{page.name}",
        "needed": [f"runtime/{file.name}" for file in needed],
        "wire": sum(file.wire for file in needed),
        "build": facts["build"],
        "offline": words["offline"],
    }
    (folder / "made.json").write_text(json.dumps(made, indent=1), encoding="utf-8")


def begun(target: Path, name: str, client: Sent) -> Sent:
    """Bundle what a page begins with. The calculation's own client stays one file for all pages, beside what it asks for."""
    with tempfile.TemporaryDirectory() as folder:
        text = bundle(LIVE / f"{name}.mjs", Path(folder) / f"{name}.mjs", {}, apart=CLIENT).decode()
    return put(target, f"{name}.mjs", text.replace(CLIENT, f"../runtime/{client.name}").encode())


def bundled(target: Path, name: str, facts: Mapping[str, object]) -> Sent:
    """Bundle one entry of the browser's side under a name that follows its content."""
    with tempfile.TemporaryDirectory() as folder:
        return put(
            target, f"{name}.mjs", bundle(SOURCES / f"{name}.mjs", Path(folder) / f"{name}.mjs", facts)
        )


def put(target: Path, name: str, content: bytes) -> Sent:
    """Write a file under a name that follows its content."""
    stem, _, ending = name.rpartition(".")
    named = f"{stem}.{short(content)}.{ending}"
    (target / named).write_bytes(content)
    return Sent(named, len(content), min(len(content), len(gzip.compress(content, 9))))


def short(content: bytes) -> str:
    """The first digits of a hash, enough to tell builds apart."""
    return hashlib.sha256(content).hexdigest()[:HASH_DIGITS]


def stamp(places: Iterable[Path]) -> str:
    """A hash of all files at these places, with their names."""
    whole = hashlib.sha256()
    for place in sorted(places):
        for file in sorted(place.rglob("*")) if place.is_dir() else [place]:
            if file.is_file() and "__pycache__" not in file.parts:
                whole.update(
                    f"{file.relative_to(ROOT).as_posix()}\n".encode()
                    + hashlib.sha256(file.read_bytes()).digest()
                )
    return whole.hexdigest()[: 2 * HASH_DIGITS]
