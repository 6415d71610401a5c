"""20,000 random and broken inputs: each gives a design or a refusal in plain words, never a traceback.

The inputs are made from fixed seeds, so a failure can be made again: its seed is in the test's name.
"""

import math
import random
import unicodedata
from collections.abc import Callable

import pytest

from calc.model.design import Design
from calc.model.problems import Refused
from calc.read import document_of, read_design, read_document, write_document
from calc.read.fields import FIELDS, Field
from calc.read.sections import SECTIONS

SEEDS = range(20)
EACH = 1000

WHOLE = """
title = "Lambing-shed lights"
[site]
coldest = "-21 degC"
hottest = "36 degC"
latitude = "44 deg"
[module]
voc = "22.4 V"
isc = "6.3 A"
vmp = "18.2 V"
imp = "6.04 A"
voc_coefficient = "-67 mV/degC"
pmax_coefficient = "-0.39 %/degC"
cells = 36
[array]
modules_in_series = 1
strings_in_parallel = 4
mounting = "open rack"
string_fuse = "10 A"
[[coupler]]
inputs = 2
rating = "30 A"
[[run]]
name = "home run"
length = "85 ft"
size = "10 AWG"
insulation = "90 degC"
[controller]
kind = "mppt"
max_voltage = "100 V"
blocks_reverse = true
[battery]
nominal = "12 V"
absorption = "14.6 V"
"""
LINES = WHOLE.strip().split("\n")
NASTY = (
    *("", " ", "nan", "-inf", "0", "-0 V", "1e999 V", "1e-999 V", "9**9**9 V", "22,4 V", "1,000 V", "10 AWG"),
    *("6 mm", "5 ft 6 in", "−5 °C", "-0.3 %/degC", "1e300 m", "12 V\x00", "\x1b[2J", "<script>", "{0}"),
    *(
        "{x.__class__}",
        "%s%n",
        "' or 1=1",
        "🐑",
        "\u202eabc",
        "null",
        "5b",
        "none",
        "mppt",
        "V",
        "%",
        "/",
        "'",
    ),
    *('"', "\\", "٣ V", "Ⅷ V", "½ V", "\n", "\ud800", "x" * 3000, "7" * 400 + " V"),
)
RAW = (
    *("nan", "inf", "-inf", "0", "-1", "1e400", "0xffffffffffffffffffffff", "9" * 50, "9" * 5000, "true"),
    *("false", "[]", "[[]]", "{}", "{ a = { b = { c = 1 } } }", "[1, 'a', [2]]", "2023-01-01", "07:32:00"),
    *("1979-05-27T07:32:00Z", '"""', "'", "''", "[", "{", "22.4 V", "", "0.1", "1_000", '"\\u0000"'),
    *('"\\ud800"', '"\\x"'),
)
LETTERS = "abcVA%°[]{}=\"'\\.,#\n\t 0129-−+e\x00\x1b\u2028\u202eü🐑"


def quoted(random_: random.Random) -> str:
    number = f"{random_.choice((-1, 1)) * 10 ** random_.uniform(-12, 12):.{random_.randint(0, 12)}g}"
    unit = random_.choice(
        ("V", "A", "W", "ft", "m", "degC", "degF", "K", "%", "deg", "%/degC", "mV/K", "AWG", "mm2", "", "xyz")
    )
    return random_.choice((f'"{number} {unit}"', f'"{unit}{number}"', number))


def mutated_letters(random_: random.Random) -> str:
    """A whole file with a few letters taken out, put in or changed."""
    text = list(WHOLE)
    for _ in range(random_.randint(1, 6)):
        place = random_.randrange(len(text))
        text[place : place + random_.randint(0, 3)] = random_.choices(LETTERS, k=random_.randint(0, 2))
    return "".join(text)


def mutated_lines(random_: random.Random) -> str:
    """A whole file with lines lost, doubled, moved or given another value."""
    lines = list(LINES)
    for _ in range(random_.randint(1, 5)):
        place = random_.randrange(len(lines))
        name = lines[place].partition("=")[0]
        change: Callable[[], list[str]] = random_.choice(
            (
                list,
                lambda place=place: [lines[place], lines[place]],
                lambda: [random_.choice(LINES)],
                lambda name=name: [f"{name}= {random_.choice(RAW)}"],
                lambda name=name: [f"{name}= {quoted(random_)}"],
                lambda name=name: [f"{name}= {random_.choice(RAW)}"],
            )
        )
        lines[place : place + 1] = change() or ["#"]
    return "\n".join(lines)


def random_bytes(random_: random.Random) -> bytes:
    """No text at all."""
    return random_.randbytes(random_.randint(0, 200))


def random_value(random_: random.Random, depth: int = 0) -> object:
    """Anything a form, a script or another language could hand over."""
    pool: list[Callable[[], object]] = [
        lambda: random_.choice(NASTY),
        lambda: random_.choice(FIELDS).example,
        lambda: random_.choice((math.nan, math.inf, -math.inf, 1e308, -0.0, 5e-324)),
        lambda: random_.choice((0, -1, 2**63, 10**400, True, False, None)),
        lambda: quoted(random_).strip('"'),
        lambda: [random_value(random_, depth + 1) for _ in range(random_.randint(0, 3))] if depth < 3 else [],
        lambda: random_table(random_, depth + 1) if depth < 3 else {},
    ]
    return random_.choice(pool)()


def random_table(random_: random.Random, depth: int = 0) -> dict[object, object]:
    names = [field.path.rpartition(".")[2] for field in FIELDS] + list(SECTIONS) + list(NASTY) + [7, None]
    return {random_.choice(names): random_value(random_, depth) for _ in range(random_.randint(0, 4))}


def random_document(random_: random.Random) -> object:
    """A document of right names and wrong values, or of anything."""
    if random_.random() < 0.1:
        return random_value(random_)
    document: dict[object, object] = random_table(random_, 2) if random_.random() < 0.3 else {}
    for name, section in SECTIONS.items():
        if not name or random_.random() < 0.4:
            continue
        fields = section.fields
        tables = [
            {
                field: about.example if random_.random() < 0.8 else random_value(random_)
                for field, about in fields.items()
                if random_.random() < 0.7
            }
            for _ in range(random_.randint(1, 3) if section.many else 1)
        ]
        document[name] = (
            (tables if section.many else tables[0]) if random_.random() < 0.9 else random_value(random_)
        )
    return document


def likely_document(random_: random.Random) -> dict[str, object]:
    """A design with values from anywhere inside their bounds: most of them read, the others contradict themselves."""
    document: dict[str, object] = {"module": likely_table(random_, "module", 0.5)}
    document["array"] = likely_table(random_, "array", 0.5)
    for name, section in SECTIONS.items():
        if name and name not in {"module", "array", "string"} and random_.random() < 0.5:
            share = random_.random()
            tables = [likely_table(random_, name, share) for _ in range(random_.randint(1, 3))]
            document[name] = tables if section.many else tables[0]
    return document


def likely_table(random_: random.Random, name: str, share: float) -> dict[str, object]:
    fields = SECTIONS[name].fields
    chosen = [field for field, about in fields.items() if about.required or random_.random() < share]
    table = {field: likely_value(random_, fields[field]) for field in chosen if field != "name"}
    if name == "module":
        voltage, current = 10 ** random_.uniform(-1, 2.9), 10 ** random_.uniform(-2, 3)
        table.update(voc=f"{voltage} V", isc=f"{current} A", pmax=f"{min(voltage * current * 0.75, 2000)} W")
        table.update(
            vmp=f"{voltage * random_.uniform(0.6, 0.99)} V", imp=f"{current * random_.uniform(0.7, 0.99)} A"
        )
    return table


def likely_value(random_: random.Random, about: Field) -> object:
    if about.choices:
        return random_.choice(about.choices) + (f" {about.unit}" if about.unit else "")
    if about.low is None or about.high is None:
        return about.example
    if about.kind == "count":
        return random_.randint(int(about.low), int(about.high))
    return f"{random_.uniform(about.low, about.high)!r} {about.unit}"


MAKERS = (
    mutated_letters,
    mutated_lines,
    mutated_lines,
    random_bytes,
    random_document,
    random_document,
    likely_document,
)


def check(answer: Design | Refused) -> None:
    """A design is sound and can be written and read again; a refusal is readable and harmless."""
    if isinstance(answer, Design):
        numbers = [given.value for given in answer.values.values() if isinstance(given.value, int | float)]
        assert all(math.isfinite(number) for number in numbers)
        assert read_design(write_document(document_of(answer))) == answer
        return
    assert isinstance(answer, Refused)
    assert answer.problems
    for problem in answer.problems:
        harmless(problem.line())
        assert len(problem.said) < 150
        assert min(len(problem.said), len(problem.wanted), len(problem.example)) > 0


def harmless(line: str) -> None:
    """One line of moderate length without anything that steers a terminal or turns the writing round."""
    assert len(line) < 1000
    assert not [letter for letter in line if unicodedata.category(letter) in {"Cc", "Cf", "Cs", "Zl", "Zp"}]


@pytest.mark.parametrize("seed", SEEDS)
def test_random_and_broken_inputs_never_bring_the_reader_down(seed):
    """Mutated files, random bytes and random documents give a design or a readable refusal; both kinds occur."""
    random_ = random.Random(seed)
    designs = 0
    for _ in range(EACH):
        made = random_.choice(MAKERS)(random_)
        answer = read_design(made) if isinstance(made, str | bytes) else read_document(made)
        check(answer)
        designs += isinstance(answer, Design)
    assert EACH / 20 < designs < EACH / 2


@pytest.mark.parametrize(
    "hostile", [*NASTY, "x" * 1_000_000, "\x1b[31m" * 10_000, "<b>" * 50_000, "\u202e" * 1000]
)
@pytest.mark.parametrize(
    "path", ["title", "site.coldest", "module.voc", "array.mounting", "run.size", "site.hardiness_zone"]
)
def test_a_hostile_text_is_shown_short_and_escaped(path, hostile):
    """Wherever markup, escapes or a million letters stand, as a value or as a name, the message stays one safe line."""
    table, _, name = path.rpartition(".")
    for line in ({name: hostile}, {hostile: name}):
        tables = [line] if table == "run" else line
        answer = read_document({table: tables} if table else line)
        assert isinstance(answer, Refused)
        check(answer)


@pytest.mark.parametrize(
    "text",
    [
        "title = " + "[" * 90_000,
        "title = " + "{a=" * 60_000,
        ".".join("a" * 90_000) + " = 1",
        "[" + ".".join("a" * 90_000) + "]",
        "\n".join(f"[{'.'.join('a' * 199)}.x{number}]\ny.z = 1" for number in range(400)),
        "cells = 0x" + "f" * 190_000,
        "cells = " + "9" * 190_000,
        "voc = 1." + "9" * 190_000,
        "[[run]]\n" * 24_000,
        "[[x]]\n" * 30_000,
        "\n".join(f"[x{number}]" for number in range(20_000)),
        "\n".join(f"x{number} = 1" for number in range(16_000)),
        'title = "' + "\\u0041" * 30_000 + '"',
        "\x00" * 199_000,
    ],
    ids=lambda text: f"{text[:20]!r} x{len(text)}",
)
def test_a_file_made_to_do_harm_is_refused(text):
    """Deep nesting, endless numbers and thousands of tables are refused, within the size that is read at all."""
    assert len(text) < 200_000
    check(read_design(text))
