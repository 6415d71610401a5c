"""The rule book is read whole or refused with the place, and its look-ups answer what the code's tables answer."""

import math
import re
from dataclasses import replace
from pathlib import Path

import pytest

from calc.assess import assess
from calc.read.fields import FIELDS
from calc.read.scenario import read_design
from calc.tables import NoSuchRow, TableError, load_book, read_book

REFUSED = sorted((Path(__file__).parents[1] / "refused" / "tables").glob("*.toml"))
HEADER = re.compile(r"# file: (.+)\n# says: (.+)\n")

SINGLE = """[alone]
title = "Alone"
source = "book"
clause = "1"
edition = "first"
standing = "seen in print"
value = 1
unit = "A"
"""
SOUND = {
    "sources.toml": '[book]\ntitle = "Book"\nstanding = "seen in print"\n',
    "assumptions.toml": "",
    "coverage.toml": "",
    "good.toml": SINGLE
    + """
[good]
title = "Good"
source = "book"
clause = "1"
edition = "first"
standing = "seen in print"
columns = [
  { name = "size", unit = "AWG", is = "size" },
  { name = "amps", unit = "A", is = "current" },
]
keys = ["size"]
rows = [
  ["14", 15],
  ["12", "-"],
]
""",
}


@pytest.fixture(scope="module")
def book():
    return load_book()


@pytest.fixture
def folder(tmp_path):
    for name, text in SOUND.items():
        (tmp_path / name).write_text(text, encoding="utf-8")
    return tmp_path


def without_parts(path):
    """A field's path as assumptions write it: without the placeholder of a part's name."""
    return re.sub(r"\.<\w+>", "", path)


class TestReading:
    def test_a_sound_folder_is_read(self, folder):
        """A folder of sound files gives a book with its tables and single values."""
        book = read_book(folder, "us-2023")

        assert list(book.tables) == ["good"]
        assert list(book.scalars) == ["alone"]
        assert book.sources["book"].title == "Book"

    @pytest.mark.parametrize("path", REFUSED, ids=lambda path: path.stem)
    def test_a_mistake_is_refused_with_its_place(self, folder, path):
        """Every kind of mistake is refused, naming file, table and row, and saying what is wanted."""
        text = path.read_text(encoding="utf-8")
        header = HEADER.match(text)
        (folder / header[1]).write_text(text, encoding="utf-8")

        with pytest.raises(TableError, match=f"^{re.escape(header[2])}$"):
            read_book(folder, "us-2023")

    def test_a_file_that_is_not_toml_is_refused(self, folder):
        """A file that does not parse is named, with the parser's reason."""
        (folder / "odd.toml").write_text("[odd\n", encoding="utf-8")

        with pytest.raises(TableError, match=r"^odd\.toml: is not TOML \(.+line 1.+\); wanted a table file$"):
            read_book(folder, "us-2023")

    def test_a_name_in_two_files_is_refused(self, folder):
        """The same name in two files would leave open which one counts."""
        (folder / "other.toml").write_text(SINGLE, encoding="utf-8")

        with pytest.raises(
            TableError, match=r"^other\.toml: \[alone\] stands in another file too; wanted each"
        ):
            read_book(folder, "us-2023")

    @pytest.mark.parametrize("name", ["sources.toml", "assumptions.toml", "coverage.toml"])
    def test_a_missing_file_is_refused(self, folder, name):
        """A book without bibliography, assumptions or coverage is not a book."""
        (folder / name).unlink()

        with pytest.raises(
            TableError, match=f"^{re.escape(name)}: is missing; wanted beside the table files$"
        ):
            read_book(folder, "us-2023")

    def test_a_later_rule_set_is_refused_for_now(self):
        """The international rule set is named as planned, and the ones that are here are listed."""
        with pytest.raises(
            TableError, match=r"^rules 'iec-2023' is planned and not here yet; wanted one of: us-2023$"
        ):
            load_book("iec-2023")

    def test_an_unknown_rule_set_is_refused(self):
        """Any other rule set is refused with the list of those that are here."""
        with pytest.raises(TableError, match=r"^rules 'us-1999' is not a rule set; wanted one of: us-2023$"):
            load_book("us-1999")

    def test_the_hash_follows_the_figures(self, folder):
        """The book's hash changes with any figure and stays with line ends."""
        before = read_book(folder, "us-2023").hash
        text = SOUND["good.toml"]
        (folder / "good.toml").write_bytes(text.replace("\n", "\r\n").encode())
        same = read_book(folder, "us-2023").hash
        (folder / "good.toml").write_text(text.replace("15", "20"), encoding="utf-8")
        changed = read_book(folder, "us-2023").hash

        assert before == same
        assert before != changed

    def test_the_book_is_read_once(self):
        """The default book is the United States' one, and is kept."""
        assert load_book("us-2023") is load_book("us-2023")
        assert load_book().id == "us-2023"


class TestLookUps:
    def test_an_exact_cell_says_where_it_stands(self, book):
        """A cell carries its value, its unit and the table, row and column it stands in."""
        cell = book.table("ampacity_raceway").cell("c90", material="copper", size="10")

        assert (
            cell.value,
            cell.unit,
            cell.origin,
        ) == (40.0, "A", "table ampacity_raceway: copper, 10 AWG, c90")

    def test_a_cell_asked_for_twice_is_the_same(self, book):
        """A second look-up, keys in another order, gives the kept cell."""
        table = book.table("ampacity_raceway")

        assert table.cell("c90", material="copper", size="8") is table.cell(
            "c90", size="8", material="copper"
        )

    def test_a_size_that_is_not_listed_is_none(self, book):
        """Free air has no row for aluminium: find says None, cell refuses and names the row."""
        table = book.table("ampacity_free_air")

        assert table.find("c90", material="aluminium", size="10") is None
        with pytest.raises(
            NoSuchRow, match=r"^ampacity\.toml: \[ampacity_free_air\] has no row with aluminium, 10 AWG$"
        ):
            table.cell("c90", material="aluminium", size="10")

    def test_a_row_must_be_told_apart(self, book):
        """A look-up that fits several rows is refused with the columns that tell rows apart."""
        with pytest.raises(
            NoSuchRow, match=r"has 2 rows with 10 AWG; rows are told apart by material, size$"
        ):
            book.table("ampacity_raceway").cell("c90", size="10")

    def test_an_unknown_column_is_refused(self, book):
        """A column that is not there is refused with those that are."""
        with pytest.raises(NoSuchRow, match=r"has no column 'c105'; it has material, size, c60, c75, c90$"):
            book.table("ampacity_raceway").cell("c105", material="copper", size="10")

    def test_an_unknown_name_is_refused(self, book):
        """A table or single value that is not there is refused by name."""
        with pytest.raises(NoSuchRow, match=r"^the rule book us-2023 has no table 'weather'$"):
            book.table("weather")
        with pytest.raises(NoSuchRow, match=r"^the rule book us-2023 has no single value 'weather'$"):
            book.scalar("weather")

    def test_a_table_without_bands_has_none(self, book):
        """A table that is not in bands refuses to be asked for one."""
        with pytest.raises(NoSuchRow, match=r"^ampacity\.toml: \[ampacity_raceway\] has no bands$"):
            book.table("ampacity_raceway").band("c90", 3.0)

    def test_a_single_value_is_a_cell(self, book):
        """A single value carries its unit and its name as its place."""
        cell = book.scalar("continuous_factor")

        assert (cell.value, cell.unit, cell.origin) == (1.25, "", "table continuous_factor")
        assert cell.number == 1.25

    def test_the_cell_of_a_single_value_is_made_once_and_follows_it(self, book):
        """Asked for again it is the kept cell; a copy with another value has another cell."""
        single = book.scalars["continuous_factor"]
        other = replace(single, value=1.5)

        assert single.cell is book.scalar("continuous_factor")
        assert (other.cell.value, other.cell.origin) == (1.5, "table continuous_factor")
        assert single.cell.value == 1.25

    def test_a_word_is_not_a_number(self, book):
        """A cell that holds a word refuses to be a number."""
        with pytest.raises(TypeError, match=r"^table min_ground_size is '14', not a number$"):
            _ = book.scalar("min_ground_size").number

    def test_a_row_can_have_its_own_unit(self, book):
        """Standard conditions are of several kinds, each with the unit of its row."""
        table = book.table("stc")

        assert table.cell("value", quantity="irradiance").unit == "W/m2"
        assert table.cell("value", quantity="cell temperature").unit == "degC"

    def test_what_is_cited_is_found_by_name(self, book):
        """Tables and single values alike tell their clause and source."""
        assert book.cited("ampacity_raceway").clause == "Table 310.16"
        assert book.cited("continuous_factor").clause == "690.8(A)"

    def test_a_column_comes_in_the_order_of_the_table(self, book):
        """A column's entries can be had for some rows only, in order."""
        assert book.table("ampacity_raceway").column("size", material="aluminium")[:3] == ("12", "10", "8")

    def test_a_column_of_one_kind_is_had_as_that_kind(self, book):
        """Numbers come as numbers and words as words, in the column's order, for some rows or all."""
        table = book.table("ampacity_raceway")

        assert table.numbers("c90", material="copper", size="10") == (40.0,)
        assert table.numbers("c75") == table.column("c75")
        assert table.words("size", material="aluminium")[:3] == ("12", "10", "8")

    def test_a_column_of_another_kind_is_refused(self, book, folder):
        """A word or a blank among numbers, a number or a blank among words: refused with table and column."""
        table = read_book(folder, "us-2023").table("good")

        assert table.numbers("amps", size="14") == (15.0,)
        assert table.words("size") == ("14", "12")
        for wanted, column in (("number", "size"), ("number", "amps"), ("word", "amps")):
            ask = table.numbers if wanted == "number" else table.words
            with pytest.raises(TypeError, match=f"^table good: {column} is not a {wanted} in every row$"):
                ask(column)
        with pytest.raises(TypeError, match=r"^table good: amps is not a word in every row$"):
            table.words("amps", size="12")
        with pytest.raises(TypeError, match=r"^table label_rules: clause is not a word in every row$"):
            book.table("label_rules").words("clause")  # all but one have a clause


class TestBands:
    @pytest.mark.parametrize(
        ("air", "factor", "row"),
        [
            (-20.0, 1.15, "upto 10 degC"),
            (30.0, 1.0, "upto 30 degC"),
            (30.5, 0.96, "upto 35 degC"),
            (35.0, 0.96, "upto 35 degC"),
            (85.0, 0.29, "upto 85 degC"),
        ],
    )
    def test_heat_in_a_gap_goes_to_the_hotter_band(self, book, air, factor, row):
        """Between 30 and 31 °C the hotter band counts (NEC Table 310.15(B)(1))."""
        cell = book.table("ambient_factor").band("c90", air)

        assert (factor, f"table ambient_factor: {row}, c90") == (cell.value, cell.origin)

    def test_heat_beyond_the_table_has_no_factor(self, book):
        """Above the last band, and where the code prints a blank, there is no value."""
        table = book.table("ambient_factor")

        assert table.band("c90", 85.1).value is None
        assert table.band("c90", 85.1).origin == "table ambient_factor: beyond the last row, c90"
        assert table.band("c60", 56.0).value is None

    @pytest.mark.parametrize(
        ("air", "factor"),
        [
            (24.0, 1.02),
            (20.0, 1.02),
            (19.5, 1.04),
            (-0.5, 1.12),
            (-20.0, 1.18),
            (-20.5, 1.2),
            (-40.0, 1.25),
            (25.0, 1.0),
        ],
    )
    def test_cold_in_a_gap_goes_to_the_colder_band(self, book, air, factor):
        """Between −20 and −21 °C the colder band counts (NEC Table 690.7(A))."""
        assert factor == book.table("cold_factor").band("factor", air).value

    def test_a_converted_edge_stays_in_its_band(self, book):
        """−4 °F is −20 °C, even where the conversion is off in its last digits."""
        assert book.table("cold_factor").band("factor", (-4 + 459.67) * 5 / 9 - 273.15).value == 1.18
        assert book.table("cold_factor").band("factor", math.nextafter(-20.0, -21.0)).value == 1.18

    def test_cold_below_the_table_has_no_factor(self, book):
        """Below −40 °C the code's table says nothing."""
        cell = book.table("cold_factor").band("factor", -40.1)

        assert (cell.value, cell.origin) == (None, "table cold_factor: before the first row, factor")

    @pytest.mark.parametrize(
        ("count", "factor"), [(1, 1.0), (3, 1.0), (4, 0.8), (9, 0.7), (10, 0.5), (41, 0.35), (99, 0.35)]
    )
    def test_conductors_are_counted_in_bands(self, book, count, factor):
        """Four to six conductors keep 80 %, and so on (NEC Table 310.15(C)(1))."""
        assert factor == book.table("count_factor").band("factor", count).value

    @pytest.mark.parametrize(
        ("least", "any_device", "breaker"), [(9.84, 10.0, 15.0), (15.0, 15.0, 15.0), (15.1, 20.0, 20.0)]
    )
    def test_bands_can_be_taken_among_some_rows(self, book, least, any_device, breaker):
        """A 10 A fuse is standard, a 10 A breaker is not (NEC 240.6(A))."""
        sizes = book.table("device_sizes")

        assert any_device == sizes.band("rating", least).value
        assert breaker == sizes.band("rating", least, comes_as="any").value

    def test_a_band_among_some_rows_says_so(self, book):
        """The place of a cell names the rows it was chosen among."""
        cell = book.table("device_sizes").band("rating", 13.6, comes_as="any")

        assert cell.origin == "table device_sizes: any, rating 15 A, rating"

    def test_a_band_asked_for_twice_is_the_same(self, book):
        """Any value within a band gives the kept cell; another band, column or choice of rows gives its own."""
        heat, sizes = book.table("ambient_factor"), book.table("device_sizes")

        assert heat.band("c90", 31.0) is heat.band("c90", 34.5)
        assert heat.band("c90", 31.0).value == 0.96
        assert heat.band("c75", 31.0).value == 0.94
        assert heat.band("c90", 36.0).value == 0.91
        assert sizes.band("rating", 0.5) is sizes.band("rating", 1.0)
        assert sizes.band("rating", 1.0).value == 1.0
        assert sizes.band("rating", 1.0, comes_as="any").value == 15.0

    def test_beyond_the_last_row_is_a_band_of_its_own(self, book):
        """However far beyond, it is the same cell without a value; and it stays apart from that of another column."""
        table = book.table("ambient_factor")
        beyond, other = table.band("c90", 85.1), table.band("c75", 400.0)

        assert table.band("c90", 400.0) is beyond
        assert (beyond.value, beyond.unit, beyond.origin) == (
            None,
            "",
            "table ambient_factor: beyond the last row, c90",
        )
        assert other.origin == "table ambient_factor: beyond the last row, c75"
        assert table.band("c90", 85.0).value == 0.29


class TestFigures:
    def test_ambient_factors_follow_the_codes_equation(self, book):
        """Every factor is √((Tc − T)/(Tc − 30)) at the hotter end of its band (NEC 310.15(B)), to two digits."""
        table = book.table("ambient_factor")
        wrong = [
            (row, column)
            for row in table.column("upto")
            for column, rated in (("c60", 60), ("c75", 75), ("c90", 90))
            if (cell := table.band(column, row)).value is not None
            and abs(cell.number - math.sqrt((rated - row) / (rated - 30))) > 0.005 + 1e-9
        ]

        assert wrong == []

    def test_resistance_rises_alike_from_both_ends(self, book):
        """The code's coefficients at 75 °C are the IEC ones at 20 °C carried over, α/(1 + 55 α)."""
        table = book.table("resistance_temperature")
        for material in ("copper", "aluminium"):
            at_20 = table.cell("alpha20", material=material).number

            assert table.cell("alpha75", material=material).number == pytest.approx(
                at_20 / (1 + at_20 * 55), abs=5e-6
            )

    def test_zones_are_steps_of_five_fahrenheit(self, book):
        """Hardiness zones run from −60 °F in steps of 5 °F, and their Celsius figures are conversions."""
        rows = book.table("hardiness_zone").rows

        assert [-60.0 + 5 * number for number in range(26)] == [row[1] for row in rows]
        assert [row for row in rows if abs((row[1] - 32) * 5 / 9 - row[3]) > 0.051] == []
        assert [row[3] for row in rows[1:]] == [row[4] for row in rows[:-1]]

    def test_conductors_resist_more_than_their_metal(self, book):
        """Strands are twisted: resistance times size lies 5 to 17 % above copper's own (IEC 60028), never below."""
        own = book.scalar("copper_resistivity").number
        rows = book.table("resistance_iec").rows
        shares = [each * row[0] / own for row in rows for each in row[1:5]]

        assert min(shares) > 1.04
        assert max(shares) < 1.2


class TestRegisters:
    def test_assumptions_are_about_inputs(self, book):
        """Every assumption stands for an input of the design file, or for one way in which an input is settled."""
        known = {without_parts(field.path) for field in FIELDS}
        others = set(book.assumptions) - known

        assert [path for path in others if path.rpartition(".")[0] not in known] == []

    def test_assumed_words_are_ones_the_input_takes(self, book):
        """An assumed word is one of the input's own choices, an assumed figure within its bounds and in its unit."""
        fields = {without_parts(field.path): field for field in FIELDS}
        odd = []
        for path, assumed in book.assumptions.items():
            field, given = fields.get(path), assumed.given
            if given is None or field is None or field.kind == "device":
                continue  # settled by the design: the text is for reading
            if field.choices:
                possible = given.said.removesuffix(f" {field.unit}") in field.choices
            else:
                possible = field.low is None or field.low <= given.value <= field.high
            if not possible or field.unit != given.unit:
                odd.append(path)

        assert odd == []

    def test_an_assumption_by_table_is_looked_up(self, book):
        """A pointer into a table of one row gives its value; into a table of several, the design must choose."""
        assert (
            book.assumptions["module.voc_coefficient"].given.value,
            book.assumptions["module.voc_coefficient"].given.unit,
        ) == (-0.401, "%/K")
        assert book.assumptions["battery.absorption"].given is None
        assert book.assumptions["run.ambient"].same_as == "site.hottest"

    def test_an_assumption_to_nothing_is_nothing(self, folder):
        """A pointer to a single value that is blank gives no value."""
        (folder / "good.toml").write_text(SINGLE.replace("value = 1", 'value = "-"'), encoding="utf-8")
        (folder / "assumptions.toml").write_text(
            '[[assumption]]\npath = "battery.equalise"\ntable = "alone"\nwhy = "None."\nsafe_side = true\n'
            'standing = "our own choice"\n',
            encoding="utf-8",
        )

        assert read_book(folder, "us-2023").assumptions["battery.equalise"].given is None

    def test_coverage_and_findings_name_each_other(self, book):
        """Every finding stands beside a clause it checks, and no clause claims a finding that is never made."""
        design = read_design(
            '[module]\nvoc = "22 V"\nisc = "5 A"\nvmp = "18 V"\nimp = "4.6 A"\n'
            "[array]\nmodules_in_series = 1\nstrings_in_parallel = 2\n"
        )
        made = {finding.id for finding in assess(design, book).findings}

        assert {finding for clause in book.coverage for finding in clause.findings} == made

    @pytest.mark.parametrize(
        "clause",
        [
            "690.11",
            "690.12",
            "690.15",
            "690.31",
            "690.33",
            "690.41",
            "690.43",
            "690.47",
            "Wind and snow",
            "Lightning and surges",
        ],
    )
    def test_what_is_not_checked_says_why(self, book, clause):
        """Clauses and hazards that need eyes on site are named, with the reason why they are not checked."""
        (found,) = [one for one in book.coverage if one.clause == clause]

        assert found.status == "not checked"
        assert found.why
