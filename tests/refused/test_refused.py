"""Broken design files, one for each kind of mistake, and the whole of what is said about each.

The line printed for a problem is ``path: said ...; wanted ...; for example ...``, as the fixed interface has it.
"""

import tomllib
from collections import defaultdict
from pathlib import Path

import pytest

from calc.model.problems import Refused
from calc.read import read_design, read_document, text, words

FOLDER = Path(__file__).parent
FILES = sorted(FOLDER.glob("*.toml"))
WHOLE = "file:"
READABLE = [file for file in FILES if WHOLE not in file.with_suffix(".expected").read_text("utf-8")]
"""Files with mistakes in single lines; where the file as a whole is refused there is no line to put right."""
UNREACHABLE = {"file.toml"}
"""Said only about a message of a parser newer than those known here; a test of its own brings it about."""


def refused(content: str | bytes) -> Refused:
    answer = read_design(content)
    assert isinstance(answer, Refused)
    return answer


@pytest.mark.parametrize("file", FILES, ids=lambda file: file.stem)
def test_a_broken_file_is_refused_with_the_whole_message(file):
    """Every problem of the file is told at once, in the file's order, in exactly these words."""
    told = "".join(problem.line() + "\n" for problem in refused(file.read_bytes()).problems)
    assert told == file.with_suffix(".expected").read_text("utf-8")


@pytest.mark.parametrize("file", READABLE, ids=lambda file: file.stem)
def test_an_example_put_in_place_takes_the_problem_away(file):
    """The answer offered as an example is a right one: with it, its line is no longer refused."""
    for problem in refused(file.read_bytes()).problems:
        document = tomllib.loads(file.read_text("utf-8"))
        if not put_in_place(document, problem):
            continue
        answer = read_document(document)
        again = answer.problems if isinstance(answer, Refused) else ()
        assert problem.path not in {other.path for other in again}, problem.line()


def put_in_place(document, problem) -> bool:
    """Set the example into the document where the problem is; tables and unknown names have no such place."""
    section, *rest = problem.path.split(".")
    if problem.example.startswith("[") or "=" in problem.example:
        return False
    if section == "run":
        name, _, field = problem.path.removeprefix("run.").rpartition(".")
        names = [" ".join(str(run.get("name", "")).split()) for run in document["run"]]
        place = int(name.removeprefix("run ")) - 1 if name not in names else names.index(name)
        table = document["run"][place]
    elif section == "string":
        table = document["string"][int(rest[0]) - 1]
        table = table["module"] if len(rest) > 2 else table
        field = rest[-1]
    else:
        table = document.setdefault(section, {}) if rest else document
        field = rest[-1] if rest else section
    table[field] = tomllib.loads(f"x = {problem.example}")["x"]
    return True


def test_a_file_of_ten_megabytes_is_refused_by_its_size_alone(monkeypatch):
    """A huge file is never handed to the parser."""
    monkeypatch.setattr(text.tomllib, "loads", lambda _: pytest.fail("the parser was called"))
    for content in ("# " + "x" * 10_000_000, b"# " + b"x" * 10_000_000):
        (problem,) = refused(content).problems
        assert problem.line() == (
            "file: said a file of 10.0 MB; wanted a design file of at most 200 kB (one that works has about 2 kB); "
            'for example voc = "22.4 V"'
        )


def test_half_a_character_is_refused():
    """A lone surrogate, which a browser's text can hold and no file can, is refused."""
    (problem,) = refused('title = "\ud83d"').problems
    assert problem.line() == (
        "file: said a byte that is not text, at place 10; wanted plain text without broken characters; "
        'for example voc = "22.4 V"'
    )


def test_a_parser_message_not_known_here_still_gets_a_plain_answer(monkeypatch):
    """A newer parser may say something new; the answer then names the line and what a design file looks like."""

    def complain(_):
        raise tomllib.TOMLDecodeError("Something new (at line 2, column 3)")

    monkeypatch.setattr(text.tomllib, "loads", complain)
    (problem,) = refused("[module]\nvoc ~ 22\n").problems
    assert problem.line() == (
        "file: said line 2, column 3: voc ~ 22; wanted a design file in TOML: tables in square brackets, "
        'and lines such as the example below them; for example voc = "22.4 V"'
    )


def test_something_that_is_no_table_is_refused():
    """A form that sends a list or nothing gets the same answer as an empty file."""
    for document in ({}, [], None):
        answer = read_document(document)
        assert isinstance(answer, Refused)
        assert answer.problems[0].wanted.startswith("a design: at least a [module] table")


def test_every_sentence_of_the_catalogue_is_said_by_some_broken_file(monkeypatch):
    """No sentence is left over, and none is missing: each one stands in the message of a file here."""
    said = defaultdict(set)
    catalogue = words.sentences()

    class Noting(dict):
        def __init__(self, group):
            super().__init__(catalogue[group])
            self.group = group

        def __getitem__(self, code):
            said[self.group].add(code)
            return super().__getitem__(code)

    noting = {group: Noting(group) for group in catalogue}
    monkeypatch.setattr(words, "sentences", lambda _="en": noting)
    for file in FILES:
        refused(file.read_bytes())
    refused("x" * 1_000_000)
    refused('title = "\ud83d"')
    mistakes = {"file", "name", "value", "size", "together"}
    unsaid = {f"{group}.{code}" for group in mistakes for code in set(catalogue[group]) - said[group]}
    assert unsaid == UNREACHABLE
