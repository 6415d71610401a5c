"""Reading and calculating without a network: what is kept, on whose asking, and how a new build takes over."""

import json
import re

import pytest

from benches.engines import Chromium
from tests.browser.runtime.conftest import Probe, stages
from tests.browser.runtime.hosts import one, rewrite
from tests.site.looks import found_in_every_look

READY = "return navigator.serviceWorker.controller !== null"
STORES = """
  const kept = {};
  for (const name of await caches.keys())
    kept[name] = (await (await caches.open(name)).keys()).map(request => new URL(request.url).pathname.slice(1));
  return kept;
"""


@pytest.fixture
def page(probe):
    """The page of the probe, once the service worker has it."""
    probe.tell("while (!navigator.serviceWorker.controller) await new Promise(go => setTimeout(go, 50))")
    return probe.engine.page


ASSETS = """async () => Promise.all(
  [...document.querySelectorAll("link[rel=icon], link[rel=stylesheet], script[src]")].map(async one => {
    const url = one.href || one.src;
    return [url, await fetch(url).then(answer => answer.status, () => "failed")];
  }))"""
"""What a page brings along, each asked for: what the browser asks for by itself, such as the mark, ends when the page is left."""


def test_pages_of_the_menu_are_kept(page, host, site):
    """After one visit anywhere, every page of the menu and a worked design can be read offline, with style and mark."""
    host.off()
    for path in ("", "how/tables/", "words/", "cautions/", "designs/", "designs/weather-mast/"):
        assert page.goto(host.address + path).status == 200, path
        assert page.locator("h1").count() == 1
        assets = page.evaluate(ASSETS)
        assert len(assets) >= 3
        assert [url for url, status in assets if status != 200] == [], path
        assert page.evaluate("document.styleSheets[0].cssRules.length") > 100


def test_page_that_is_not_kept(page, host, axe_source):
    """A page that was never visited says that it is not kept, to every reader and with a way to the start; once visited it is."""
    page.goto(host.address + "gallery/")
    path = next(file.name for file in sorted((host.folder / "gallery").iterdir()) if file.is_dir())
    host.off()
    answer = page.goto(f"{host.address}gallery/{path}/")
    text = page.locator("body").inner_text()
    found = found_in_every_look(page, axe_source)
    page.get_by_role("link").click()
    home = page.url
    host.on()
    page.goto(f"{host.address}gallery/{path}/")
    host.off()

    assert (answer.status, home, found) == (503, host.address, [])
    assert "not kept on this device" in text
    assert page.goto(f"{host.address}gallery/{path}/?again").status == 200


def test_keep_for_offline(probe, page, host):
    """Asked to keep the calculation, the page says the size first and real bytes after, and it then starts offline."""
    before = probe.tell("return client.offlineState()")
    told = probe.tell("const told = []; await client.keepForOffline((...now) => told.push(now)); return told")
    after = probe.tell("return client.offlineState()")
    probe.kept()
    host.off()
    heard = probe.open().start()

    assert (before["kept"], after["kept"]) == (False, True)
    assert before["bytes"] == before["total"] > 4_000_000
    assert told[-1] == [pytest.approx(before["total"], rel=0.01), before["bytes"]]
    assert stages(heard)[-1] == "ready"


def renewed(host):
    """Put a new build in the place of the old: another core, another text on a page, and the service worker to match."""
    core = one(host.folder, "core.*.pack")
    newer = core.with_name("core.0123456789.pack")
    core.rename(newer)
    worker, client = one(host.folder, "worker.*.mjs"), one(host.folder, "client.*.mjs")
    for script in (worker, client):
        text = (
            script.read_text("utf-8")
            .replace(core.name, newer.name)
            .replace(worker.name, "worker.0123456789.mjs")
        )
        text = re.sub(r'build:"[0-9a-f]+"', 'build:"0123456789"', text)
        rewrite(script, text.encode())
        script.rename(script.with_name(f"{script.name.split('.')[0]}.0123456789.mjs"))
    old = {core.name, worker.name, client.name}
    service = (host.folder / "sw.js").read_text("utf-8")
    for name in old:
        ending = name.rpartition(".")[2]
        service = service.replace(name, f"{name.split('.')[0]}.0123456789.{ending}")
    head, end, rest = service.partition(";\n")
    site = json.loads(head.removeprefix("self.SITE="))
    site["build"] = "newer"
    for entry in site["shell"]:
        entry["revision"] = "newer" if entry["url"] == "words/index.html" else entry["revision"]
    rewrite(host.folder / "sw.js", f"self.SITE={json.dumps(site)}{end}{rest}".encode())
    words = host.folder / "words/index.html"
    rewrite(words, words.read_text("utf-8").replace("<h1", "<p id='newer'>newer</p><h1", 1).encode())
    rewrite(
        host.folder / "probe.mjs",
        (host.folder / "probe.mjs").read_text("utf-8").replace(client.name, "client.0123456789.mjs").encode(),
    )
    return old


def test_new_build_takes_over(context, probe, page, host):
    """While a page of the old build is open nothing of it goes; then the new build stands alone, and works offline."""
    probe.start()
    probe.verdict()
    probe.kept()
    old = renewed(host)
    probe.tell("await (await navigator.serviceWorker.ready).update()")
    probe.tell(
        "while (!(await navigator.serviceWorker.ready).waiting) await new Promise(go => setTimeout(go, 50))"
    )
    still = probe.tell("client.stop(); await client.start(); " + STORES)
    page.close()

    fresh = Probe(Chromium(context.new_page()), host)
    fresh.engine.open("about:blank")
    fresh.engine.page.wait_for_timeout(1000)
    fresh.open()
    fresh.tell(
        "while (!(await caches.keys()).join().includes('newer')) await new Promise(go => setTimeout(go, 50))"
    )
    fresh.kept()
    stores = fresh.tell(STORES)
    host.off()
    heard = fresh.open().start()
    fresh.engine.open(host.address + "words/")

    assert old <= {path.rpartition("/")[2] for path in still["arraybook / runtime"]}
    assert not old & {path.rpartition("/")[2] for paths in stores.values() for path in paths}
    assert [name for name in stores if name.startswith("arraybook / pages")] in (
        [],
        ["arraybook / pages newer"],
    )
    assert stages(heard)[-1] == "ready"
    assert fresh.engine.page.locator("#newer").count() == 1
