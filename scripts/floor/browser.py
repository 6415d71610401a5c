"""A browser for the tests: one that is there, else Debian's Chromium, else the one that Playwright fetches."""

import os
import shutil
from pathlib import Path

from floor import Stop, debian, run, say
from floor.environment import PYTHON

VARIABLE = "ARRAYBOOK_BROWSER"
NAMES = ("chromium", "chromium-browser")
WINDOWLESS = "chromium-headless-shell"
# The first two let it run as root in a container. The others keep it from talking to its maker: the tests count
# requests to other places, and on a machine without the internet each of these would wait for an answer.
FLAGS = (
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
)
HOW = f"""could not find or install a browser for the tests.
Install Chromium (on Debian or Ubuntu: sudo apt-get install chromium), or name the path of one in {VARIABLE}."""


def find() -> str | None:
    """Return the path of a browser that is already on this machine: named by the user, on the PATH, or Playwright's."""
    return on_the_system() or _playwrights_own()


def on_the_system() -> str | None:
    """Return the path of a browser that the user names, or that is on the PATH."""
    named = os.environ.get(VARIABLE)
    if named:
        if not Path(named).is_file():
            raise Stop(f"{VARIABLE} names {named}, and there is no such file.")
        return named
    return next(filter(None, map(shutil.which, NAMES)), None)


def windowless() -> str:
    """Return the path of the same engine without a window around the page, if Debian's is there, else of the browser.

    It does what a page does with two thirds of the work: the browser also draws its own window, which nobody looks at.
    """
    path = ensure()
    return (Path(path).name in NAMES and shutil.which(WINDOWLESS)) or path


def ensure() -> str:
    """Return the path of a browser, installing one where the script may."""
    path = find()
    if path:
        return path
    if debian.may_install():
        debian.install("chromium")
    else:
        say("Fetching Playwright's Chromium")
        run([PYTHON, "-m", "playwright", "install", "chromium"], HOW)
    path = find()
    if not path:
        raise Stop(HOW)
    return path


def _playwrights_own() -> str | None:
    """Return the path of the browser that Playwright fetched earlier, if it did."""
    question = (
        "from playwright.sync_api import sync_playwright as start\n"
        "with start() as tool: print(tool.chromium.executable_path)"
    )
    path = run([PYTHON, "-c", question], "Playwright does not start").strip()
    return path if Path(path).is_file() else None
