"""What became of the changes: the score of each package, and those that no test noticed and nobody has answered."""

import json
import tomllib
from collections import Counter
from dataclasses import dataclass
from difflib import ndiff
from pathlib import Path
from typing import Any

from floor import ROOT, say

TREE = "mutants"
ANSWERS = ROOT / "tests" / "mutants.toml"
SURVIVED, KILLED, NOBODY = 0, 1, 33
GOAL = 0.90


@dataclass(frozen=True)
class Survivor:
    """A change that no test noticed: the function, its lines before and after."""

    function: str
    was: str
    now: str


def report(files: list[Path]) -> int:
    """Print the score by package and the survivors without an answer; 1 when a score is below the goal."""
    answers = all_answers()
    counts: dict[str, Counter[str]] = {}
    for path in files:
        codes = json.loads(Path(TREE, f"{path}.meta").read_text(encoding="utf-8"))["exit_code_by_key"]
        count = counts.setdefault(path.parent.name, Counter())
        for name, code in codes.items():
            if code in {SURVIVED, NOBODY}:
                survivor = survivor_of(path, name)
                known = is_answered(survivor, answers)
                count["answered" if known else "survived"] += 1
                if not known:
                    say(f"\n{survivor.function}\n- {survivor.was}\n+ {survivor.now}")
            elif code is not None:  # a part that was not asked for has not been tried
                count["killed" if code == KILLED else "timed out"] += 1
    say("")
    below = [package for package, count in counts.items() if score(package, count) < GOAL]
    return 1 if below else 0


def score(package: str, count: Counter[str]) -> float:
    """Print what became of a package's changes, and return the share that was noticed."""
    noticed = count["killed"] + count["timed out"]
    share = noticed / count.total()
    say(
        f"{package}: {share:.1%} of {count.total()} noticed ({count['killed']} by a test, {count['timed out']} because"
        f" it does not end), {count['answered']} answered, {count['survived']} not"
    )
    return share


def survivor_of(path: Path, name: str) -> Survivor:
    """Read what a change changes out of the changed file."""
    lines = Path(TREE, path).read_text(encoding="utf-8").splitlines()
    spans = json.loads(Path(TREE, f"{path}.spans").read_text(encoding="utf-8"))["spans"]
    short = name.rpartition(".")[2]
    stem = short.rpartition("__mutmut_")[0]
    function = stem.removeprefix("x_").replace("xǁ", "").replace("ǁ", ".")
    before, after = (
        [line.strip().replace(which, function) for line in lines[spans[which][0] - 1 : spans[which][1]]]
        for which in (f"{stem}__mutmut_orig", short)
    )
    changed = list(ndiff(before, after, linejunk=None, charjunk=None))
    was, now = (" ".join(line[2:] for line in changed if line.startswith(sign)) for sign in ("- ", "+ "))
    return Survivor(f"{path.with_suffix('').as_posix()} {function}", was, now)


def all_answers() -> list[dict[str, Any]]:
    """Every answer that was written down."""
    return list(tomllib.loads(ANSWERS.read_text(encoding="utf-8")).get("stands", []))


def is_answered(survivor: Survivor, answers: list[dict[str, Any]]) -> bool:
    """Whether an answer is about this survivor; one without ``now`` is about every change of its line."""
    return any(
        answer["in"] == survivor.function
        and answer["line"] == survivor.was
        and survivor.now in answer.get("now", [survivor.now])
        for answer in answers
    )
