"""The further commands at the terminal: what goes where, in how many columns, in which units, and as data."""

import csv
import io
import json

import pytest

from tests.terminal.test_check import FAILS, HOLDS, OPEN, ROOT, lines, run

COLUMNS = 80
COMMANDS = ("layouts", "faults", "day", "parts", "steps", "meter")
DATA = tuple(name for name in COMMANDS if name != "steps")
REFUSED = "tests/refused/wrong-unit.toml"
DESIGNS = sorted(
    file.relative_to(ROOT).as_posix() for file in (ROOT / "scenarios" / "examples").glob("*.toml")
) + ["scenarios/gallery/long-names.toml"]


@pytest.mark.parametrize("design", DESIGNS)
@pytest.mark.parametrize("command", COMMANDS)
def test_text_fits_a_terminal(command, design):
    """Every command prints something for every worked design, in 80 columns, and says nothing on stderr."""
    done = run(command, design)
    printed = lines(done.stdout)

    assert (done.returncode, done.stderr) == (0, b"")
    assert len(printed) > 3
    assert [line for line in printed if len(line) > COLUMNS or line != line.rstrip()] == []


@pytest.mark.parametrize("design", DESIGNS)
@pytest.mark.parametrize("command", COMMANDS)
def test_plain_terminals_get_plain_letters(command, design):
    """A terminal that knows ASCII alone gets it, with about as many lines, and none that grew too long by being spelled."""
    plain, rich = run(command, design, encoding="ascii"), run(command, design)

    assert plain.returncode == 0
    assert plain.stdout.isascii()
    assert [line for line in lines(plain.stdout) if len(line) > COLUMNS] == []
    assert len(lines(plain.stdout)) == pytest.approx(len(lines(rich.stdout)), rel=0.1, abs=4)


@pytest.mark.parametrize("command", COMMANDS)
def test_a_refused_file_is_told_on_stderr(command):
    """A file that cannot be read gives its problems, exit code 2, and nothing on stdout."""
    done = run(command, REFUSED)

    assert done.returncode == 2
    assert done.stdout == b""
    assert done.stderr.count(b"\n") >= 1


@pytest.mark.parametrize("command", COMMANDS)
def test_a_design_without_a_site_is_no_fault(command):
    """Where the smallest design leaves a question open, the command says what it needs, and is no failure."""
    done = run(command, OPEN)

    assert done.returncode == 0
    assert done.stdout


@pytest.mark.parametrize("design", [HOLDS, FAILS])
@pytest.mark.parametrize("command", DATA)
def test_data_is_the_same_in_both_unit_systems(command, design):
    """As data a command gives one object, the same whatever units the reader asked for, since keys carry their unit."""
    us, metric = run(command, design, "--json"), run(command, design, "--json", "--metric")

    assert isinstance(json.loads(us.stdout), dict)
    assert us.stdout == metric.stdout


@pytest.mark.parametrize("command", ["parts", "steps"])
def test_metric_lengths_are_in_metres(command):
    """With --metric no length is told in feet first."""
    us, metric = run(command, HOLDS), run(command, HOLDS, "--metric")

    assert us.stdout != metric.stdout


def test_parts_as_a_table():
    """The list for a spreadsheet has a line of heads, and on every line as many entries."""
    done = run("parts", HOLDS, "--csv")
    rows = list(csv.reader(io.StringIO(done.stdout.decode())))

    assert len(rows) > 10
    assert {len(row) for row in rows} == {len(rows[0])}
    assert len(rows) - 1 == sum(len(group["rows"]) for group in _groups())


def _groups():
    return [{"rows": json.loads(run("parts", HOLDS, "--json").stdout)["parts"]}]


READINGS = """
sun = "800 W/m2"
air = "77 degF"

[[string]]
name = "1"
voc = "{first}"
[[string]]
name = "2"
voc = "46.6 V"
[[string]]
name = "3"
voc = "46.6 V"
[[string]]
name = "4"
voc = "46.6 V"
"""


@pytest.mark.parametrize(("first", "stop"), [("46.6 V", False), ("-46.6 V", True)])
def test_readings_are_judged(tmp_path, first, stop):
    """Readings of a reversed string say stop; readings as expected do not."""
    file = tmp_path / "readings.toml"
    file.write_text(READINGS.format(first=first), encoding="utf-8")

    done = run("meter", HOLDS, str(file))

    assert (done.returncode, done.stderr) == (0, b"")
    assert ("Stop" in done.stdout.decode()) is stop


def test_readings_that_cannot_be_read_are_refused(tmp_path):
    """A file of readings that is not one is told line by line, like a design."""
    file = tmp_path / "readings.toml"
    file.write_text('sun = "800 gallons"\nmoon = 1\n', encoding="utf-8")

    done = run("meter", HOLDS, str(file))

    assert done.returncode == 2
    assert done.stdout == b""
    assert b"sun" in done.stderr
    assert b"moon" in done.stderr
