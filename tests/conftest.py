"""What tests of the built site share: the site served on this machine, a browser, pages in it, and axe.

The site is the one in site/, as `python3 scripts/test` builds it. Everything slow is made once for each test process.
What takes longest is begun first, so that no process is left alone with it at the end; what shares something slow stays
together in one process.
"""

from collections.abc import Callable, Iterator
from contextlib import ExitStack
from pathlib import Path

import pytest
from hypothesis import settings
from playwright.sync_api import Browser, Page, Playwright, sync_playwright
from xdist.scheduler import LoadScopeScheduling

from floor import browser as browsers
from floor import npm
from floor.build import SITE
from floor.server import serving

# A shared machine may stop for a second in the middle of an example; how long one takes is for scripts/bench to say.
settings.register_profile("arraybook", deadline=None, print_blob=True)
settings.load_profile("arraybook")

WIDE, NARROW = 1280, 320
OpenPage = Callable[..., Page]
SLOW = (
    "tests/browser/",
    "tests/site/",
    "tests/contract/test_any_design.py",
    "tests/oracles/test_open_list.py",
)
NOT_COUNTED = (
    "tests/browser/",
    "tests/site/",
    "tests/contract/test_any_design.py",
    "tests/contract/test_broken_inputs.py",
    "tests/oracles/test_open_list.py",
    "tests/unit/test_again.py",
    "tests/unit/test_meter_proof.py",
)
"""Tests that run the core in a browser, or on everything: which of its lines are tested, the others tell."""
SHARES_NOTHING = ("tests/browser/runtime/", "tests/site/test_build.py")
"""Where every test makes all it needs itself."""
PAGES = "tests/site/test_pages.py"
LOOKED_AT = (
    "test_accessible_in_every_look",
    "test_wrong",
    "test_bad",
    "test_one_bad",
    "test_small",
    "test_a_box",
    "test_follows",
)
"""Tests of the pages that open them for themselves; the others share one visit to all."""


def together(nodeid: str) -> str:
    """The name of the tests that are to run one after the other in one process."""
    file, _, test = nodeid.partition("::")
    if file.startswith(SHARES_NOTHING) or (file == PAGES and test.startswith(LOOKED_AT)):
        return nodeid
    if file == "tests/browser/test_live_same.py":  # each engine is started once
        return file + test.partition("[")[2]
    return file


class Together(LoadScopeScheduling):
    """Hands out tests in the order in which they were collected, as many at once as belong together."""

    def _split_scope(self, nodeid: str) -> str:
        return together(nodeid)


@pytest.hookimpl(optionalhook=True)
def pytest_xdist_make_scheduler(config, log):
    """Have tests handed out by what they share."""
    return Together(config, log)


@pytest.hookimpl(tryfirst=True)
def pytest_sessionstart(session):
    """In a process of several, end the count of lines that its plugin begins when it is loaded.

    It then begins the process's own; the first, left under it, would go on wherever the own one is to stand still.
    """
    plugin = session.config.pluginmanager.getplugin("_cov")
    if hasattr(session.config, "workerinput") and plugin and plugin.cov_controller:
        plugin.cov_controller.pause()


def pytest_collection_modifyitems(config, items):
    """Begin with what takes longest, and do not count lines where that would only make it longer."""
    items.sort(key=lambda item: not item.nodeid.startswith(SLOW))  # the order is kept within both parts
    plugin = config.pluginmanager.getplugin("_cov")
    if plugin and plugin.cov_controller:
        for item in items:
            if item.nodeid.startswith(NOT_COUNTED):
                item.add_marker(pytest.mark.no_cover)


@pytest.fixture(scope="session")
def site() -> Path:
    """The folder of the built site."""
    assert (SITE / "index.html").is_file(), (
        "the site is not built: run python3 scripts/test, or python3 scripts/serve once"
    )
    return SITE


@pytest.fixture(scope="session")
def address(site) -> Iterator[str]:
    """The address of the site, served as a static host would serve it."""
    with serving(site) as where:
        yield where


@pytest.fixture(scope="session")
def pages(site) -> list[str]:
    """Every page of the site as a path below its address: "" for the start page, "words/", "404.html"."""
    files = [file.relative_to(site) for file in site.rglob("*.html")]
    return sorted(file.as_posix() if file.name != "index.html" else file.as_posix()[:-10] for file in files)


@pytest.fixture(scope="session")
def tool() -> Iterator[Playwright]:
    """What drives the browsers of a process."""
    with sync_playwright() as driver:
        yield driver


@pytest.fixture(scope="session")
def browser(tool) -> Iterator[Browser]:
    """One Chromium for all tests of a process, without the window that nobody looks at, where there is one."""
    chromium = tool.chromium.launch(executable_path=browsers.windowless(), args=list(browsers.FLAGS))
    yield chromium
    chromium.close()


@pytest.fixture(scope="module")
def open_page(browser) -> Iterator[OpenPage]:
    """A way to get an empty page: `scheme` light or dark, `width` in pixels, `script` on or off.

    Each comes from a browser profile of its own, with nothing kept from another test, and is closed after the module.
    """
    with ExitStack() as stack:

        def make(*, scheme: str = "light", width: int = WIDE, script: bool = True) -> Page:
            context = browser.new_context(
                color_scheme=scheme,
                java_script_enabled=script,
                reduced_motion="reduce",
                viewport={"width": width, "height": 900},
            )
            stack.callback(context.close)
            return context.new_page()

        yield make


@pytest.fixture(scope="session")
def axe_source() -> str:
    """The text of the accessibility checker, to be run inside a page."""
    return (npm.tool("axe") / "axe-core" / "axe.min.js").read_text(encoding="utf-8")
