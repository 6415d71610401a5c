"""The meter command with sun and temperatures on the command line."""

import json

import pytest

from tests.terminal.test_check import HOLDS, run


def sheet(*options):
    """The meter sheet as data."""
    done = run("meter", HOLDS, *options, "--json")
    assert (done.returncode, done.stderr) == (0, b"")
    return json.loads(done.stdout)


def test_sun_and_temperatures_come_from_the_command_line():
    """Each is read with its unit; currents go with the sun, which they do where nothing else is changed."""
    strong, weak = sheet("--sun", "800 W/m2", "--air", "68 degF"), sheet("--sun=400 W/m2", "--module=41 degC")

    assert (strong["sun_Wm2"], strong["air_degC"], strong["heat_from"]) == (800, 20, "air")
    assert (weak["sun_Wm2"], weak["module_degC"], weak["heat_from"]) == (400, 41, "module")
    shares = strong["strings"][0]["isc"]["value"] / weak["strings"][0]["isc"]["value"]
    assert shares == pytest.approx(2, rel=0.01)


def test_unknown_sun_is_said_so():
    """Then no current is foretold."""
    assert sheet("--sun", "unknown")["strings"][0]["isc"] is None


def test_the_command_line_goes_before_the_file(tmp_path):
    """What is said of the sun on the command line takes the place of what the file says; the rest stays."""
    file = tmp_path / "readings.toml"
    file.write_text('sun = "300 W/m2"\nair = "10 degC"\n[battery]\nvoltage = "13 V"\n', encoding="utf-8")

    both = sheet(str(file), "--sun", "900 W/m2")

    assert (both["sun_Wm2"], both["air_degC"]) == (900, 10)
    assert both["readings"]["read"]["battery_V"] == 13


def test_options_that_cannot_be_read_are_refused():
    """All of them at once, each with what is wanted, and nothing is printed beside that."""
    done = run("meter", HOLDS, "--sun", "800", "--air", "900 degC")

    assert (done.returncode, done.stdout) == (2, b"")
    told = done.stderr.decode().splitlines()
    assert [line.partition(":")[0] for line in told] == ["--sun", "--air"]
    assert all("; wanted " in line and "; for example " in line for line in told)
