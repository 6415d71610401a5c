"""Which Python the environment is made from."""

import sys
from pathlib import Path

import pytest

from floor import quickest
from floor.quickest import Found, chosen

RUNNING, OTHER, THIRD = Path("running"), Path("other"), Path("third")


@pytest.mark.parametrize(
    ("running", "others", "best"),
    [
        (1.0, {}, RUNNING),
        (1.0, {OTHER: 0.97}, RUNNING),
        (1.0, {OTHER: 0.9}, OTHER),
        (1.0, {OTHER: 0.9, THIRD: 0.8}, THIRD),
        (None, {OTHER: 5.0, THIRD: 4.0}, THIRD),
        (None, {}, None),
    ],
)
def test_another_is_taken_where_it_is_clearly_quicker_or_the_only_one(running, others, best):
    """A few per cent may be chance, and the one that runs is known to work."""
    found = None if running is None else Found(RUNNING, running)

    assert chosen(found, [Found(path, seconds) for path, seconds in others.items()]) == best


def test_a_python_is_asked_what_it_can_do():
    """An environment is not made from another environment, which is what the tests run in; its base will do."""
    base = Path(sys.base_prefix) / "bin" / "python{}.{}".format(*quickest.VERSION)

    assert sys.prefix != sys.base_prefix
    assert quickest._asked(Path(sys.executable)) is None
    found = quickest._asked(base)
    assert found is not None
    assert found.path == base
    assert found.seconds > 0.0


def test_what_does_not_answer_is_left_out(tmp_path):
    """A name that is no program, a program that fails, and one that says something else."""
    broken = tmp_path / "python3"
    broken.write_text("#!/bin/sh\nexit 3\n")
    broken.chmod(0o755)

    assert quickest._asked(tmp_path / "nothing") is None
    assert quickest._asked(broken) is None
    broken.write_text("#!/bin/sh\necho welcome\n")
    assert quickest._asked(broken) is None


def test_another_version_is_left_out(tmp_path):
    """The packages of the lock are those of one version."""
    older = tmp_path / "python3"
    older.write_text("#!/bin/sh\necho '[\"/old/python3\", [3, 1], true, 0.001]'\n")
    older.chmod(0o755)

    assert quickest._asked(older) is None


def test_each_python_on_the_path_is_looked_at_once(tmp_path, monkeypatch):
    """Two names of one program are one Python; the running one is known already."""
    for folder in ("one", "two"):
        (tmp_path / folder).mkdir()
    real = tmp_path / "one" / "python3"
    real.write_text("#!/bin/sh\n")
    real.chmod(0o755)
    (tmp_path / "two" / "python3").symlink_to(real)
    (tmp_path / "one" / "python{}.{}".format(*quickest.VERSION)).symlink_to(sys.executable)
    monkeypatch.setenv("PATH", f"{tmp_path / 'one'}::{tmp_path / 'two'}")

    assert list(quickest._on_path()) == [real]
