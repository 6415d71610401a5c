"""The working of one design: values with their origin, steps, what is missing, and what was assumed."""

import pytest

from calc.derive.trace import Trace
from calc.model.assessment import Assumption, Unknown, Value
from calc.model.design import Given
from calc.model.method import Method
from calc.tables import Cell
from tests.rules.designs import book, design

RESISTANCE = Method("resistance", "2 * length * resistance_per_length", cites=("Voltage drop",))
DROP = Method("drop", "resistance * carried_hot")
NEEDED = Method("string_fuse_needed", "reverse_current_string > reverse_limit_string")
LEAST = Method("ground_least", how="ground-least")
COLDEST = Method("cell_cold", "coldest")


@pytest.fixture
def trace():
    return Trace(design(), book())


def metres(number, origin="given run.home run.length"):
    return Value(number, "m", origin)


def test_a_given_value_says_where_it_stands(trace):
    """With its unit and its path; one that nobody gave is unknown by that path."""
    assert trace.given("module.voc") == Value(25.0, "V", "given module.voc")
    assert trace.given("module.cells") == Unknown(("module.cells",))


def test_a_step_keeps_formula_values_and_result(trace):
    """2 x 10 m x 1.95 ohm/km: the factor between metres and kilometres is applied once, by the units."""
    per_length = Value(1.95, "ohm/km", "table resistance_iec: 10 mm2, cl5_tinned")
    result = trace.step(
        RESISTANCE, part="run.home run.", length=metres(10.0), resistance_per_length=per_length
    )
    step = trace.steps["run.home run.resistance_ohm"]

    assert result == Value(pytest.approx(0.039), "ohm", "step run.home run.resistance_ohm")
    assert (step.id, step.symbol, step.formula) == (
        "run.home run.resistance_ohm",
        "resistance",
        RESISTANCE.formula,
    )
    assert (step.result, step.unit, step.cites, step.method) == (
        pytest.approx(0.039),
        "ohm",
        ("Voltage drop",),
        "",
    )
    assert step.values == {"length": metres(10.0), "resistance_per_length": per_length}


def test_a_step_takes_any_unit_of_the_right_kind(trace):
    """100 ft of 1.24 ohm/kft are 0.248 ohm; the values are kept in the units of their symbols."""
    table = Value(1.24, "ohm/kft", "table resistance_us: 10 AWG, copper")
    trace.step(RESISTANCE, length=Value(100.0, "ft", "given x"), resistance_per_length=table)
    step = trace.steps["resistance_ohm"]

    assert step.result == pytest.approx(0.248)
    assert step.values["length"] == Value(pytest.approx(30.48), "m", "given x")
    assert step.values["resistance_per_length"].unit == "ohm/km"
    assert step.values["resistance_per_length"].number == pytest.approx(4.068241, rel=1e-6)


def test_a_whole_number_counts_as_any_other(trace):
    """Kept as a number with a fraction, so that the same design says the same bytes however it was read."""
    trace.step(RESISTANCE, length=Value(10, "m", "given x"), resistance_per_length=Value(2.0, "ohm/km", "y"))
    kept = trace.steps["resistance_ohm"].values["length"].value

    assert (kept, type(kept)) == (10.0, float)


def test_a_unit_of_another_kind_is_a_fault(trace):
    """Volts are no length."""
    with pytest.raises(ValueError, match="voltage"):
        trace.step(RESISTANCE, length=Value(1.0, "V", "x"), resistance_per_length=Value(1.0, "ohm/km", "y"))


def test_what_is_missing_passes_through(trace):
    """Every path once, in order; no step is kept, and later steps miss it too."""
    first = trace.step(RESISTANCE, length=Unknown(("a", "b")), resistance_per_length=Unknown(("b", "c")))
    second = trace.step(DROP, resistance=first, carried_hot=Unknown(("d",)))

    assert first == Unknown(("a", "b", "c"))
    assert second == Unknown(("a", "b", "c", "d"))
    assert trace.steps == {}


def test_an_earlier_step_is_found_again(trace):
    """By its id; one that could not be worked out is unknown."""
    trace.step(COLDEST, coldest=trace.given("site.coldest"))

    assert trace.find("cell_cold_degC") == Value(-15.0, "degC", "step cell_cold_degC")
    assert trace.find("cell_hot_degC") == Unknown(())


def test_a_comparison_answers_yes_or_no(trace):
    """A plain true or false, not a number."""
    for reverse, answer in ((20.1, True), (20.0, False)):
        limits = {"reverse_limit_string": Value(20.0, "A", "given x")}
        trace.step(NEEDED, limits, reverse_current_string=Value(reverse, "A", "step y"))
        assert trace.steps["string_fuse_needed"].result is answer


def test_a_look_up_keeps_how_it_was_found(trace):
    """Its result in words, the code of its sentence, and what it was found from."""
    device = Value(30.0, "A", "given combiner.breaker")
    result = trace.note(LEAST, "10 AWG", ground_device=device)
    step = trace.steps["ground_least"]

    assert result == Value("10 AWG", "", "step ground_least")
    assert (step.formula, step.method, step.result) == ("", "ground-least", "10 AWG")
    assert step.values == {"ground_device": device}


def test_a_look_up_from_nothing_known_is_not_kept(trace):
    """What it would be found from is missing."""
    assert trace.note(LEAST, "10 AWG", ground_device=Unknown(("combiner.breaker",))) == Unknown(
        ("combiner.breaker",)
    )
    assert trace.steps == {}


def test_a_method_without_a_formula_is_no_step(trace):
    """It has to be noted with its result."""
    with pytest.raises(ValueError, match="no formula"):
        trace.step(LEAST, ground_device=Value(30.0, "A", "x"))


def test_a_text_of_its_own_replaces_the_methods_formula(trace):
    """Where the number of terms depends on the design."""
    values = {f"drop__{number}": Value(float(number), "V", "step x") for number in (1, 2, 3)}
    trace.step(Method("drop", "drop__1 + drop__2"), values, text=" + ".join(values))

    assert trace.steps["drop_V"].result == 6.0
    assert trace.steps["drop_V"].formula == "drop__1 + drop__2 + drop__3"


# Assumptions.


def test_a_default_is_taken_and_noted_once(trace):
    """With its reason and whether it is on the safe side; what was given is no assumption."""
    bare = Trace(design({"site.hottest": None}), book())
    found = bare.value("site.hottest"), bare.value("site.hottest")

    assert found == (Value(45.0, "degC", "assumed site.hottest"),) * 2
    assert list(bare.assumptions) == ["site.hottest"]
    assert bare.assumptions["site.hottest"].value == "45 degC"
    assert bare.assumptions["site.hottest"].safe_side is True
    assert bare.assumptions["site.hottest"].why == book().assumptions["site.hottest"].why != ""
    assert trace.value("site.hottest") == Value(33.75, "degC", "given site.hottest")
    assert trace.assumptions == {}


def test_a_part_takes_the_default_of_its_kind(trace):
    """The path is the part's own, the value that of all such parts."""
    found = trace.value("run.shed.max_drop", general="run.max_drop")

    assert found == Value(3.0, "%", "assumed run.shed.max_drop")
    assert trace.assumptions["run.shed.max_drop"].value == "3 %"


def test_a_default_that_has_to_be_looked_up_is_not_made_up(trace):
    """The absorption voltage depends on the battery."""
    with pytest.raises(ValueError, match="looked up"):
        trace.value("battery.equalise")


def test_an_assumption_of_the_designs_own(trace):
    """A value found for this design, with the reason it was taken."""
    found = trace.assume("array.string_fuse", Given(15.0, "A", "15 A"), "Because.", safe_side=True)

    assert found == Value(15.0, "A", "assumed array.string_fuse")
    assert trace.assumptions["array.string_fuse"] == Assumption(
        "array.string_fuse", "15 A", "Because.", safe_side=True
    )


# Tables.


def test_a_number_of_the_rule_book_says_which(trace):
    """Its table, and its unit."""
    assert trace.scalar("design_factor") == Value(1.25, "", "table design_factor")


def test_a_blank_cell_is_a_fault_unless_a_number_stands_for_it(trace):
    """Zero for an ampacity that the table leaves blank; otherwise nothing is made up."""
    blank = Cell(None, "A", "table x: y")

    assert trace.cell(blank, blank=0.0) == Value(0.0, "A", "table x: y")
    with pytest.raises(ValueError, match="table x: y is blank"):
        trace.cell(blank)


def test_a_word_is_no_number():
    """A fault of ours, with the place it came from."""
    with pytest.raises(TypeError, match=r"given array\.joining is the word 'couplers'"):
        Value("couplers", "", "given array.joining").number  # noqa: B018 - reading it is what fails
