"""The text of a design file as a document of tables, or what keeps it from being read as one."""

import re
import tomllib
from collections.abc import Mapping

from calc.read.words import Mistake, Phrase, Wrong, plain

LIMIT = 200_000
MOST_DOTS = 200
"""In one line. A name of thousands of parts takes the parser minutes and gigabytes."""
POSITION = re.compile(r"\(at line (\d+), column (\d+)\)")
CURLY = re.compile("[“”„«»]")

LINE = 'voc = "22.4 V"'
TABLE = "[module]"
TEXT = 'label = "110 W, 36 cells"'
RUNS = "[[run]]"

# What the parser says (the start of its message), the sentence that says it plainly, and a right line.
PLAINLY: tuple[tuple[str, str, str], ...] = (
    (r"Illegal character '\\n'|Unterminated string|Expected '\"|Expected \"'", "open-quote", LINE),
    (r"Illegal character", "control", TEXT),
    (r"Unescaped|Escaped character|Invalid hex", "backslash", TEXT),
    (r"Expected newline|Invalid value|Invalid date", "quotes", LINE),
    (r"Expected '='|Invalid statement|Invalid initial character", "equals", LINE),
    (r"Expected '\]", "header", TABLE),
    (r"Cannot overwrite|Duplicate inline", "name-twice", LINE),
    (r"Cannot declare|Cannot mutate|Cannot redefine", "table-twice", RUNS),
    (r"Unclosed", "bracket", TABLE),
)


def read_toml(text: str | bytes) -> Mapping[str, object] | Mistake:
    """The tables of a design file; refuses (Mistake) what is too large, not text, not TOML or made to do harm."""
    if len(text) > LIMIT:
        megabytes = Phrase("size", {"megabytes": f"{len(text) / 1e6:.1f}"})
        return _file(megabytes, "too-large", LINE, limit=f"{LIMIT // 1000}")
    try:
        text = text.decode("utf-8") if isinstance(text, bytes) else text.encode("utf-8").decode("utf-8")
    except UnicodeDecodeError as error:
        return _file(Phrase("bytes", {"place": str(error.start + 1)}), "not-utf8", LINE)
    except UnicodeEncodeError as error:
        return _file(Phrase("bytes", {"place": str(error.start + 1)}), "not-unicode", LINE)
    return _parsed(text.removeprefix("\ufeff"))


def _parsed(text: str) -> Mapping[str, object] | Mistake:
    for number, line in enumerate(text.split("\n"), 1):
        if line.count(".") > MOST_DOTS:
            return _file(_line(number, 1, line), "deep", LINE)
    try:
        return tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        return _plainly(str(error), text)
    except RecursionError:
        return _file(Phrase("deep"), "deep", LINE)
    except ValueError:  # a whole number of more digits than Python turns into one
        return _file(Phrase("large"), "huge", LINE)


def _plainly(message: str, text: str) -> Mistake:
    """A parser's message in plain words, with the line it is about."""
    lines = text.replace("\r\n", "\n").split("\n")
    found = POSITION.search(message)
    if found:
        line = lines[int(found[1]) - 1]
        said = _line(int(found[1]), int(found[2]), line)
    else:
        last = max((number for number, line in enumerate(lines) if line.strip()), default=0)
        line = lines[last]
        said = Phrase("end", {"line": str(last + 1), "text": plain(line.strip())})
    code, example = next(
        ((code, example) for start, code, example in PLAINLY if re.match(start, message)), ("toml", LINE)
    )
    if code == "quotes" and CURLY.search(line):
        code = "smart-quotes"
    return _file(said, code, example)


def _line(number: int, column: int, line: str) -> Phrase:
    return Phrase("line", {"line": str(number), "column": str(column), "text": plain(line.strip())})


def _file(said: Phrase, code: str, example: str, **values: str) -> Mistake:
    return Mistake("", (), said, Wrong(f"file.{code}", values), example)
