"""Formulas, symbols and words: nothing is used that is not registered, and nothing is registered that is not used."""

import ast
import re
from string import Formatter

import pytest

from calc.derive import METHODS
from calc.model.assessment import Verdict
from calc.model.formula import ALLOWED_NUMBERS, Binary, Call, Name, Number, Power, parse
from calc.model.symbols import SYMBOLS
from calc.model.units import UNITS
from calc.plan import candidates
from calc.read.fields import FIELDS
from calc.render.catalogue import load_words
from tests.contract.scenes import NAMES, ROOT, assessed, checked, modules

WORDS = load_words()
FINDINGS = [
    "cold-voltage-controller",
    "cold-voltage-module",
    "cold-voltage-site",
    "cold-voltage-parts",
    "hot-voltage-charging",
    "wake-voltage",
    "controller-input-current",
    "controller-output-current",
    "pwm-voltage-given-away",
    "string-fuse-needed",
    "string-fuse-size",
    "reverse-current",
    "run-ampacity",
    "run-terminal-temperature",
    "run-voltage-drop",
    "small-conductor-device",
    "coupler-current",
    "combiner-circuits",
    "combiner-bar",
    "breaker-rating",
    "disconnect-rating",
    "unlike-strings",
    "grounding-conductor-size",
    "battery-side-device",
]
"""As the fixed interfaces name them."""
VALUES = {"actual": "27.3 V", "limit": "100 V", "margin": "72.7 V", "part": "home run"}
CODE = re.compile(r"[a-z]+(?:-[a-z]+)+")


def nodes(tree):
    yield tree
    match tree:
        case Binary(left=left, right=right):
            yield from nodes(left)
            yield from nodes(right)
        case Power(base=base):
            yield from nodes(base)
        case Call(arguments=arguments):
            for argument in arguments:
                yield from nodes(argument)


def formulas():
    texts = {method.formula for method in METHODS if method.formula}
    return sorted(
        texts | {step.formula for name in NAMES for step in assessed(name).steps.values() if step.formula}
    )


@pytest.mark.parametrize("text", formulas())
def test_a_formula_holds_registered_symbols_and_no_numbers_but_0_1_2(text):
    """Every other number is a table's or the author's."""
    for node in nodes(parse(text).tree):
        if isinstance(node, Number):
            assert node.value in ALLOWED_NUMBERS == (0, 1, 2)
        if isinstance(node, Name):
            assert node.symbol in SYMBOLS
        if isinstance(node, Power):
            assert node.exponent == 2


def test_every_symbol_is_used():
    """As what a method gives, or under a formula or look-up; a name nobody uses would only mislead."""
    used = {method.symbol for method in METHODS}
    used |= {name.partition("__")[0] for method in METHODS if method.parsed for name in method.parsed.names}
    used |= {
        key.partition("__")[0]
        for name in NAMES
        for step in assessed(name).steps.values()
        for key in step.values
    }

    assert sorted(set(SYMBOLS) - used) == []


def test_every_method_is_in_the_list():
    """A step of any design follows a method that the page of methods shows."""
    shown = {(method.symbol, method.formula, method.how) for method in METHODS}
    looked_up = {(symbol, how) for symbol, _, how in shown if how}
    symbols = {symbol for symbol, formula, _ in shown if formula}

    for name in NAMES:
        for step in assessed(name).steps.values():
            assert (step.symbol, step.method) in looked_up or step.symbol in symbols, step.id


def test_each_quantity_has_its_own_key():
    """The name and unit of a symbol make one key."""
    keys = [symbol.key for symbol in SYMBOLS.values()]

    assert sorted(set(keys)) == sorted(keys)
    assert {symbol.unit for symbol in SYMBOLS.values()} <= set(UNITS)


def test_each_symbol_is_printed_in_its_own_way():
    """Letter and subscript tell any two symbols apart that meet in one formula."""
    for text in formulas():
        printed = {}
        for name in parse(text).names:
            symbol = SYMBOLS[name.partition("__")[0]]
            printed.setdefault((symbol.letter, symbol.subscript), set()).add(symbol.name)
        assert [names for names in printed.values() if len(names) > 1] == [], text


# Words.


def test_every_symbol_has_words_and_no_words_are_left_over():
    """What each symbol means."""
    assert {key.removeprefix("symbol.") for key in WORDS.entries if key.startswith("symbol.")} == set(SYMBOLS)


def test_every_method_that_is_no_formula_has_its_sentence_and_none_is_left_over():
    """How a look-up was made."""
    said = {key.removeprefix("method.") for key in WORDS.entries if key.startswith("method.")}

    assert said == {method.how for method in METHODS if method.how}


def test_the_findings_are_those_of_the_interfaces():
    """In every assessment each of them, in words each of them, and no other."""
    named = {key.split(".")[1] for key in WORDS.entries if key.startswith("finding.")}

    assert named == set(FINDINGS)
    for name in NAMES:
        ids = [finding.id for finding in assessed(name).findings]
        assert list(dict.fromkeys(ids)) == FINDINGS


@pytest.mark.parametrize("finding", FINDINGS)
@pytest.mark.parametrize("kind", ["name", "question", "holds", "tight", "fails"])
def test_every_finding_has_its_words(finding, kind):
    """A name, its question, and a sentence for each answer that takes its numbers and nothing else."""
    key = f"finding.{finding}.{kind}"
    sentence = WORDS.entries[key]
    fields = {field for _, field, _, _ in Formatter().parse(sentence) if field is not None}

    assert fields <= (set(VALUES) if kind in ("holds", "tight", "fails") else set())
    said = WORDS(key, **VALUES) if fields else WORDS(key)
    assert said.endswith({"question": "?", "name": said[-1]}.get(kind, "."))
    assert "{" not in said


@pytest.mark.parametrize("finding", FINDINGS)
def test_a_finding_that_tells_its_room_has_words_for_none(finding):
    """Of a value that just meets its limit nobody reads that 0 A is left: its own sentence takes no margin."""
    tells = "{margin} is left" in WORDS.entries[f"finding.{finding}.holds"]
    just = WORDS.find(f"finding.{finding}.just")

    assert (just is not None) == tells
    if just is not None:
        fields = {field for _, field, _, _ in Formatter().parse(just) if field is not None}
        assert fields <= {"actual", "part"}
        assert "actual" in fields
        assert just.endswith(".")


@pytest.mark.parametrize("verdict", Verdict)
def test_every_verdict_has_words(verdict):
    """Its name, and what it means."""
    assert WORDS(f"verdict.{verdict}")
    assert WORDS(f"verdict_means.{verdict}")


@pytest.mark.parametrize(
    "key", ["harm.damage", "harm.code", "harm.energy", "sense.at most", "sense.at least"]
)
def test_what_a_failure_costs_has_words(key):
    """And which way a limit goes."""
    assert WORDS(key)


def codes_in_rules():
    """Every code (words joined by hyphens) that stands in the rules and is no finding's id."""
    found = set()
    for path in modules("rules"):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Constant) and isinstance(node.value, str) and CODE.fullmatch(node.value):
                found.add(node.value)
    return found - set(FINDINGS)


def test_every_reason_and_remark_has_words_and_none_is_left_over():
    """The codes in the rules are those in the catalogue."""
    said = {key.partition(".")[2] for key in WORDS.entries if key.startswith(("reason.", "remark."))}

    assert codes_in_rules() == said


@pytest.mark.parametrize("name", NAMES)
def test_remarks_take_the_values_they_are_given(name):
    """A remark's sentence names its values, and no other."""
    for finding in assessed(name).findings:
        for remark in finding.remarks:
            sentence = WORDS.entries[f"remark.{remark.code}"]
            fields = {field for _, field, _, _ in Formatter().parse(sentence) if field is not None}
            assert fields <= set(remark.values), remark


@pytest.mark.parametrize("code", ["unusual", "pmax-differs", "coldest-counts"])
def test_every_note_has_words(code):
    """What is said of a value that was accepted though it is unlikely."""
    assert WORDS(f"note.{code}")


def test_every_note_code_is_known_here():
    """The codes in the reader are those with words."""
    source = "".join(path.read_text(encoding="utf-8") for path in modules("read"))
    said = {key.partition(".")[2] for key in WORDS.entries if key.startswith("note.")}

    assert said == {code for code in said if f'"{code}"' in source}


PATHS = re.compile(
    r'"((?:array|controller|combiner|coupler|disconnect|grounding|battery|run|string)\.[a-z_.]+)"'
)


def paths_of_fixes():
    """Every input a fix may change, with the number or name of a part left out."""
    source = (ROOT / "calc/plan/candidates.py").read_text(encoding="utf-8")
    found = set(PATHS.findall(source))
    return found | {"run.size", "run.voltage_rating", "coupler.rating", "coupler.voltage_rating"}


def test_every_change_of_a_fix_has_words_and_none_is_left_over():
    """For each path that a fix may change."""
    said = {key.removeprefix("fix.") for key in WORDS.entries if key.startswith("fix.")}

    assert said == paths_of_fixes()


@pytest.mark.parametrize("name", NAMES)
def test_every_change_of_a_fix_is_an_input(name):
    """A path that a design file has."""
    known = {field.path for field in FIELDS}
    for finding in checked(name).findings:
        for fix in finding.fixes:
            for path in fix.change:
                section, _, rest = path.partition(".")
                field = rest.rpartition(".")[2]
                assert path in known or f"{section}.<{section}>.{field}" in known


def test_every_finding_that_can_be_mended_has_candidates():
    """Only a loss between strings that are not alike has no change to try."""
    assert set(candidates.CANDIDATES) == set(FINDINGS) - {"unlike-strings"}


def test_words_are_sentences_that_values_can_be_set_into():
    """Braces are closed and name what is set in; no blank stands twice."""
    for key, sentence in WORDS.entries.items():
        fields = [field for _, field, _, _ in Formatter().parse(sentence) if field is not None]
        assert all(field.isidentifier() for field in fields), key
        assert "  " not in sentence, key
