"""The terminal door as a person or a script meets it: exit codes, what goes where, 80 columns, plain terminals."""

import io
import json
import os
import subprocess
import sys
from contextlib import chdir, redirect_stderr, redirect_stdout
from functools import cache
from pathlib import Path
from types import SimpleNamespace

import pytest

from calc.__main__ import main

ROOT = Path(__file__).parents[2]
HOLDS = "scenarios/examples/high-tunnel.toml"
TIGHT = "scenarios/examples/bee-yard.toml"
FAILS = "scenarios/examples/roadside-stand.toml"
OPEN = "scenarios/examples/porch-light.toml"


@cache
def run(*arguments, encoding="utf-8", cwd=ROOT):
    """What a command prints and returns, in this process, to a terminal of some encoding."""
    out, err = (io.TextIOWrapper(io.BytesIO(), encoding=encoding, newline="\n") for _ in range(2))
    with chdir(cwd), redirect_stdout(out), redirect_stderr(err):
        try:
            code = main(arguments)
        except SystemExit as stop:
            code = stop.code
        out.flush()
        err.flush()
    return SimpleNamespace(returncode=code, stdout=out.buffer.getvalue(), stderr=err.buffer.getvalue())


def shell(*arguments, encoding="utf-8", cwd=ROOT):
    """The same as a process of its own, as a shell starts it."""
    environment = {**os.environ, "PYTHONIOENCODING": encoding, "PYTHONPATH": str(ROOT)}
    return subprocess.run(
        [sys.executable, "-m", "calc", *arguments], cwd=cwd, env=environment, capture_output=True, check=False
    )


def lines(stream, encoding="utf-8"):
    return stream.decode(encoding).splitlines()


@pytest.mark.parametrize(
    ("files", "code"),
    [
        ((HOLDS,), 0),
        ((TIGHT,), 0),
        ((OPEN,), 0),
        ((FAILS,), 1),
        ((HOLDS, TIGHT), 0),
        ((HOLDS, FAILS, TIGHT), 1),
        (("tests/refused/wrong-unit.toml",), 2),
        ((HOLDS, "tests/refused/wrong-unit.toml"), 2),
        ((FAILS, "no-such-file.toml"), 2),
    ],
)
@pytest.mark.parametrize("form", [(), ("--json",)])
def test_exit_code(files, code, form):
    """0 when nothing fails, 1 when any finding fails, 2 when any file is refused."""
    assert run("check", *files, *form).returncode == code


@pytest.mark.parametrize(
    ("arguments", "code"),
    [
        (("check", HOLDS), 0),
        (("check", FAILS, "--json"), 1),
        (("check", "tests/refused/wrong-unit.toml"), 2),
        (("check", "no-such-file.toml"), 2),
        (("chek",), 2),
    ],
)
@pytest.mark.parametrize("encoding", ["utf-8", "ascii"])
def test_a_process_of_its_own_is_the_same(arguments, code, encoding):
    """Started from a shell, the same code and the same bytes on stdout and stderr."""
    here, there = run(*arguments, encoding=encoding), shell(*arguments, encoding=encoding)

    assert (there.returncode, there.stdout) == (code, here.stdout)
    assert there.stderr == here.stderr


@pytest.mark.parametrize("file", [HOLDS, FAILS, OPEN, "scenarios/gallery/long-names.toml"])
@pytest.mark.parametrize("form", [(), ("--metric",)])
def test_text_fits_80_columns(file, form):
    """Title, verdict, findings, working, assumptions and what was not checked; nothing on stderr."""
    result = run("check", file, *form)
    text = lines(result.stdout)

    assert result.stderr == b""
    assert max(map(len, text)) <= 80
    assert {"Findings", "Working", "Not checked, or only partly"} <= set(text)


def test_text_says_what_matters_first():
    """The title, the verdict in capitals with the finding to look at, then what to fix."""
    text = lines(run("check", FAILS).stdout)

    assert text[0] == "Roadside stand in the dry valley"
    assert text[3].startswith("FAILS. ")
    assert text.index("What to fix") < text.index("Findings") < text.index("Working")
    assert any("With that nothing" in line for line in text)


def test_feet_or_metres():
    """A length is shown in feet unless metres are asked for."""
    us, metric = (run("check", HOLDS, *form).stdout.decode() for form in ((), ("--metric",)))

    assert "40 ft" in us
    assert "12.2 m" in metric
    assert " ft" not in metric


def test_several_files_one_after_the_other():
    """Each under a line of its own."""
    text = lines(run("check", HOLDS, TIGHT).stdout)

    assert text.count("#" * 80) == 1
    assert "High tunnel fans" in text
    assert "Bee yard scales and fence" in text


def test_json_of_one_file_and_of_several():
    """One assessment, or a list of them in the order of the files."""
    one = json.loads(run("check", HOLDS, "--json").stdout)
    several = json.loads(run("check", HOLDS, FAILS, "--json").stdout)

    assert one["schema"] == "arraybook/assessment/1"
    assert [found["verdict"] for found in several] == ["holds", "fails"]
    assert several[0] == one


def test_problems_one_a_line_on_stderr():
    """Every problem: path, what was said, what is wanted, an example; nothing on stdout."""
    result = run("check", "tests/refused/zero-and-negative.toml")
    problems = lines(result.stderr)

    assert result.stdout == b""
    assert len(problems) > 3
    for problem in problems:
        path, _, rest = problem.partition(": ")
        assert path
        assert rest.startswith("said ")
        assert "; wanted " in rest
        assert "; for example " in rest


@pytest.mark.parametrize("form", [(), ("--json",)])
def test_one_refused_file_of_several_prints_nothing_half(form):
    """No assessment of the others either, and each problem says which file it is in."""
    result = run("check", HOLDS, "tests/refused/wrong-unit.toml", *form)

    assert result.stdout == b""
    assert all(line.startswith("tests/refused/wrong-unit.toml: ") for line in lines(result.stderr))


def test_a_missing_file_and_a_folder_are_refused_kindly():
    """One line, no traceback."""
    for path in ("no-such-file.toml", "scenarios"):
        result = run("check", path)
        (problem,) = lines(result.stderr)
        assert path in problem
        assert "wanted a file that can be read" in problem
        assert (result.returncode, result.stdout) == (2, b"")


@pytest.mark.parametrize(
    "content",
    [b"\x89PNG\r\n\x1a\n\x00\x00", b"", b"\xff\xfe[\x00m\x00", b"a = 1\n" * 400_000, b"=" * 1000, b"[[[["],
)
def test_a_file_that_is_no_design_is_refused_kindly(tmp_path, content):
    """A picture, nothing, another encoding, megabytes, rubbish: a line or more that says so, exit 2."""
    file = tmp_path / "design.toml"
    file.write_bytes(content)
    result = run("check", str(file))

    assert (result.returncode, result.stdout) == (2, b"")
    assert b"Traceback" not in result.stderr
    assert all("; wanted " in line for line in lines(result.stderr))


def test_a_design_from_elsewhere(tmp_path):
    """Run from any folder, with a path to the file; without a title the file's name serves."""
    file = tmp_path / "shed.toml"
    text = "\n".join(
        line for line in (ROOT / OPEN).read_text("utf-8").splitlines() if not line.startswith("title")
    )
    file.write_text(text, encoding="utf-8")
    result = shell("check", "shed.toml", cwd=tmp_path)

    assert result.returncode == 0
    assert lines(result.stdout)[0] == "shed"


@pytest.mark.parametrize("encoding", ["ascii", "latin-1", "cp437"])
def test_a_terminal_that_knows_little(encoding):
    """Degrees, ohms and minus signs are spelled in ASCII, not as question marks, and 80 columns are kept."""
    result = run("check", HOLDS, encoding=encoding)
    text = lines(result.stdout, encoding)

    assert result.returncode == 0
    assert all(line.isascii() for line in text)
    assert max(map(len, text)) <= 80
    assert result.stdout.count(b"?") == run("check", HOLDS).stdout.count(b"?")
    assert any("degC" in line for line in text)


def test_json_for_a_terminal_that_knows_little():
    """The same document, whatever the encoding of the terminal."""
    plain, full = (run("check", HOLDS, "--json", encoding=encoding).stdout for encoding in ("ascii", "utf-8"))

    assert json.loads(plain) == json.loads(full)


def test_problems_for_a_terminal_that_knows_little(tmp_path):
    """A name that the terminal cannot spell does not bring the door down."""
    file = tmp_path / "design.toml"
    file.write_text('[module]\nvoc = "22,4 Ω – “volts”"\n', encoding="utf-8")
    result = run("check", str(file), encoding="ascii")

    assert result.returncode == 2
    assert b"Traceback" not in result.stderr
    assert result.stderr.isascii()


@pytest.mark.parametrize("arguments", [(), ("check",), ("chek", HOLDS), ("check", HOLDS, "--yaml")])
def test_a_wrong_command_says_how(arguments):
    """Usage on stderr, exit 2."""
    result = run(*arguments)

    assert (result.returncode, result.stdout) == (2, b"")
    assert b"usage: python -m calc" in result.stderr


def test_help():
    """Names the commands and what they do."""
    result = run("--help")

    assert result.returncode == 0
    assert b"check" in result.stdout
