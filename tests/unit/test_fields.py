"""The register of inputs, the format it describes, and the examples it gives."""

import pytest

from calc.model.design import Given
from calc.read import describe_format, field_for
from calc.read.fields import FIELDS
from calc.read.sections import SECTIONS
from calc.read.value import outside, read_value, unusual
from calc.read.words import sentences


@pytest.mark.parametrize("field", FIELDS, ids=lambda field: field.path)
def test_the_example_of_every_field_is_a_usual_value_of_it(field):
    """What is offered as an example can be read and raises no note."""
    given = read_value(field, field.example)
    assert isinstance(given, Given)
    if isinstance(given.value, float):
        assert not unusual(field, given.value)


@pytest.mark.parametrize("field", FIELDS, ids=lambda field: field.path)
def test_every_field_has_a_name_for_the_thing_and_its_units(field):
    """A message can say what the field wants, in words."""
    words = sentences()
    assert field.kind in words["thing"] or field.unit in words["thing"]
    if field.unit:
        assert words["units"][field.absolute or field.unit]


@pytest.mark.parametrize(
    "field", [field for field in FIELDS if field.low is not None], ids=lambda field: field.path
)
def test_bounds_enclose_what_is_usual(field):
    """What is usual lies inside what is possible, and both ends are given."""
    assert field.high is not None
    low, high = field.usual or (field.low, field.high)
    assert field.low <= low < high <= field.high


def test_a_field_without_bounds_has_no_outside():
    """Only what has bounds can be beyond them."""
    assert outside(field_for("title"), 1e9) is None
    assert not unusual(field_for("title"), 1e9)


def test_paths_are_unique():
    """No input stands in the register twice."""
    paths = [field.path for field in FIELDS]
    assert len(paths) == len(set(paths))


@pytest.mark.parametrize(
    ("path", "pattern"),
    [
        ("title", "title"),
        ("module.voc", "module.voc"),
        ("run.home run.length", "run.<run>.length"),
        ("run.a.b.length.size", "run.<run>.size"),
        ("string.2.modules_in_series", "string.<string>.modules_in_series"),
        ("string.12.module.isc", "string.<string>.module.isc"),
        ("coupler.1.rating", "coupler.<coupler>.rating"),
    ],
)
def test_a_path_finds_its_field(path, pattern):
    """A run's name or a part's number stands for the placeholder of the register."""
    assert field_for(path).path == pattern


@pytest.mark.parametrize(
    "path", ["", "voc", "module.vocc", "run.length", "string.2.module", "coupler.1.module.voc"]
)
def test_a_path_of_no_field_is_a_fault(path):
    """A path that the register does not know is our mistake, not a reader's."""
    with pytest.raises(KeyError):
        field_for(path)


def test_the_format_is_described_line_by_line():
    """The documentation page gets every field, in order, with what is needed to write it."""
    rows = describe_format()
    assert [row.path for row in rows] == [field.path for field in FIELDS]
    by_path = {row.path: row for row in rows}
    assert by_path["module.voc"] == ("module.voc", "quantity", "V", "22.4 V", True, ())
    assert by_path["array.joining"].choices == ("couplers", "combiner")
    assert by_path["run.<run>.length"].unit == "m"


def test_the_tables_of_a_design_file_are_those_of_the_fixed_interface():
    """The names in brackets are the ones the fixed interface has, and those added to it."""
    headers = [section.header for name, section in SECTIONS.items() if name]
    assert headers == [
        "[site]",
        "[module]",
        "[array]",
        "[[string]]",
        "[[coupler]]",
        "[combiner]",
        "[disconnect]",
        "[grounding]",
        "[[run]]",
        "[controller]",
        "[battery]",
        "[margins]",
        "[layouts]",
    ]
    assert list(SECTIONS["string"].inner) == ["module"]
