"""Printed working: brackets that read back to the same formula, links to every origin, and anchors that never clash."""

import math
import re
import xml.etree.ElementTree as ET
from types import MappingProxyType

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from calc.model.assessment import Step, Value
from calc.model.formula import Binary, Call, Name, Number, Power, parse
from calc.render.anchors import href, slug
from calc.render.catalogue import Words, load_words
from calc.render.formulas import plain_line, step_lines
from calc.render.notation import Entry, mathml_pieces, plain_pieces, symbol_mathml, write_mathml, write_plain

NAMES = ("voc", "isc", "length", "resistance", "isc_string__2")
SPOKEN = (*NAMES, "isc_string", "voc_cold_string", "stc_cell")
WORDS = Words(
    "en",
    {
        **{key: text for key, text in load_words().entries.items() if key.startswith("working.")},
        **{f"symbol.{name}": f"meaning of {name}" for name in SPOKEN},
        "symbol.modules_in_series": "modules in series",
        "symbol.voc_coefficient": "temperature coefficient of Voc",
        "symbol.cell_cold": "coldest cell",
        "symbol.reverse_current_string": "reverse current",
        "symbol.reverse_limit_string": "reverse limit",
        "symbol.string_fuse_needed": "whether a fuse is needed",
        "symbol.ampacity_table": "ampacity from the table",
        "method.ampacity-table": "Read for {size} <in> the table.",
        "symbol.size": "size",
    },
)
COLD = Step(
    id="voc_cold_string_V",
    symbol="voc_cold_string",
    formula="modules_in_series * voc * (1 + voc_coefficient * (cell_cold - stc_cell))",
    method="",
    values=MappingProxyType(
        {
            "modules_in_series": Value(1, "", "given array.modules_in_series"),
            "voc": Value(22.4, "V", "given module.voc"),
            "voc_coefficient": Value(-0.3, "%/K", "assumed module.voc_coefficient"),
            "cell_cold": Value(-21.0, "degC", "step cell_cold_degC"),
            "stc_cell": Value(25.0, "degC", "table stc: cell"),
        }
    ),
    result=25.4912,
    unit="V",
    cites=("690.7(A)",),
)

leaves = st.one_of(
    st.sampled_from([Number(0), Number(1), Number(2)]),
    st.sampled_from([Name(text, *text.partition("__")[::2]) for text in NAMES]),
)


def branches(inner):
    """Every kind of node the grammar knows."""
    return st.one_of(
        st.builds(Binary, st.sampled_from("+-*/"), inner, inner),
        st.builds(Power, inner, st.integers(2, 12)),
        st.builds(Call, st.just("sqrt"), st.tuples(inner)),
        st.builds(Call, st.sampled_from(["floor", "ceil"]), st.tuples(inner)),
        st.builds(Call, st.sampled_from(["min", "max"]), st.lists(inner, min_size=2, max_size=3).map(tuple)),
    )


trees = st.recursive(leaves, branches, max_leaves=12)
tops = st.one_of(trees, st.builds(Binary, st.just(">"), trees, trees))
RAISED = re.compile("[⁰¹²³⁴⁵⁶⁷⁸⁹]+")
LOWERED = str.maketrans("⁰¹²³⁴⁵⁶⁷⁸⁹", "0123456789")


def typed(printed):
    """The printed plain form as one would type it: times, minus and raised digits in ASCII."""
    lowered = RAISED.sub(lambda found: "**" + found[0].translate(LOWERED), printed)
    return lowered.replace("×", "*").replace("\u2212", "-")


@given(tops)
@example(parse("voc - (isc - length)").tree)
@example(parse("voc / (isc / length) / 2").tree)
@example(parse("(voc - isc) ** 2 * (length / isc) ** 2").tree)
def test_plain_form_reads_back_to_the_same_formula(tree):
    """Brackets stand exactly where the tree needs them: the printed text parses to the very same tree."""
    entries = {name: Entry(name, name) for name in NAMES}

    assert parse(typed(write_plain(plain_pieces(tree), entries, str))).tree == tree


@given(tops, st.lists(st.integers(-9, 9).map(float), min_size=5, max_size=5))
def test_numbers_read_back_to_the_same_value(tree, chosen):
    """With numbers set in, negative ones among them, the printed text still has the formula's value."""
    numbers = dict(zip(NAMES, chosen, strict=True))
    symbols = write_plain(plain_pieces(tree), {name: Entry(name, name) for name in NAMES}, str)
    entries = {name: Entry("", str(number), number < 0, "A") for name, number in numbers.items()}
    tools = {"min": min, "max": max, "sqrt": math.sqrt, "floor": math.floor, "ceil": math.ceil}
    try:
        wanted = parse(typed(symbols)).evaluate(numbers)
    except (ArithmeticError, ValueError):  # a division by nothing or a root of less than nothing has no value
        return
    printed = typed(write_plain(plain_pieces(tree), entries, str))
    try:
        found = float(eval(printed, tools))
    except OverflowError:  # powers of powers grow past every number; our own evaluator says infinite
        return
    assert found == pytest.approx(wanted, rel=1e-9, nan_ok=True)


def read_mathml(element):
    """MathML as a formula text, by what each element means (MathML Core, W3C): an independent way back to the tree."""
    children = [read_mathml(child) for child in element]
    match element.tag:
        case "mfrac":
            return f"(({children[0]})/({children[1]}))"
        case "msqrt":
            return f"sqrt({''.join(children)})"
        case "msup":
            return f"({children[0]})**{children[1]}"
        case "mo":
            return {"×": "*", "\u2212": "-", "\u2061": ""}.get(element.text, element.text)
        case "mn" | "mi" | "mtext":
            return element.text
    return "".join(children)


@given(tops)
@example(parse("(voc / isc) ** 2 * (voc - isc)").tree)
@example(parse("voc * (isc + length / 2) - (isc - 1)").tree)
@example(parse("voc * (isc + max(length, sqrt(voc)) ** 2)").tree)
def test_mathml_reads_back_to_the_same_formula(tree):
    """The drawn form, read by the meaning of its elements, is the very same tree; so nothing is lost in a fraction."""
    entries = {name: Entry(f"<mi>{name}</mi>", name) for name in NAMES}
    drawn = write_mathml(mathml_pieces(tree), entries, str).replace("<wbr>", "")

    assert parse(read_mathml(ET.fromstring(f"<row>{drawn}</row>"))).tree == tree


@given(tops)
def test_brackets_are_balanced_in_every_part_of_a_long_line(tree):
    """A line that may wrap is cut only between whole elements, so each part is well-formed by itself."""
    entries = {name: Entry(f"<mn><a href='#x'>{'9' * 20}</a></mn>", "9" * 20, unit="V") for name in NAMES}
    parts = write_mathml(mathml_pieces(tree), entries, str).split("<wbr>")

    for part in parts:
        assert ET.fromstring(part).tag == "math"
    assert "".join(parts).count("(</mo>") == "".join(parts).count(")</mo>")


def test_fractions_and_roots_need_no_brackets_in_mathml():
    """What a bar or a root already holds together gets no brackets as well."""
    drawn = write_mathml(
        mathml_pieces(parse("(voc - isc) / (voc + isc) * sqrt(voc + isc)").tree),
        {name: Entry(symbol_mathml(name), name) for name in NAMES},
        str,
    )

    assert "(" not in drawn
    assert drawn.count("<mfrac>") == drawn.count("<msqrt>") == 1


def test_index_is_an_extra_subscript():
    """The second string's current is told apart by its number in the subscript, set upright."""
    assert symbol_mathml("isc_string__2") == "<msub><mi>I</mi><mtext>sc, string, 2</mtext></msub>"


def test_a_difference_has_an_upright_delta():
    """The delta of a difference stands upright before its italic letter, as in print (ISO 80000-2)."""
    assert symbol_mathml("drop") == '<mrow><mi mathvariant="normal">Δ</mi><mi>V</mi></mrow>'


def test_a_step_reads_as_it_would_on_paper():
    """Symbols, the same with numbers and units, and the result; a negative number after an operator has brackets."""
    line = plain_line(COLD, WORDS).replace("\u00a0", " ")

    assert line == (
        "V_oc,cold = n_series × V_oc × (1 + β_oc × (T_cell,cold \u2212 T_STC))"
        " = 1 × 22.4 V × (1 + (\u22120.30 %/°C) × (\u221221 °C \u2212 25 °C)) = 25.5 V"
    )


def test_every_number_links_to_its_origin():
    """Each number leads from the list beneath the lines; in the formula, which is read aloud as one, no link is lost."""
    view = step_lines(COLD, WORDS, methods_url="../how/")
    wanted = [
        "#given-array-modules_in_series",
        "#given-module-voc",
        "#assumed-module-voc_coefficient",
        "#step-cell_cold_degC",
        "../how/#table-stc",
    ]
    numbers = [
        number.text for number in ET.fromstring(f"<p>{view.numbers.replace('<wbr>', '')}</p>").iter("mn")
    ]

    assert "<a" not in view.numbers
    assert sorted(numbers) == sorted([*(value.number for value in view.values), "1"])
    assert [value.href for value in view.values] == wanted
    assert [value.kind for value in view.values] == ["given", "given", "assumed", "step", "table"]
    assert view.anchor == "step-voc_cold_string_V"
    assert view.result == "25.5\u00a0V"


def test_a_comparison_answers_yes_or_no():
    """A comparison has no equals sign; its result is yes or no."""
    step = Step(
        id="string_fuse_needed",
        symbol="string_fuse_needed",
        formula="reverse_current_string > reverse_limit_string",
        method="",
        values={
            "reverse_current_string": Value(23.625, "A", "step reverse_current_string_A"),
            "reverse_limit_string": Value(15.0, "A", "step reverse_limit_string_A"),
        },
        result=True,
        unit="",
        cites=(),
    )
    view = step_lines(step, WORDS)

    assert view.result == "yes"
    assert ">=<" not in view.formula + view.numbers
    assert "&gt;" in view.numbers


def test_a_look_up_has_a_sentence():
    """A step without a formula says how it was found, with its own values set in, and is safe to print."""
    values = {"size": Value("10 AWG", "", "given run.a <b> run.size")}
    step = Step(
        "run.a <b> run.ampacity_table_A", "ampacity_table", "", "ampacity-table", values, 40.0, "A", ()
    )
    view = step_lines(step, WORDS)

    assert view.sentence == "Read for 10\u00a0AWG &lt;in&gt; the table."
    assert (view.formula, view.numbers) == ("", "")
    assert "<b>" not in view.values[0].name + view.values[0].href + view.anchor
    assert plain_line(step, WORDS).startswith("I_table = 40\u00a0A: Read for")


@given(st.text(max_size=30), st.text(max_size=30))
@example("run.a.b", "run.a b")
@example("a..b", "a. b")
@example("a-b", "a.b")
@example("---2e---", ".")
@example(" ", "---20---")
def test_anchors_never_clash(one, other):
    """Two different ids have two different anchors, whatever a run is called."""
    assert (slug(one) == slug(other)) == (one == other)


near_names = st.text(alphabet=st.sampled_from("a.- _x2e0"), max_size=8)


@given(near_names, near_names)
def test_anchors_of_near_names_never_clash(one, other):
    """The same with names made of the very characters that anchors are written in."""
    assert (slug(one) == slug(other)) == (one == other)


@given(st.text(max_size=40))
def test_anchors_need_no_escaping(name):
    """An anchor has only letters, digits, hyphens and underscores: safe in HTML, CSS and links."""
    assert all(letter.isascii() and (letter.isalnum() or letter in "-_") for letter in slug(name))


def test_anchor_of_a_run_is_readable():
    """Common names keep readable anchors, since people share links to them."""
    assert slug("run.home run.drop_V") == "run-home--run-drop_V"


def test_unknown_origin_is_refused():
    """An origin of another kind is a fault of ours and says what was wanted."""
    with pytest.raises(ValueError, match="wanted given, assumed, table or step"):
        href("guess module.voc")
