"""The golden assessments: one canonical JSON for each design file, and which verdicts differ from the last ones.

Run by ``scripts/golden``; the tests beside this compare byte for byte.
"""

import json
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

from calc import Refused, as_json, check, load_book, read_design

HERE = Path(__file__).parent
SCENARIOS = HERE.parents[1] / "scenarios"
FOLDERS = ("examples", "gallery")
WHOLE = ("whole design", "")
NONE = "none"
NO_HASH = "left out"
HEADER = ("design", "finding", "part", "was", "is")

Row = tuple[str, str, str, str, str]


def designs() -> list[Path]:
    """Every design file that has a golden assessment."""
    return [file for folder in FOLDERS for file in sorted((SCENARIOS / folder).glob("*.toml"))]


def golden_of(file: Path) -> Path:
    """Where the golden assessment of a design file is kept."""
    return HERE / file.parent.name / f"{file.stem}.json"


def fresh(file: Path) -> str:
    """The assessment of a design file as it comes out now.

    The hash of the tables is left out: it changes with every edit of any table, also of one that no design here uses.
    What a table's number changes shows in the numbers themselves.
    """
    design = read_design(file.read_text(encoding="utf-8"))
    if isinstance(design, Refused):
        raise SystemExit(f"{file} is refused:\n" + "\n".join(problem.line() for problem in design.problems))
    found = check(design, load_book())
    return as_json(replace(found, rules_hash=NO_HASH))


def verdicts(text: str) -> dict[tuple[str, str], str]:
    """The verdict of each finding by id and part, and of the whole."""
    found = json.loads(text) if text else {"findings": []}
    whole = {WHOLE: found["verdict"]} if "verdict" in found else {}
    return whole | {(one["id"], one["part"]): one["verdict"] for one in found["findings"]}


def changed(name: str, old: str, new: str) -> Iterator[Row]:
    """One row for each verdict that is another, is new, or is gone; a design that is new or gone has one row."""
    before, after = verdicts(old), verdicts(new)
    for key in {**before, **after} if before and after else (WHOLE,):
        was, now = before.get(key, NONE), after.get(key, NONE)
        if was != now:
            yield (name, *key, was, now)


def table(rows: list[Row]) -> str:
    """Rows under their header, each column as wide as its widest entry."""
    widths = [max(len(row[place]) for row in (HEADER, *rows)) for place in range(len(HEADER))]
    lines = [HEADER, tuple("-" * width for width in widths), *rows]
    return "\n".join(
        "  ".join(f"{text:<{width}}" for text, width in zip(line, widths, strict=True)).rstrip()
        for line in lines
    )


def main() -> None:
    """Write every golden assessment anew, remove those without a design, and print what changed."""
    rows: list[Row] = []
    written = 0
    kept = {golden_of(file) for file in designs()}
    for old in sorted(HERE.glob("*/*.json")):
        if old not in kept:
            rows += changed(old.stem, old.read_text(encoding="utf-8"), "")
            old.unlink()
    for file in designs():
        path, new = golden_of(file), fresh(file)
        old_text = path.read_text(encoding="utf-8") if path.is_file() else ""
        if new != old_text:
            path.parent.mkdir(exist_ok=True)
            path.write_text(new, encoding="utf-8", newline="\n")
            written += 1
            rows += changed(file.stem, old_text, new)
    print(f"{len(kept)} golden assessments, {written} written anew.")
    print(
        f"Changed verdicts (each is a line of the changelog, but for a design that is new):\n\n{table(rows)}"
        if rows
        else "No verdict changed."
    )


if __name__ == "__main__":
    main()
