"""The calculation in the reader's browser, in three engines: it starts, answers as the core does, and starts again offline."""

import json

import pytest

from benches.engines import Chromium
from calc.bridge import answer
from tests.browser.runtime.conftest import IMAGED, Probe, design, stages
from tests.browser.runtime.hosts import Host, copied


def test_starts_and_answers(everywhere):
    """The first start tells its stages and real bytes, and the answer is the core's own."""
    heard = everywhere.start()
    total = heard[-1]["total"]
    done = [progress["done"] for progress in heard]

    assert stages(heard)[-1] == "ready"
    assert "fetching" in stages(heard)
    assert done == sorted(done)
    assert done[-1] == pytest.approx(total, rel=0.001)
    assert everywhere.verdict() == json.loads(answer(json.dumps({"base": design()})))["verdict"]


def test_starts_again_without_a_network(everywhere, host):
    """After the first visit the page opens and the calculation wakes and answers with nobody to ask."""
    everywhere.start()
    first = everywhere.verdict()
    everywhere.kept()
    host.off()
    everywhere.engine.open("about:blank")

    heard = everywhere.open().start()
    again = everywhere.verdict()
    host.on()

    assert stages(heard) == ["waking", "ready"]
    assert again == first


@pytest.mark.parametrize(
    "text",
    ["", "[", '[module]\nvoc = "22,4 V"\n', '[module]\nvoc = "\\u0000<script>"\nisc = 1e999\n[aray]\n'],
)
def test_refuses_as_outside(probe, text):
    """What cannot be read is refused with the same problems as outside of a browser."""
    there = probe.tell(f"return client.ask({{ base: {json.dumps(text)}, have: 0 }})")

    assert there["ok"] is False
    assert there["problems"] == json.loads(answer(json.dumps({"base": text})))["problems"]


def test_newest_question_wins(probe):
    """Of fifty questions at once only the newest is sure to be worked out; the others are told that they were superseded."""
    answers = probe.tell(f"""
        const base = {design(strings="STRINGS")!r};
        const asked = [...Array(50).keys()].map(n => client.ask({{ base: base.replace("STRINGS", n % 9 + 1), json: true }}));
        return (await Promise.all(asked)).map(one => one.superseded ?? one.assessment.quantities.isc_array_A.value);""")

    assert answers[-1] == pytest.approx(6.3 * 5)
    assert answers.count(True) >= 47


def test_two_pages_at_once(context, host):
    """Two pages of one browser start at the same time, first and later, and both answer."""
    pages = [Probe(Chromium(context.new_page()), host).open() for _ in range(2)]
    script = f"{IMAGED} window.begun = client.start(); return true"
    for _ in range(2):
        for page in pages:
            page.engine.run(script)
        assert [page.verdict() for page in pages] == [pages[0].verdict()] * 2
        pages[0].kept()
        pages = [page.open() for page in pages]


def test_works_below_any_folder(context, site, tmp_path):
    """A site in a folder of a host starts, and starts offline, and keeps its things apart from another one beside it."""
    copied(site, tmp_path / "one" / "deep")
    copied(site, tmp_path / "two")
    host = Host(tmp_path)
    page = context.new_page()
    for folder in ("one/deep/", "two/"):
        here = Probe(Chromium(page), type("Below", (), {"address": host.address + folder})()).open()
        here.start()
        here.verdict()
        here.kept()
    names = page.evaluate("caches.keys()")
    host.off()
    far = [page.goto(host.address + path).status for path in ("one/deep/probe.html", "two/words/")]

    assert far == [200, 200]
    assert {name.split()[1] for name in names if name.startswith("arraybook")} == {"/one/deep/", "/two/"}


def test_asks_nobody_else(context, host):
    """From the first byte to an answer, every request goes to the site itself."""
    asked = []
    context.on("request", lambda request: asked.append(request.url))
    page = Probe(Chromium(context.new_page()), host).open()
    page.start()
    page.verdict()

    assert asked
    assert not [url for url in asked if not url.startswith((host.address, "data:", "about:"))]
