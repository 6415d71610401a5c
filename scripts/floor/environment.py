"""The project's own Python environment in .venv, made from requirements.lock."""

import hashlib
import os
import sys
from pathlib import Path

from floor import ROOT, Stop, alone, debian, run, say
from floor.quickest import VERSION, quickest

FOLDER = ROOT / ".venv"
LOCK = ROOT / "requirements.lock"
STAMP = FOLDER / "installed-from"
PROGRESS_EVERY = 15


def python_in(folder: Path) -> Path:
    """Return the path of the interpreter inside a virtual environment."""
    return folder / ("Scripts/python.exe" if os.name == "nt" else "bin/python")


PYTHON = python_in(FOLDER)


def variables() -> dict[str, str]:
    """Return the environment variables for a tool of the project: its own modules found, no messages but its own."""
    # The last two keep an announcement of the theme's makers out of every build.
    return os.environ | {
        "PYTHONPATH": os.pathsep.join([str(ROOT), str(ROOT / "scripts")]),
        "NO_MKDOCS_2_WARNING": "1",
        "DISABLE_MKDOCS_2_WARNING": "true",
    }


def ensure() -> None:
    """Make the environment, or make it anew when the lock or the Python's version changed; else leave it."""
    with alone("environment"):
        wanted = hashlib.sha256(LOCK.read_bytes() + str(VERSION).encode()).hexdigest()
        if STAMP.is_file() and STAMP.read_text(encoding="utf-8") == wanted and PYTHON.exists():
            return
        _create()
        _install()
        STAMP.write_text(wanted, encoding="utf-8")
        say("Environment ready in .venv")


def _create() -> None:
    """Make an empty environment from the quickest Python, with the part of the standard library that Debian packs apart."""
    if FOLDER.is_symlink():
        raise Stop(
            ".venv leads to another folder, where the environment is of another lock or Python. Run the script there, or"
            " remove .venv here; then run again."
        )
    python = quickest()
    if python is None:
        package = "python{}.{}-venv".format(*VERSION)
        if not debian.may_install():
            raise Stop(
                f"This Python cannot make environments. Install the package {package}; then run again."
            )
        debian.install(package)
        python = Path(sys.executable)
    say(f"Making the environment .venv from {python}")
    run([python, "-I", "-m", "venv", "--clear", FOLDER], "could not make the environment .venv")


def _install() -> None:
    """Install what the lock names, each file checked against its hash."""
    total = sum("==" in line for line in LOCK.read_text(encoding="utf-8").splitlines())
    say(f"Installing about {total} packages from requirements.lock (a minute or two)")
    count = 0

    def watch(line: str) -> None:
        nonlocal count
        if line.startswith(("Collecting ", "Processing ")):
            count += 1
            if count % PROGRESS_EVERY == 0:
                say(f"  {count} fetched")
        elif line.startswith("Installing collected"):
            say(f"  {count} fetched, unpacking")

    pip: list[str | Path] = [PYTHON, "-m", "pip", "--no-input", "--disable-pip-version-check"]
    command = [*pip, "install", "--require-hashes", "--requirement", LOCK]
    # The lock names all that is needed. Left to look for more, a pip of the first Pythons we serve takes a newer release
    # than the locked one where a package asks for another one's extra, and then refuses it for want of a hash.
    command += ["--no-deps", "--progress-bar", "off", "--retries", "2"]
    command += ["--no-compile"]  # what is never imported need not be compiled, and the rest is when it is
    run(command, "could not install the Python packages", watch=watch)
    run(
        [*pip, "check"],
        "the lock leaves out a package, or names one that does not fit; run python3 scripts/lock",
    )
