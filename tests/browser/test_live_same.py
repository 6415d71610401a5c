"""The same design gives the same page everywhere: in the build, in CPython, and in the Python of three browser engines."""

import json

import pytest
from hypothesis import HealthCheck, Phase, given, settings

from calc import Refused, as_json, bridge, check, load_book, read_design
from calc.model.sections import NAMES as SECTIONS
from calc.render.as_html import FRAGMENTS
from floor import ROOT, engines
from tests.browser.desk import apart
from tests.browser.runtime.conftest import Probe, opened
from tests.browser.runtime.hosts import Host, copied
from tests.contract.anydesign import documents, written

FOLDERS = {"examples": "designs", "gallery": "gallery", "guide": "guide/designs"}
FILES = sorted(file for folder in FOLDERS for file in (ROOT / "scenarios" / folder).glob("*.toml"))
BUILT = [*FRAGMENTS, *SECTIONS, "form", "state", "problems"]
"""The parts of a report as it is built; what is compared with a pinned layout, and what a lesson asks, stands elsewhere."""
RANDOM = {engines.CHROMIUM: 120, engines.FIREFOX: 40, engines.WEBKIT: 40}
"""How many designs each engine is asked; the same Python runs in all, so that the further ones are tried for the engine."""


@pytest.fixture(scope="module", params=engines.NAMES)
def core(request, browser, site, tmp_path_factory):
    """The calculation as a reader's browser runs it, in each engine: a request in, the answer out."""
    host = Host(copied(site, tmp_path_factory.mktemp("same") / "site"))
    with opened(request.param, browser) as engine:
        probe = Probe(engine, host).open()
        probe.start()
        # As text, because a driver may put the keys of what it hands over into an order of its own.
        ask = "return JSON.stringify(await client.ask({}))"
        yield lambda **asked: json.loads(probe.tell(ask.format(json.dumps(asked))))
    host.off()


def place(file):
    """Where the report of a design file stands in the site, and the way from there to the start."""
    folder = FOLDERS[file.parent.name]
    return f"{folder}/{file.stem}/index.html", "../" * (folder.count("/") + 2)


def different(one, other):
    """The names of the parts that are not the same in two answers."""
    return sorted(part for part in one.keys() | other.keys() if one.get(part) != other.get(part))


def test_fragments_are_the_built_bytes(core, site):
    """Every part of every report comes out of the browser byte for byte as it stands in the built page."""
    wrong = {}
    for file in FILES:
        page, home = place(file)
        built = (site / page).read_text("utf-8")

        here = core(base=file.read_text("utf-8"), set={}, home=home, system="us", have=0, parts=BUILT)

        assert list(here["fragments"]) == BUILT
        wrong[page] = [part for part, text in here["fragments"].items() if text not in built]

    assert len(FILES) > 30
    assert not {page: parts for page, parts in wrong.items() if parts}


def test_answers_are_those_of_the_core(core):
    """In metric units, with its file and its results, every design is answered as outside of a browser, to the letter."""
    wrong = {}
    for file in FILES:
        asked = {"base": file.read_text("utf-8"), "system": "metric", "have": 0, "json": True, "file": True}

        here, there = core(**asked), json.loads(bridge.answer(json.dumps(asked)))

        wrong[file.stem] = different({**here, "number": 0}, {**there, "number": 0})

    assert not {name: parts for name, parts in wrong.items() if parts}


def same(core, document):
    """A design gives the same results, or is refused with the same words, here and there."""
    text = written(document)
    design = read_design(text)

    answer = core(base=text, set={}, parts=[], json=True)

    if isinstance(design, Refused):
        told = [(one["path"], one["said"], one["wanted"], one["example"]) for one in answer["problems"]]
        assert told == [(one.path, one.said, one.wanted, one.example) for one in design.problems]
    else:
        expected = json.loads(as_json(check(design, load_book(design.text("site.rules") or "us-2023"))))
        assert list(apart(answer["assessment"], expected)) == []


def test_random_designs_give_the_same_results(core, request):
    """Some hundred random designs, and fewer in each further engine: the same results, in the same order, from both."""
    tried = 0

    @settings(
        max_examples=RANDOM[request.node.callspec.params["core"]],
        phases=[Phase.generate],
        suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large],
    )
    @given(documents())
    def every(document):
        nonlocal tried
        tried += 1
        same(core, document)

    every()

    assert tried >= RANDOM[request.node.callspec.params["core"]]
