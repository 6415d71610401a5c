"""Drive a page in any of the three browser engines, in the same few words. Tests use it too."""

import os
import subprocess
import time
import warnings
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any, Protocol

from playwright.sync_api import Page
from selenium import webdriver
from selenium.webdriver.firefox.service import Service as FirefoxService
from selenium.webdriver.remote.webdriver import WebDriver
from selenium.webdriver.webkitgtk.options import Options as WebKitOptions
from selenium.webdriver.webkitgtk.service import Service as WebKitService

from floor import Stop, engines

OFTEN_S = 0.02
QUIET = {
    "app.update.enabled": False,
    "browser.newtabpage.enabled": False,
    "browser.safebrowsing.malware.enabled": False,
    "browser.safebrowsing.phishing.enabled": False,
    "datareporting.policy.dataSubmissionEnabled": False,
    "extensions.systemAddon.update.enabled": False,
    "network.captive-portal-service.enabled": False,
    "network.connectivity-service.enabled": False,
}
os.environ["SE_OFFLINE"] = "true"  # the drivers are here; nothing is to be fetched


class Engine(Protocol):
    """A browser with one page."""

    name: str

    def open(self, url: str) -> None:
        """Go to an address and wait until the page has loaded."""

    def run(self, script: str) -> Any:
        """Run the body of a function in the page and return what it returns."""


class Chromium:
    """A page of Playwright's."""

    name = engines.CHROMIUM

    def __init__(self, page: Page) -> None:
        self.page = page

    def open(self, url: str) -> None:
        """Go to an address and wait until the page has loaded."""
        self.page.goto(url)

    def run(self, script: str) -> Any:
        """Run the body of a function in the page and return what it returns."""
        return self.page.evaluate(f"() => {{ {script} }}")


class Driven:
    """A browser behind a driver of its own."""

    def __init__(self, name: str, driver: WebDriver) -> None:
        self.name = name
        self.driver = driver

    def open(self, url: str) -> None:
        """Go to an address and wait until the page has loaded."""
        self.driver.get(url)

    def run(self, script: str) -> Any:
        """Run the body of a function in the page and return what it returns."""
        return self.driver.execute_script(script)


def until(engine: Engine, script: str, seconds: float = 60) -> Any:
    """Run a script again and again until it returns something, and return that; stop when it takes too long."""
    end = time.monotonic() + seconds
    while time.monotonic() < end:
        found = engine.run(script)
        if found:
            return found
        time.sleep(OFTEN_S)
    raise Stop(f"{engine.name} gave nothing within {seconds} s for: {script}")


@contextmanager
def firefox() -> Iterator[Engine]:
    """Firefox without a window, in a new profile."""
    options = webdriver.FirefoxOptions()
    options.binary_location = engines.firefox() or ""
    options.add_argument("-headless")
    for name, value in QUIET.items():
        options.set_preference(name, value)
    service = FirefoxService(engines.firefox_driver(), log_output=subprocess.DEVNULL)
    with closing(webdriver.Firefox(options=options, service=service)) as driver:
        yield Driven(engines.FIREFOX, driver)


@contextmanager
def webkit() -> Iterator[Engine]:
    """WebKit's plain browser on a display that nobody sees, with nothing kept from before."""
    options = WebKitOptions()
    options.binary_location = engines.viewer() or ""
    options.add_argument("--automation")
    options.set_capability("browserName", "MiniBrowser")
    with screen() as name:
        service = WebKitService(log_output=subprocess.DEVNULL, env=os.environ | {"DISPLAY": name})
        with warnings.catch_warnings():
            warnings.simplefilter("ignore", DeprecationWarning)  # the driver's own way to reach its service
            opened = webdriver.WebKitGTK(options=options, service=service)
        with closing(opened) as driver:
            yield Driven(engines.WEBKIT, driver)


@contextmanager
def closing(driver: WebDriver) -> Iterator[WebDriver]:
    """End a browser with the block."""
    try:
        yield driver
    finally:
        driver.quit()


@contextmanager
def screen() -> Iterator[str]:
    """A display for a browser that cannot do without one."""
    command = ["Xvfb", "-displayfd", "1", "-screen", "0", "1280x1024x24", "-nolisten", "tcp"]
    with subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, text=True) as server:
        try:
            yield f":{server.stdout.readline().strip()}" if server.stdout else ""
        finally:
            server.terminate()


DRIVEN = {engines.FIREFOX: firefox, engines.WEBKIT: webkit}
