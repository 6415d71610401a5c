"""The terminal door: ``python -m calc check FILE… [--json]``.

Exit code 0 when nothing fails, 1 when any finding fails, 2 when a file is refused (then nothing is printed but what is
wrong with it, one problem a line, on stderr).
"""

import argparse
import os
import sys
from collections.abc import Sequence
from importlib.util import find_spec
from pathlib import Path
from typing import TYPE_CHECKING, TextIO

if TYPE_CHECKING:
    from calc import Assessment, Design, Refused

ROOT = Path(__file__).resolve().parent.parent


def _use_own_environment() -> None:
    """Where the libraries are not installed for this Python, go on with the environment the scripts made."""
    if find_spec("pint") is None:
        for python in (ROOT / ".venv/bin/python", ROOT / ".venv/Scripts/python.exe"):
            if python.exists() and Path(sys.prefix) != ROOT / ".venv":
                os.execv(python, [str(python), "-m", "calc", *sys.argv[1:]])  # noqa: S606  # our own interpreter
        sys.exit(
            "calc needs the library pint: run python3 scripts/test once, it sets everything up; then run this again"
        )


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one command of the terminal door and return its exit code."""
    parser = argparse.ArgumentParser(
        prog="python -m calc", description="Check small solar arrays that charge batteries."
    )
    commands = parser.add_subparsers(dest="command", required=True, metavar="COMMAND")
    one = commands.add_parser("check", help="findings for each design file, with the working")
    one.add_argument("files", nargs="+", metavar="FILE", help="design files (TOML)")
    one.add_argument(
        "--json", action="store_true", help="print the assessment as JSON (a list for several files)"
    )
    one.add_argument("--metric", action="store_true", help="show metres instead of feet")
    given = parser.parse_args(arguments)
    return _check(given.files, json=given.json, system="metric" if given.metric else "us")


def _check(files: Sequence[str], *, json: bool, system: str) -> int:
    from calc import Assessment, Refused, as_text, check, load_book
    from calc.model.assessment import Verdict

    assessments: list[tuple[str, Assessment]] = []
    refused = False
    for file in files:
        design = _read(file)
        if isinstance(design, Refused):
            refused = True
            for problem in design.problems:
                _say((f"{file}: " if len(files) > 1 else "") + problem.line(), sys.stderr)
        else:
            assessments.append((file, check(design, load_book(design.text("site.rules") or "us-2023"))))
    if refused:
        return 2
    if json:
        _say_json([assessment for _, assessment in assessments])
    else:
        plain = not (sys.stdout.encoding or "").lower().startswith("utf")
        texts = [as_text(one, Path(file).stem, system=system, ascii_only=plain) for file, one in assessments]
        _say(("\n" + "#" * 80 + "\n\n").join(texts).rstrip("\n"), sys.stdout)
    return int(any(one.verdict is Verdict.FAILS for _, one in assessments))


def _read(file: str) -> "Design | Refused":
    from calc import InputProblem, Refused, read_design

    try:
        return read_design(Path(file).read_bytes())
    except OSError as error:
        wanted = f"a file that can be read ({(error.strerror or 'it cannot').lower()})"
        return Refused((InputProblem("", file, wanted, "scenarios/examples/stock-water-pump.toml"),))


def _say_json(assessments: "list[Assessment]") -> None:
    import json

    from calc.render.as_json import as_json, as_plain

    if len(assessments) == 1:
        text = as_json(assessments[0])
    else:
        text = json.dumps(
            [as_plain(one) for one in assessments], indent=1, ensure_ascii=False, allow_nan=False
        )
    if not (sys.stdout.encoding or "").lower().startswith("utf"):
        text = json.dumps(json.loads(text), indent=1)  # the same document, spelled in ASCII
    _say(text.rstrip("\n"), sys.stdout)


def _say(text: str, stream: TextIO) -> None:
    """Print, spelling what the stream's encoding does not know as a question mark instead of failing."""
    encoding = stream.encoding or "ascii"
    stream.write(text.encode(encoding, "replace").decode(encoding) + "\n")


if __name__ == "__main__":
    _use_own_environment()
    sys.exit(main())
