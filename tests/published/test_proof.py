"""The prover itself: it sees a figure that is off by a digit, and refuses case files that prove nothing."""

import re

import pytest

from calc.proof import ProofError, prove
from calc.tables import load_book

SOURCE = '[source]\nkey = "own-choice"\n'
HEAD = 'id = "X-1"\nname = "Odd"\nwhere = "nowhere"\n'
DESIGN = '''design = """
[module]
voc = "22 V"
isc = "5.46 A"
vmp = "18 V"
imp = "5 A"

[array]
modules_in_series = 1
strings_in_parallel = 3
"""
'''
COLUMNS = 'table = "ampacity_raceway"\nmatch = { material = "copper" }\ncolumns = ["size", "c90"]\nkeys = ["size"]\n'


def proof(kind, body, head=HEAD):
    return prove(f"{SOURCE}\n[[{kind}]]\n{head}{body}", load_book())


def only(kind, body):
    (row,) = proof(kind, body)
    return row


class TestFigures:
    @pytest.mark.parametrize(
        ("printed", "agrees"),
        [
            ("8.53 A", True),
            ("8.5 A", True),
            ("9 A", True),
            ("8.52 A", False),
            ("8.54 A", False),
            ("8.5312 A", True),
            ("8.5311 A", False),
        ],
    )
    def test_half_a_unit_of_the_last_digit_decides(self, printed, agrees):
        """5.46 A × 1.25 × 1.25 is 8.53125 A: the printed digits say how close a figure must be."""
        assert (
            only("case", f'{DESIGN}expect = {{ current_design_string_A = "{printed}" }}\n').agrees is agrees
        )

    def test_ours_is_told_with_one_digit_more(self):
        """A reader sees by how much two figures differ: ours has one decimal more than the printed one."""
        row = only("case", f'{DESIGN}expect = {{ current_design_string_A = "8.5 A" }}\n')

        assert (row.what, row.printed, row.ours) == ("current_design_string_A", "8.5 A", "8.53 A")

    def test_another_unit_is_converted(self):
        """A figure printed in another unit of the same kind is compared in its own unit."""
        run = '[[run]]\nname = "line"\nlength = "100 ft"\nsize = "10 AWG"\n"""\n'
        design = DESIGN.removesuffix('"""\n') + run
        expect = 'expect = { "run.line.resistance_per_length_ohm_per_km" = "1.24 ohm/kft" }\n'

        assert only("case", design + expect).agrees

    def test_a_wider_tolerance_is_taken_with_its_reason(self):
        """A source that rounds on the way may be further off, when the note says so."""
        expect = 'expect = { current_design_string_A = "8.52 A" }\nwiden = { current_design_string_A = "0.02 A" }\n'
        row = only("case", f'{DESIGN}{expect}note = "It rounds."\n')

        assert row.agrees
        assert row.note == "It rounds."

    def test_a_wrong_answer_must_not_be_ours(self):
        """A published answer that is wrong agrees when ours differs, and not when ours is the same."""
        same = only("case", f'{DESIGN}wrong = {{ current_design_string_A = "8.53 A", why = "No." }}\n')
        other = only("case", f'{DESIGN}wrong = {{ current_design_string_A = "6.83 A", why = "No." }}\n')

        assert (same.agrees, same.must_differ, same.note) == (False, True, "No.")
        assert (other.agrees, other.must_differ, other.note) == (True, True, "No.")

    def test_what_was_not_worked_out_does_not_agree(self):
        """A quantity that the design does not lead to is nothing, and agrees with no figure."""
        row = only("case", f'{DESIGN}expect = {{ vmp_hot_at_controller_V = "18 V" }}\n')

        assert (row.ours, row.agrees) == ("nothing", False)

    @pytest.mark.parametrize(("printed", "agrees"), [("true", False), ("false", True)])
    def test_yes_and_no_are_compared(self, printed, agrees):
        """Three strings of 5.46 A push 13.65 A back, which a 15 A module may take: no fuse."""
        design = DESIGN.replace('imp = "5 A"\n', 'imp = "5 A"\nmax_series_fuse = "15 A"\n')

        assert only("case", f"{design}expect = {{ string_fuse_needed = {printed} }}\n").agrees is agrees

    @pytest.mark.parametrize(
        ("verdict", "part", "agrees"),
        [
            ("does not apply", "", True),
            ("holds", "", False),
            ("does not apply", "strings", True),
            ("does not apply", "roof", False),
        ],
    )
    def test_verdicts_are_compared(self, verdict, part, agrees):
        """A finding's verdict is compared, of all its parts or of one."""
        finding = f'finding = {{ id = "unlike-strings", verdict = "{verdict}", part = "{part}" }}\n'

        assert only("case", DESIGN + finding).agrees is agrees


class TestTables:
    def test_cells_must_be_the_very_same(self):
        """A cell that is off, or that ours does not have, does not agree."""
        right, off, missing = proof("cells", COLUMNS + 'rows = [["10", 40], ["8", 56], ["18", 14]]\n')

        assert (right.agrees, right.printed, right.ours) == (True, "40 A", "40 A")
        assert (off.agrees, off.printed, off.ours) == (False, "56 A", "55 A")
        assert (missing.agrees, missing.ours) == (False, "nothing")

    def test_a_blank_cell_must_be_blank(self):
        """Where the source prints nothing, ours must have nothing."""
        body = 'table = "ambient_factor"\ncolumns = ["upto", "c60", "c75"]\nkeys = ["upto"]\nrows = [[60, "-", "-"]]\n'
        c60, c75 = proof("cells", body)

        assert (c60.agrees, c75.agrees) == (True, False)

    def test_a_bare_list_is_compared_by_its_entries(self):
        """A table of one column agrees where the entry is in it."""
        body = 'table = "fuse_sizes_gpv"\ncolumns = ["rating"]\nkeys = ["rating"]\nrows = [[15], [17]]\n'

        assert [row.agrees for row in proof("cells", body)] == [True, False]

    def test_superseded_cells_must_differ(self):
        """The cells named under not_ours must be other than printed; the rest must be the same."""
        rows = proof(
            "cells",
            COLUMNS
            + 'rows = [["3", 110], ["2", 130]]\nnot_ours = [["3", "c90"], ["2", "c90"]]\nwhy = "Old."\n',
        )

        assert [(row.agrees, row.must_differ) for row in rows] == [(True, True), (False, True)]

    def test_an_assumption_is_compared(self):
        """A figure can be held against what is taken when nobody gives it."""
        assert only("value", 'assumption = "module.noct"\nexpect = "49.4 degC"\n').agrees
        assert not only("value", 'assumption = "module.noct"\nexpect = "47 degC"\n').agrees
        assert only("value", 'assumption = "battery.lowest"\nexpect = "11.5 V"\n').ours == "nothing"

    def test_a_look_up_is_compared(self):
        """A figure can be held against what a table answers, by band or by row."""
        assert only(
            "lookup", 'table = "device_sizes"\nat = 25.4\ncolumn = "rating"\nexpect = "30 A"\n'
        ).agrees
        exact = 'table = "small_conductor"\nmatch = { material = "copper", size = "12" }\ncolumn = "device"\n'
        assert only("lookup", exact + 'expect = "20 A"\n').agrees
        assert not only("lookup", exact + 'expect = "25 A"\n').agrees

    def test_a_clause_must_have_its_place(self):
        """A clause that nobody considered does not agree."""
        assert only("clause", 'clause = "690.12"\nsays = "Rapid shutdown."\n').agrees
        assert not only("clause", 'clause = "690.99"\nsays = "Nothing."\n').agrees

    def test_a_sum_is_worked_out(self):
        """A formula of the source's own is worked out with its own figures."""
        body = 'formula = "ceil(power / (n * v))"\ngiven = { power = 386, n = 3, v = 70.8 }\n'

        assert only("sum", body + 'expect = "2"\n').agrees
        assert not only("sum", body + 'expect = "3"\n').agrees


class TestRefusals:
    @pytest.mark.parametrize(
        ("kind", "body", "message"),
        [
            (
                "guess",
                "",
                "[[guess]] is not a kind of case; wanted one of: cells, value, lookup, sum, clause, case",
            ),
            (
                "value",
                'key = "roof_adder"\nexpect = "33 K"\nhue = 1\n',
                "X-1: Odd: does not know hue; wanted no keys but those of [[value]]",
            ),
            (
                "value",
                'key = "weather"\nexpect = "33 K"\n',
                "X-1: Odd: the rule book us-2023 has no single value 'weather'",
            ),
            (
                "value",
                'key = "roof_adder"\nexpect = "about 33"\n',
                "X-1: Odd: 'about 33' is not a figure; wanted digits and a unit, such as '8.52 A'",
            ),
            (
                "value",
                'key = "copper_resistivity"\nexpect = "17.241 ohm"\n',
                "X-1: Odd: copper_resistivity is in 'ohm.mm2/km'; wanted '17.241 ohm' in the same unit",
            ),
            (
                "value",
                'key = "roof_adder"\nexpect = "33 V"\n',
                "X-1: Odd: K is a temperature difference, V is a voltage: one cannot be read as the other",
            ),
            (
                "lookup",
                'table = "weather"\nexpect = "1"\n',
                "X-1: Odd: the rule book us-2023 has no table 'weather'",
            ),
            (
                "value",
                'source = "hearsay"\nkey = "roof_adder"\nexpect = "33 K"\n',
                "X-1: Odd: source is 'hearsay'; wanted a key of sources.toml",
            ),
            (
                "lookup",
                'table = "device_sizes"\nat = 9\ncolumn = "rating"\nexpect = "10 A"\nwrong = "15 A"\n',
                "X-1: Odd: calls an answer wrong; wanted the reason under why",
            ),
            (
                "case",
                DESIGN + 'wrong = { isc_array_A = "1 A" }\n',
                "X-1: Odd: calls an answer wrong; wanted the reason under why",
            ),
            (
                "case",
                DESIGN + 'expect = { isc_array_A = "16 A" }\nwiden = { isc_array_A = "1 A" }\n',
                "X-1: Odd: widens a tolerance; wanted the reason under note",
            ),
        ],
    )
    def test_a_case_that_proves_nothing_is_refused(self, kind, body, message):
        """A case file that is not one is refused with the case's name and what is wanted."""
        with pytest.raises(ProofError, match=f"^{re.escape(message)}$"):
            proof(kind, body)

    def test_a_case_without_its_place_is_refused(self):
        """A case that does not say where in the source it stands cannot be looked up."""
        with pytest.raises(ProofError, match=r"^X-1: Odd: has no where$"):
            proof("value", 'key = "roof_adder"\nexpect = "33 K"\n', HEAD.replace('where = "nowhere"\n', ""))

    def test_a_design_that_is_refused_is_named(self):
        """A case whose design cannot be read says what is wrong with it."""
        with pytest.raises(ProofError, match=r"^X-1: Odd: module\.voc: said .+; wanted .+; for example"):
            proof("case", DESIGN.replace("22 V", "22 bananas") + 'expect = { isc_array_A = "16 A" }\n')
