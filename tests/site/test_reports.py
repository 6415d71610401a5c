"""What a report prints, against the assessment it prints: the same numbers, every step, no markup from outside."""

import json
import re
import subprocess
import sys
from collections import Counter
from html import escape
from html.parser import HTMLParser

import pytest

from calc import Verdict, as_html, as_json, check, load_book, read_design
from calc.derive import METHODS
from calc.render.anchors import slug
from calc.render.as_html import FRAGMENTS
from calc.render.groups import FINDING_GROUPS, OTHER, symbol_group
from floor import ROOT

DESIGNS = sorted((ROOT / "scenarios").rglob("*.toml"))
IDS = [file.stem for file in DESIGNS]
NUMBER = re.compile(r"[−-]?\d[\d,\u202f]*(?:\.\d+)?")
FEET = 0.3048  # metres in a foot, exactly, by the agreement of 1959


class Outline(HTMLParser):
    """The ids, links and tags of some HTML, in order."""

    def __init__(self, html):
        super().__init__()
        self.ids, self.links, self.tags = [], [], []
        self.feed(html)
        self.close()

    def handle_starttag(self, tag, attrs):
        """Note one tag."""
        attributes = dict(attrs)
        self.tags.append(tag)
        self.ids += [attributes["id"]] if "id" in attributes else []
        self.links += [attributes["href"]] if "href" in attributes else []


@pytest.fixture(scope="module", params=DESIGNS, ids=IDS)
def printed(request):
    """One design file's assessment, and its report as one text."""
    assessment = check(read_design(request.param.read_bytes()), load_book())
    return assessment, as_html(assessment)


def number_in(text):
    """The first number of a text, and half a unit of its last printed digit."""
    found = NUMBER.search(text)
    plain = found[0].replace(",", "").replace("\u202f", "").replace("−", "-")
    return float(plain), 0.5 * 10.0 ** -len(plain.partition(".")[2])


def agrees(text, value, unit):
    """Whether the first number of a text is the value, rounded to the digits that are printed."""
    number, within = number_in(text)
    wanted = value / FEET if unit == "m" else value * FEET if unit == "ohm/km" else value
    return abs(number - wanted) <= within + 1e-9 * abs(wanted)


def pieces(html, start):
    """The parts of some HTML that begin with ``start``, each up to the next one."""
    return html.split(start)[1:]


def test_fragments_have_their_elements(printed):
    """Every fragment is one element with a fixed id, so that it can be put in place of another."""
    _, fragments = printed

    assert tuple(fragments) == tuple(FRAGMENTS)
    for name, fragment in fragments.items():
        outline = Outline(fragment)
        assert outline.ids[0] == f"report-{name.replace('_', '-')}"
        assert fragment.strip().startswith("<section")
        assert fragment.strip().endswith("</section>")
        assert fragment.count("<section") == fragment.count("</section>") == 1


def test_every_step_is_printed_with_its_result(printed):
    """Every quantity of the assessment stands in the working, and its printed digits are those of the JSON."""
    assessment, fragments = printed
    steps = {
        piece.partition('"')[0]: piece for piece in pieces(fragments["derivations"], '<div class="step" id="')
    }

    for key, step in assessment.steps.items():
        result = re.search(r"<strong>(.*?)</strong>", steps[f"step-{slug(key)}"])[1]
        if isinstance(step.result, bool):
            assert result == ("yes" if step.result else "no")
        elif isinstance(step.result, str):
            assert result.replace("\u00a0", " ").replace("mm²", "mm2") == step.result
        else:
            assert agrees(result, step.result, step.unit), (key, result, step.result)


def test_every_finding_is_printed_with_its_figures(printed):
    """Every finding stands in the report with verdict, actual value, limit and margin as in the JSON."""
    assessment, fragments = printed
    shown = {
        re.search(r'id="(.*?)"', piece)[1]: piece
        for piece in pieces(fragments["findings"], '<li class="finding ')
    }
    seen = Counter()

    assert len(shown) == len(assessment.findings)
    for finding in assessment.findings:
        anchor = f"finding-{slug(f'{finding.id} {finding.part}')}"
        seen[anchor] += 1
        piece = shown[anchor if seen[anchor] == 1 else f"{anchor}-{seen[anchor]}"]
        verdict = re.search(r'<span class="v-word">(.*?)</span>', piece)[1]
        assert verdict == finding.verdict
        figures = [re.sub(r"<.*?>", "", text) for text in re.findall(r"<dd>(.*?)</dd>", piece)]
        if finding.margin is None or not finding.unit:
            assert figures == []
        else:
            wanted = (finding.actual.value, finding.limit.value, abs(finding.margin))
            assert len(figures) == len(wanted)
            for text, value in zip(figures, wanted, strict=True):
                assert agrees(text, value, finding.unit), (finding.id, text, value)


def test_links_lead_to_places_on_the_page(printed):
    """Every number, finding and clause that is linked leads to a place in the same report, and no id stands twice."""
    _, fragments = printed
    outline = Outline("".join(fragments.values()))

    assert len(outline.ids) == len(set(outline.ids))
    assert {link for link in outline.links if not link.startswith("#")} == set()
    assert {link[1:] for link in outline.links} <= set(outline.ids)


def test_inputs_and_assumptions_have_their_places(printed):
    """Every given value but title and story has its line, in its author's words; so has every assumption, with why."""
    assessment, fragments = printed
    given, assumed = fragments["given"], fragments["assumptions"]

    for path in assessment.design.values:
        assert (f'id="given-{slug(path)}"' in given) == (path not in ("title", "story"))
    for one in assessment.assumptions:
        assert f'id="assumed-{slug(one.path)}"' in assumed


def test_verdict_names_the_whole_design(printed):
    """The verdict at the top is the one of the assessment, and the counts beside it add up to all findings."""
    assessment, fragments = printed
    word = re.search(r'id="report-verdict-word">(.*?)</h2>', fragments["verdict"])[1]
    counts = [int(count) for count in re.findall(r'"v-word">(\d+) ', fragments["verdict"])]

    assert word.lower().endswith(f"</span>{assessment.verdict}")
    assert sum(counts) == len(assessment.findings)


def test_fixes_are_offered_for_what_fails(printed):
    """A design that fails says what to fix, with every failing finding named; one that does not fail says nothing."""
    assessment, fragments = printed
    failing = [finding for finding in assessment.findings if finding.verdict is Verdict.FAILS]

    assert ("<h2" in fragments["fixes"]) == bool(failing)
    for finding in failing:
        assert f'href="#finding-{slug(f"{finding.id} {finding.part}")}' in fragments["fixes"]


DESIGN = """
title = {0}
story = {0}
[module]
label = {0}
voc = "22.4 V"
isc = "6.3 A"
vmp = "18.2 V"
imp = "6.04 A"
[array]
modules_in_series = 1
strings_in_parallel = 2
[[run]]
name = {0}
length = "40 ft"
size = "10 AWG"
"""


@pytest.mark.parametrize(
    "text",
    [
        "</title></svg><script>alert(1)</script>",
        "<img src=x onerror=alert(1)>",
        "\" onload=\"alert(1)' x='",
        "{{ 1 }} {% raw %} <!-- & &lt;",
    ],
)
def test_markup_in_a_design_stays_text(text):
    """Whatever an author writes into a text field is shown as it stands and never becomes markup."""
    hostile, harmless = (
        as_html(check(read_design(DESIGN.format(json.dumps(said))), load_book()))
        for said in (text, "home run")
    )

    assert escape(text, quote=False) in unescape_quotes("".join(hostile.values()))
    for name, fragment in hostile.items():
        assert set(Outline(fragment).tags) == set(Outline(harmless[name]).tags), name


def unescape_quotes(html):
    """The same HTML with quotes as they are: whether they are escaped in text makes no difference."""
    return html.replace("&#34;", '"').replace("&#39;", "'")


def test_same_bytes_in_another_process():
    """A report is the same in every process, whatever the seed of its hashes, so that builds can be compared."""
    file = DESIGNS[0]
    here = "".join(as_html(check(read_design(file.read_bytes()), load_book())).values())
    command = (
        "import sys; from calc import as_html, check, load_book, read_design; "
        f"text = open({str(file)!r}, 'rb').read(); "
        "sys.stdout.buffer.write(''.join(as_html(check(read_design(text), load_book())).values()).encode())"
    )
    for seed in ("1", "2"):
        there = subprocess.run(
            [sys.executable, "-c", command],
            cwd=ROOT,
            env={"PYTHONHASHSEED": seed},
            capture_output=True,
            check=True,
        )
        assert there.stdout.decode() == here


def test_metric_report_has_no_feet():
    """In metric units no length of a report is in feet."""
    file = next(file for file in DESIGNS if "length" in file.read_text("utf-8"))
    fragments = as_html(check(read_design(file.read_bytes()), load_book()), "metric")

    assert not re.search(r"\d\u00a0ft\b", fragments["derivations"])
    assert re.search(r"\d\u00a0m\b", fragments["derivations"])


def test_home_leads_to_the_tables(printed):
    """On a site, the sources of a report lead on to the page of tables; without a site around it, they do not."""
    assessment, _ = printed
    assert 'href="../../how/tables/#table-' in as_html(assessment, home="../../")["edition"]


def test_every_symbol_has_its_chapter():
    """Every quantity that the core works out stands in a named chapter of the working, none among the others."""
    assert [method.symbol for method in METHODS if symbol_group(method.symbol) == OTHER] == []


def test_every_finding_and_verdict_is_shown_somewhere():
    """The published designs and the gallery show every finding, and every verdict."""
    found = [check(read_design(file.read_bytes()), load_book()) for file in DESIGNS]
    findings = {finding.id for assessment in found for finding in assessment.findings}

    assert findings == {finding for group in FINDING_GROUPS.values() for finding in group}
    assert {finding.verdict for assessment in found for finding in assessment.findings} == set(Verdict)


def test_json_and_report_tell_of_the_same_run(printed):
    """The report names the core, the tables and the rules that the JSON names."""
    assessment, fragments = printed
    text = as_json(assessment)

    assert f'"core": "{assessment.core}"' in text
    assert f"Arraybook {assessment.core}, tables {assessment.rules_hash}" in fragments["edition"]
