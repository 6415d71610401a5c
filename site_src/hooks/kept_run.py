"""The last run of the measurements that was kept, as the page of measures shows it."""

import json
from dataclasses import dataclass

from library import ROOT

from calc.render.catalogue import Words

KEPT = ROOT / "site_src" / "measured.json"


@dataclass(frozen=True, slots=True)
class Row:
    """One figure beside its target."""

    says: str
    value: str
    sense: str
    target: str
    met: bool


@dataclass(frozen=True, slots=True)
class Run:
    """One run: the day, the class of machine, the state of the project, and every figure."""

    day: str
    machine: str
    commit: str
    rows: tuple[Row, ...]


def last_run(words: Words) -> Run | None:
    """The run that was kept; None where there is none."""
    if not KEPT.is_file():
        return None
    kept = json.loads(KEPT.read_text("utf-8"))
    head = {name: kept.pop(name) for name in ("day", "machine", "commit")}
    return Run(**head, rows=tuple(_row(name, figure, words) for name, figure in kept.items()))


def _row(name: str, figure: dict[str, float | str], words: Words) -> Row:
    value, target, sense = float(figure["value"]), float(figure["target"]), str(figure["sense"])
    return Row(
        says=words.find(f"measure.{name}") or name.replace("_", " ").capitalize(),
        value=f"{value:g} {figure['unit']}",
        sense=sense,
        target=f"{target:g} {figure['unit']}",
        met=value <= target if sense == "at most" else value >= target,
    )
