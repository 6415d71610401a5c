"""What tests of the live calculation share: a host of the site that a test may harm, and a page in each engine."""

import os
from contextlib import ExitStack, contextmanager

import pytest

from benches.engines import DRIVEN, Chromium, until
from floor import browser as browsers
from floor import engines
from tests.browser.runtime.hosts import Host, copied

SETTLED = "return window.settled"
IMAGED = 'window.imaged = false; addEventListener("arraybook:kept", () => (window.imaged = true));'
"""Notes in a page when the image of the started calculation is kept."""
IMAGED = 'window.imaged = false; addEventListener("arraybook:kept", () => (window.imaged = true));'
"""Notes in a page when the image of the started calculation is kept."""
DESIGN = """
[module]
voc = "22.4 V"
isc = "6.3 A"
vmp = "18.2 V"
imp = "6.04 A"

[array]
modules_in_series = {series}
strings_in_parallel = {strings}
"""


@pytest.fixture(scope="session")
def browser(tool):
    """The whole Chromium, as readers have it: what it keeps on the device is what these tests are about."""
    chromium = tool.chromium.launch(executable_path=browsers.ensure(), args=list(browsers.FLAGS))
    yield chromium
    chromium.close()


def design(series=1, strings=3):
    """A small design file."""
    return DESIGN.format(series=series, strings=strings)


class Probe:
    """A page that drives the calculation, in any engine."""

    def __init__(self, engine, host) -> None:
        self.engine, self.host = engine, host

    def open(self):
        """Open the page, or open it again."""
        self.engine.open(self.host.address + "probe.html")
        until(self.engine, "return Boolean(window.client)")
        return self

    def tell(self, script, seconds=120):
        """Run the body of an async function in the page; return its value, or {"code", "line"} of its failure."""
        self.engine.run(
            f"""window.settled = null;
            (async () => {{ {script} }})().then(
              value => (window.settled = {{ value: value ?? null }}),
              error => (window.settled = {{ failure: {{ code: error.code ?? String(error), line: error.message }} }}));
            return true;"""
        )
        settled = until(self.engine, SETTLED, seconds)
        return settled["failure"] if "failure" in settled else settled["value"]

    def start(self):
        """Start the calculation and return all that was told meanwhile."""
        return self.tell(f"""
            window.heard = [];
            {IMAGED}
            await client.start({{ onProgress: progress => heard.push(progress) }});
            return heard;""")

    def verdict(self, series=1, strings=3):
        """Ask for the verdict of a small design."""
        return self.tell(f"return (await client.ask({{ base: {design(series, strings)!r} }})).verdict")

    def kept(self):
        """Wait until the page can be opened, and the calculation started if it was, without a network."""
        assert (
            self.tell("""
            await navigator.serviceWorker.ready;
            while (!(await client.offlineState()).kept || !navigator.serviceWorker.controller)
              await new Promise(go => setTimeout(go, 100));
            for (const name of ["probe.html", "probe.mjs"]) await fetch(name); // kept as pages outside the menu are
            for (let tried = 0; window.imaged === false && tried < 300; tried++) // the image is kept last
              await new Promise(go => setTimeout(go, 100));
            return true;""")
            is True
        )


def stages(heard):
    """The names of the stages that were told, each once, in their order."""
    return list(dict.fromkeys(progress["stage"] for progress in heard))


@pytest.fixture
def host(site, tmp_path):
    """A host with a copy of the built site."""
    running = Host(copied(site, tmp_path / "site"))
    yield running
    running.off()


@pytest.fixture
def context(browser):
    """A new profile of Chromium."""
    made = browser.new_context()
    yield made
    made.close()


@pytest.fixture
def probe(context, host):
    """The probe page in Chromium, opened."""
    return Probe(Chromium(context.new_page()), host).open()


@contextmanager
def opened(name, browser):
    """A new profile of an engine. Where all must be there, one that is not is a failure."""
    reason = engines.lacking(name)
    if reason and not os.environ.get("CI"):
        pytest.skip(reason)
    assert not reason
    with ExitStack() as stack:
        if name == engines.CHROMIUM:
            context = browser.new_context()
            stack.callback(context.close)
            yield Chromium(context.new_page())
        else:
            yield stack.enter_context(DRIVEN[name]())


@pytest.fixture(params=[pytest.param(name, marks=pytest.mark.xdist_group(name)) for name in engines.NAMES])
def engine(request, browser):
    """A new profile of each engine in turn."""
    with opened(request.param, browser) as running:
        yield running


@pytest.fixture
def everywhere(engine, host):
    """The probe page in each engine, opened."""
    return Probe(engine, host).open()
