"""The same design gives the same page everywhere: in the build, in CPython, and in the browser's own Python."""

import json
from itertools import chain

import pytest
from hypothesis import HealthCheck, Phase, given, settings

from calc import Refused, as_json, bridge, check, load_book, read_design
from floor import ROOT
from tests.browser.desk import WATCH, apart
from tests.contract.anydesign import documents, written

FILES = sorted((ROOT / "scenarios").rglob("*.toml"))
ASK = """async ([client, request]) => {
  const { ask, start } = await import(client);
  await start();
  return ask(request);
}"""
RANDOM = 300


@pytest.fixture(scope="module")
def core(browser, site, address):
    """The calculation as a reader's browser runs it: a request in, the answer out."""
    (client,) = (site / "runtime").glob("client.*.mjs")
    context = browser.new_context()
    context.add_init_script(WATCH)
    page = context.new_page()
    page.goto(address + "try/")
    yield lambda **request: page.evaluate(ASK, [f"/runtime/{client.name}", request])
    context.close()


@pytest.mark.parametrize("system", ["us", "metric"])
@pytest.mark.parametrize("file", FILES, ids=lambda file: file.stem)
def test_fragments_are_the_built_bytes(core, file, system):
    """Each part of each report comes out of the browser byte for byte as it comes out of the build."""
    request = {"base": file.read_text("utf-8"), "set": {}, "home": "../../", "system": system, "have": 0}

    here, there = core(**request), json.loads(bridge.answer(json.dumps(request)))

    assert here["fragments"] == there["fragments"]
    assert here["spoken"] == there["spoken"]


@settings(
    max_examples=RANDOM,
    phases=[Phase.generate],
    suppress_health_check=[
        HealthCheck.function_scoped_fixture,
        HealthCheck.too_slow,
        HealthCheck.data_too_large,
    ],
)
@given(documents())
def test_random_designs_give_the_same_results(core, document):
    """Three hundred random designs: the same results, in the same order, from both."""
    text = written(document)
    design = read_design(text)

    answer = core(base=text, set={}, parts=[], json=True)

    if isinstance(design, Refused):
        told = [(one["path"], one["said"], one["wanted"], one["example"]) for one in answer["problems"]]
        assert told == [(one.path, one.said, one.wanted, one.example) for one in design.problems]
    else:
        expected = json.loads(as_json(check(design, load_book(design.text("site.rules") or "us-2023"))))
        assert list(apart(answer["assessment"], expected)) == []


def test_every_file_is_tried():
    """The list of files is not empty by some slip."""
    assert len(list(chain(FILES))) >= 6
