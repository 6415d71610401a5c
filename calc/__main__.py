"""The terminal door: ``python -m calc check FILE… [--json]``, and a command for each further look at one design.

``check`` exits with 0 when nothing fails and 1 when any finding fails. Every command exits with 2 when a file is
refused (then only what is wrong with it is printed, one problem a line, on stderr), and else with 0.
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
    from calc.model.layouts import Wishes
    from calc.model.meter import Readings

ROOT = Path(__file__).resolve().parent.parent


def _use_own_environment() -> None:
    """Where the libraries are not installed for this Python, go on with the environment the scripts made."""
    if find_spec("pint") is None:
        for python in (ROOT / ".venv/bin/python", ROOT / ".venv/Scripts/python.exe"):
            if python.exists() and Path(sys.prefix) != ROOT / ".venv":
                os.execv(python, [str(python), "-m", "calc", *sys.argv[1:]])  # noqa: S606  # our own interpreter
        sys.exit(
            "calc needs the library pint: run python3 scripts/serve once, it sets everything up; then run this again"
        )


FURTHER = {
    "layouts": ("every way to join these modules, tried and ranked", ("json",)),
    "faults": ("what shade and single faults leave", ("json",)),
    "day": ("when charging begins and ends, energy, by month", ("json",)),
    "parts": ("parts with counts, lengths, ratings, connector halves", ("json", "csv")),
    "steps": ("order of work, labels, cautions", ()),
    "meter": ("expected readings; with readings, likely causes", ("json",)),
}
"""Commands that look at one design in another way: each with its line of help, and the forms it has beside text."""
MOMENT = {
    "sun": ("820 W/m2", "the sun in the plane of the modules, or unknown"),
    "air": ("18 degC", "the air's temperature"),
    "module": ("41 degC", "a module's back, which then counts instead of the air"),
}
"""What a meter sheet may be asked for, each with an example and its line of help; it goes before a readings file."""


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one command of the terminal door and return its exit code."""
    parser = argparse.ArgumentParser(
        prog="python -m calc", description="Check small solar arrays that charge batteries."
    )
    commands = parser.add_subparsers(dest="command", required=True, metavar="COMMAND")
    one = _command(commands, "check", "findings for each design file, with the working", ("json",))
    one.add_argument("files", nargs="+", metavar="FILE", help="design files (TOML)")
    for name, (says, forms) in FURTHER.items():
        further = _command(commands, name, says, forms)
        further.add_argument("file", metavar="FILE", help="a design file (TOML)")
        further.set_defaults(
            readings=None, add=None, leave_out=None, price=[], option=[], shade=[], **dict.fromkeys(MOMENT)
        )
        if name == "layouts":
            _wishes_of(further)
        if name == "faults":
            shaded = (
                "also: so many groups of cells of one string lose so much of their light; may be given again"
            )
            further.add_argument("--shade", action="append", metavar="'GROUPS=LOST'", help=shaded)
        if name == "meter":
            further.add_argument("readings", nargs="?", metavar="READINGS", help="a file of readings (TOML)")
            for moment, (example, what) in MOMENT.items():
                further.add_argument(f"--{moment}", metavar=f"'{example}'", help=what)
    given = parser.parse_args(arguments)
    system = "metric" if given.metric else "us"
    if given.command == "check":
        return _check(given.files, json=given.form == "json", system=system)
    return _further(given, system)


def _command(
    commands: "argparse._SubParsersAction[argparse.ArgumentParser]",
    name: str,
    says: str,
    forms: Sequence[str],
) -> argparse.ArgumentParser:
    one = commands.add_parser(name, help=says)
    either = one.add_mutually_exclusive_group()
    for form in forms:
        either.add_argument(
            f"--{form}", action="store_const", const=form, dest="form", help=f"print {form.upper()}"
        )
    one.add_argument("--metric", action="store_true", help="show metres instead of feet")
    one.set_defaults(form="text")
    return one


def _wishes_of(layouts: argparse.ArgumentParser) -> None:
    """What may be wished of layouts."""
    adding = "instead: what adding a module or a string opens again; also modules of another design"
    layouts.add_argument("--add", nargs="?", const="", metavar="OTHER", help=adding)
    layouts.add_argument("--leave-out", metavar="N", help="try layouts that leave out up to so many modules")
    priced = "what a metre of a single wire costs, by size; may be given again"
    layouts.add_argument("--price", action="append", metavar="'6 AWG=2.40'", help=priced)
    option = (
        "try all layouts with another value too, such as a wire size, a controller's rating, or array.joining"
    )
    layouts.add_argument("--or", action="append", dest="option", metavar="'PATH=VALUE'", help=option)


def _further(given: argparse.Namespace, system: str) -> int:
    from calc import Refused, load_book
    from calc.looks import LOOKS, Asked
    from calc.read.shades import read_shades

    design = _read(given.file)
    if isinstance(design, Refused):
        return _refused(design)
    readings = None if given.readings is None else _readings(given.readings)
    moment, wishes = _moment(given), _wishes(given)
    other, shades = _read(given.add) if given.add else None, read_shades(given.shade or [])
    of_files = ((readings, f"{given.readings}: "), (other, f"{given.add}: "))
    beside = (*of_files, (moment, "--"), (wishes, ""), (shades, ""))
    for found, where in beside:
        if isinstance(found, Refused):
            _refused(found, where)
    if isinstance(readings, Refused) or isinstance(moment, Refused):
        return 2
    if isinstance(wishes, Refused) or isinstance(other, Refused) or isinstance(shades, Refused):
        return 2
    book = load_book(design.text("site.rules") or "us-2023")
    asked = Asked(
        design,
        book,
        Path(given.file).stem,
        system,
        _ascii(),
        readings,
        moment,
        given.add is not None,
        other,
        wishes,
        shades,
    )
    look = LOOKS[given.command](asked)
    text = look.forms[given.form]()
    _say((_in_ascii(text) if given.form == "json" and _ascii() else text).rstrip("\n"), sys.stdout)
    return 0


def _refused(found: "Refused", where: str = "") -> int:
    """Tell what is wrong, one problem a line; the exit code for it."""
    for problem in found.problems:
        _say(f"{where}{problem.line()}", sys.stderr)
    return 2


def _ascii() -> bool:
    return not (sys.stdout.encoding or "").lower().startswith("utf")


def _in_ascii(document: str) -> str:
    """The same JSON document, spelled in ASCII."""
    import json

    return json.dumps(json.loads(document), indent=1)


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
        texts = [
            as_text(one, Path(file).stem, system=system, ascii_only=_ascii()) for file, one in assessments
        ]
        _say(("\n" + "#" * 80 + "\n\n").join(texts).rstrip("\n"), sys.stdout)
    return int(any(one.verdict is Verdict.FAILS for _, one in assessments))


def _read(file: str) -> "Design | Refused":
    from calc import InputProblem, Refused, read_design

    try:
        return read_design(Path(file).read_bytes())
    except OSError as error:
        wanted = f"a file that can be read ({(error.strerror or 'it cannot').lower()})"
        return Refused((InputProblem("", file, wanted, "scenarios/examples/stock-water-pump.toml"),))


def _readings(file: str) -> "Readings | Refused":
    from calc import InputProblem, Refused
    from calc.read.readings import read_readings

    try:
        return read_readings(Path(file).read_bytes())
    except OSError as error:
        wanted = f"a file that can be read ({(error.strerror or 'it cannot').lower()})"
        return Refused((InputProblem("", file, wanted, "readings.toml"),))


def _wishes(given: argparse.Namespace) -> "Wishes | Refused":
    """What was wished of layouts on the command line."""
    from calc.read.wishes import read_wishes

    return read_wishes(Path(given.file).read_bytes(), given.leave_out, given.price or [], given.option or [])


def _moment(given: argparse.Namespace) -> "Readings | Refused | None":
    """Sun and temperatures from the command line, read as in a readings file; None where nothing is said."""
    from calc.read.readings import read_readings_document

    said = {name: getattr(given, name) for name in MOMENT if getattr(given, name) is not None}
    return read_readings_document(said) if said else None


def _say_json(assessments: "list[Assessment]") -> None:
    import json

    from calc.render.as_json import as_json, as_plain

    if len(assessments) == 1:
        text = as_json(assessments[0])
    else:
        text = json.dumps(
            [as_plain(one) for one in assessments], indent=1, ensure_ascii=False, allow_nan=False
        )
    if _ascii():
        text = _in_ascii(text)
    _say(text.rstrip("\n"), sys.stdout)


def _say(text: str, stream: TextIO) -> None:
    """Print, spelling what the stream's encoding does not know as a question mark instead of failing."""
    encoding = stream.encoding or "ascii"
    stream.write(text.encode(encoding, "replace").decode(encoding) + "\n")


if __name__ == "__main__":
    _use_own_environment()
    sys.exit(main())
