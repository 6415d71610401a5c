"""Design files and forms as designs: values, units, names, notes, and writing them out again."""

import tomllib

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calc.model.design import Design, Given
from calc.read import document_of, read_design, read_document, write_document
from calc.read.fields import FIELDS

MODULE = """
[module]
voc = "22.4 V"
isc = "6.3 A"
vmp = "18.2 V"
imp = "6.04 A"
"""
ARRAY = """
[array]
modules_in_series = 1
strings_in_parallel = 4
"""
SMALLEST = MODULE + ARRAY


def design(text: str) -> Design:
    answer = read_design(text)
    assert isinstance(answer, Design), "\n".join(problem.line() for problem in answer.problems)
    return answer


def test_the_smallest_file_gives_only_what_its_author_said():
    """Six values are enough, and nothing is assumed here."""
    read = design(SMALLEST)
    assert dict(read.values) == {
        "module.voc": Given(22.4, "V", "22.4 V"),
        "module.isc": Given(6.3, "A", "6.3 A"),
        "module.vmp": Given(18.2, "V", "18.2 V"),
        "module.imp": Given(6.04, "A", "6.04 A"),
        "array.modules_in_series": Given(1, "", "1"),
        "array.strings_in_parallel": Given(4, "", "4"),
    }
    assert (read.runs, read.strings, read.couplers, read.notes) == ((), 0, 0, ())


def test_bytes_read_like_text():
    """A file's bytes, also with the mark some editors put first and with other line ends, give the same design."""
    plain = design(SMALLEST)
    assert read_design(SMALLEST.encode()) == plain
    assert read_design(b"\xef\xbb\xbf" + SMALLEST.replace("\n", "\r\n").encode()) == plain


@pytest.mark.parametrize(
    ("line", "path", "given"),
    [
        ('module.pmax = "0.11 kW"', "module.pmax", Given(110.0, "W", "0.11 kW")),
        ('module.voc_coefficient = "-0.30 %/°C"', "module.voc_coefficient", Given(-0.3, "%/K", "-0.30 %/°C")),
        (
            'module.voc_coefficient = "-67 mV/degC"',
            "module.voc_coefficient",
            Given(-0.067, "V/K", "-67 mV/degC"),
        ),
        ('module.isc_coefficient = "3 mA/K"', "module.isc_coefficient", Given(0.003, "A/K", "3 mA/K")),
        (
            'module.pmax_coefficient = "-0.43 W/K"',
            "module.pmax_coefficient",
            Given(-0.43, "W/K", "-0.43 W/K"),
        ),
        ('module.cells = "36"', "module.cells", Given(36, "", "36")),
        ('module.rear_gain = "0 %"', "module.rear_gain", Given(0.0, "%", "0 %")),
        ('site.hottest = "97   °F"', "site.hottest", Given(36.1111111111, "degC", "97 °F")),
        ('site.hardiness_zone = "Zone 5B"', "site.hardiness_zone", Given("5b", "", "Zone 5B")),
        ('site.latitude = "-44 deg"', "site.latitude", Given(-44.0, "deg", "-44 deg")),
        ('site.building = "Dwelling"', "site.building", Given("dwelling", "", "Dwelling")),
        (
            'array.mounting = "Roof_stand-off"',
            "array.mounting",
            Given("roof stand-off", "", "Roof_stand-off"),
        ),
        ('array.string_fuse = "None"', "array.string_fuse", Given("none", "", "none")),
        ('array.string_fuse = "10 A"', "array.string_fuse", Given(10.0, "A", "10 A")),
        ("controller.blocks_reverse = false", "controller.blocks_reverse", Given(False, "", "false")),
        ('controller.blocks_reverse = "yes"', "controller.blocks_reverse", Given(True, "", "true")),
        ('controller.start_margin = "0 V"', "controller.start_margin", Given(0.0, "V", "0 V")),
        ('grounding.conductor = "#10"', "grounding.conductor", Given("10 AWG", "", "#10")),
        ('margins.drop = "20 %"', "margins.drop", Given(20.0, "%", "20 %")),
        ('story = """Two\n  lines."""', "story", Given("Two lines.", "", "Two lines.")),
    ],
)
def test_a_value_keeps_its_unit_and_its_author_s_words(line, path, given):
    """Each kind of input comes in its field's unit, a coefficient in its author's kind, with what was said."""
    assert design(f"{line}\n{table_less(SMALLEST)}").values[path] == given


def table_less(text: str) -> str:
    """The same design with every line above any table, so that other lines can be put beside it."""
    tables = tomllib.loads(text)
    return "\n".join(
        f"{name}.{key} = {value!r}".replace("'", '"')
        for name, table in tables.items()
        for key, value in table.items()
    )


def test_runs_keep_their_names_and_order():
    """A run without a name is called by its place, also when another run took that name first."""
    read = design(
        SMALLEST
        + '\n[[run]]\nlength = "10 ft"\n\n[[run]]\nname = "home  run"\nlength = "85 ft"\ninsulation = "194 degF"\n'
        + '\n[[run]]\nname = "run 4"\n\n[[run]]\nmaterial = "Aluminum"\n'
    )
    assert read.runs == ("run 1", "home run", "run 4", "run 5")
    assert read.values["run.run 1.length"].value == 3.048
    assert read.values["run.home run.insulation"] == Given(90.0, "degC", "194 degF")
    assert read.values["run.run 5.material"] == Given("aluminium", "", "Aluminum")
    assert "run.run 1.name" not in read.values


def test_unlike_strings_have_modules_of_their_own_or_the_common_one():
    """Counts and modules stand with each string; a string without its own module has the common one."""
    own = (
        "\n[[string]]\nmodules_in_series = 2\nstrings_in_parallel = 1\n\n[string.module]\n"
        + MODULE.split("\n", 2)[2]
    )
    read = design(MODULE + own + "\n[[string]]\nmodules_in_series = 3\n\n[array]\nmounting = 'pole'\n")
    assert read.strings == 2
    assert read.module_path(1, "isc") == "string.1.module.isc"
    assert read.module_path(2, "isc") == "module.isc"
    assert read.values["string.2.modules_in_series"].value == 3
    assert design(own).strings == 1


def test_couplers_are_counted():
    """Each table in double brackets is one stage."""
    assert design(SMALLEST + '\n[[coupler]]\ninputs = 2\nrating = "30 A"\n\n[[coupler]]\n').couplers == 2


@pytest.mark.parametrize(
    ("line", "notes"),
    [
        ('site.coldest = "-70 degC"', [("site.coldest", "unusual")]),
        ('module.voc_coefficient = "-0.1 %/degC"', [("module.voc_coefficient", "unusual")]),
        ('module.voc_coefficient = "-22 mV/degC"', [("module.voc_coefficient", "unusual")]),
        ('module.voc_coefficient = "-67 mV/degC"', []),
        ('module.pmax_coefficient = "-1 W/degC"', [("module.pmax_coefficient", "unusual")]),
        ('module.pmax = "122 W"', [("module.pmax", "pmax-differs")]),
        ('module.pmax = "98 W"', [("module.pmax", "pmax-differs")]),
        ('module.pmax = "120 W"', []),
        (
            'site.coldest = "-30 degC"\nsite.hardiness_zone = "5b"',
            [("site.hardiness_zone", "coldest-counts")],
        ),
        ('site.hottest = "-20 degC"\nsite.coldest = "-20 degC"', [("site.hottest", "unusual")]),
        ('battery.nominal = "96 V"\nbattery.absorption = "115 V"', [("battery.nominal", "unusual")]),
        (
            'battery.nominal = "12 V"\nbattery.absorption = "18 V"\nbattery.lowest = "18 V"\nbattery.equalise = "18 V"',
            [],
        ),
        ('battery.absorption = "14.4 V"', []),
    ],
)
def test_unlikely_values_are_taken_with_a_note(line, notes):
    """What is possible is never refused; what is unlikely is remarked on (18.2 V x 6.04 A is 110 W)."""
    assert list(design(f"{line}\n{table_less(SMALLEST)}").notes) == notes


def test_values_come_in_one_order_however_the_file_is_written():
    """Two files that say the same in another order are the same design, value by value."""
    turned = 'site.hottest = "36 degC"\nsite.coldest = "-21 degC"\n' + table_less(ARRAY + MODULE)
    straight = 'site.coldest = "-21 degC"\nsite.hottest = "36 degC"\n' + table_less(SMALLEST)
    assert list(design(turned).values) == list(design(straight).values)


def test_a_form_s_document_reads_like_a_file():
    """The same tables from a form, where every value is text, give the same design."""
    document = tomllib.loads(SMALLEST)
    document["array"] = {"modules_in_series": "1", "strings_in_parallel": " 4 "}
    assert read_document(document) == design(SMALLEST)


def test_a_second_language_would_be_a_second_catalogue(tmp_path, monkeypatch):
    """Every word of a message comes from the catalogue of the language asked for."""
    from calc.read import words

    words.sentences.cache_clear()
    english = (words.FOLDER / "en.toml").read_text("utf-8")
    (tmp_path / "xx.toml").write_text(
        english.replace("a voltage", "une tension").replace('"nothing"', '"rien"'), "utf-8"
    )
    monkeypatch.setattr(words, "FOLDER", tmp_path)
    problem = read_design(ARRAY, "xx").problems[0]
    assert problem.said == "rien"
    assert problem.wanted.startswith("une tension (V, mV or kV)")
    words.sentences.cache_clear()


def test_a_design_is_written_in_one_order_and_reads_back():
    """Written out, a design has the order of the register and the words of its author, and is the same design again."""
    read = design(
        '[[run]]\nsize = "6 mm2"\nname = "a \\"b\\" \\\\ ü"\n'
        + ARRAY
        + '\n[controller]\nblocks_reverse = true\nkind = "MPPT"\n'
        + MODULE
        + "cells = 36\n"
    )
    text = write_document(document_of(read))
    assert text == (
        '[module]\nvoc = "22.4 V"\nisc = "6.3 A"\nvmp = "18.2 V"\nimp = "6.04 A"\ncells = 36\n\n'
        "[array]\nmodules_in_series = 1\nstrings_in_parallel = 4\n\n"
        '[[run]]\nname = "a \\"b\\" \\\\ ü"\nsize = "6 mm2"\n\n'
        '[controller]\nkind = "MPPT"\nblocks_reverse = true\n'
    )
    assert read_design(text) == read


def test_what_no_design_has_is_kept_when_written():
    """A download of a form with mistakes loses nothing: unknown lines and tables come after the known ones."""
    document = {
        "house": {"roof": {"pitch": 3}},
        "module": {"voltage": [1, 2.5, {"a b": True}], "voc": "22.4 V"},
        "title": "tab\t, bell \x07, line\n",
        "odd name": "x",
        "run": [],
    }
    text = write_document(document)
    assert tomllib.loads(text) == document
    assert text.index("title") < text.index("odd name") < text.index("[module]") < text.index("[house]")
    assert text.index("voc =") < text.index("voltage =")


def test_half_a_character_is_replaced_when_written():
    """A lone surrogate cannot stand in a file; the text stays readable."""
    assert tomllib.loads(write_document({"title": "a\ud83db"})) == {"title": "a\N{REPLACEMENT CHARACTER}b"}


def test_what_no_file_can_hold_is_not_written():
    """Nothing is written that would read back as something else."""
    with pytest.raises(TypeError, match="NoneType cannot stand in a design file"):
        write_document({"title": None})


TEXT = st.text(st.characters(exclude_categories=["Cs"]), max_size=20)
SIMPLE = st.one_of(TEXT, st.booleans(), st.integers(), st.floats(allow_nan=False))
VALUE = st.recursive(
    SIMPLE, lambda inner: st.lists(inner, max_size=3) | st.dictionaries(TEXT, inner, max_size=3), max_leaves=6
)
NAMES = st.sampled_from(["title", "module", "array", "run", "string", "voc", "length", "name", "x"])


@given(st.dictionaries(NAMES | TEXT, VALUE, max_size=6))
def test_any_document_written_reads_back_the_same(document):
    """Whatever names, texts, numbers, lists and tables a document holds, its text gives the same document."""
    assert tomllib.loads(write_document(document)) == document


EXAMPLES = {field.path: field.example for field in FIELDS} | {"layouts.or": "controller.max_voltage = 150 V"}
"""For each input; the other values are not those of a run, which the designs drawn here name otherwise or have not."""


@given(
    st.sets(st.sampled_from(sorted(path for path in EXAMPLES if "<" not in path))),
    st.integers(0, 3),
    st.data(),
)
def test_any_design_written_reads_back_the_same(paths, count, data):
    """Whatever inputs are given, the written text is the same design, words and all."""
    document = tomllib.loads(SMALLEST)
    for path in paths:
        table, _, name = path.rpartition(".")
        (document.setdefault(table, {}) if table else document)[name] = EXAMPLES[path]
    for name in ("run", "coupler"):
        fields = sorted(
            path.rpartition(".")[2]
            for path in EXAMPLES
            if path.startswith(f"{name}.<") and "name" not in path
        )
        chosen = st.sets(st.sampled_from(fields))
        document[name] = [
            {field: EXAMPLES[f"{name}.<{name}>.{field}"] for field in data.draw(chosen)} for _ in range(count)
        ]
    read = read_document(document)
    assert isinstance(read, Design)
    assert read_design(write_document(document_of(read))) == read
