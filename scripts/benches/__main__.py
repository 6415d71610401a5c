"""Run the measurements and write bench.json; `python3 scripts/bench` starts this."""

import json
import os
import platform
import subprocess
import sys
from collections.abc import Callable
from dataclasses import asdict
from datetime import UTC, datetime

from benches import Figure
from benches.building import measure_building
from benches.core import measure_core
from benches.curves import measure_curves
from benches.day import measure_day
from benches.layouts import measure_layouts
from benches.layouts_live import measure_layouts_live
from benches.lighthouse import measure_lighthouse
from benches.repainting import measure_repainting
from benches.starting import measure_starting
from benches.watching import measure_watching
from benches.weight import measure_weight
from floor import ROOT, Stop, say, stopping

GROUPS: dict[str, Callable[[], dict[str, Figure]]] = {
    "core": measure_core,
    "curves": measure_curves,
    "day": measure_day,
    "layouts": measure_layouts,
    "building": measure_building,
    "weight": measure_weight,
    "repainting": measure_repainting,
    "layouts_live": measure_layouts_live,
    "watching": measure_watching,
    "starting": measure_starting,
    "lighthouse": measure_lighthouse,
}
OUTPUT = ROOT / "bench.json"
KEPT = ROOT / "site_src" / "measured.json"
"""The same for the site, which shows the last run that was committed."""


def machine() -> str:
    """Name the class of machine, not the machine."""
    python = f"{platform.python_implementation()} {platform.python_version()}"
    return f"{platform.system()} {platform.machine()}, {os.cpu_count()} cores, {python}"


def commit() -> str:
    """Name the commit that was measured, and say when the files differ from it."""
    result = subprocess.run(
        ["git", "describe", "--always", "--abbrev=12", "--dirty=, with changes", "--exclude=*"],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=False,
    )
    return result.stdout.strip() or "unknown"


def table_line(name: str, figure: Figure) -> str:
    """Put one figure into a line of the printed table."""
    judgement = "good" if figure.meets() else "MISSED"
    return f"  {name:<42}{figure.value:>10g} {figure.unit:<6} {figure.sense} {figure.target:g}: {judgement}"


def main() -> int:
    """Measure every group, or those that are named; only a full run is written down."""
    names = sys.argv[1:] or list(GROUPS)
    unknown = [name for name in names if name not in GROUPS]
    if unknown:
        raise Stop(f"There is no group named {', '.join(unknown)}. The groups are {', '.join(GROUPS)}.")
    figures: dict[str, Figure] = {}
    for name in names:
        say(f"Measuring {name}")
        measured = GROUPS[name]()
        figures |= measured
        for key, figure in measured.items():
            say(table_line(key, figure))
    if len(names) == len(GROUPS):
        content = {"machine": machine(), "commit": commit()} | {
            key: asdict(value) for key, value in figures.items()
        }
        OUTPUT.write_text(json.dumps(content, indent=2) + "\n", encoding="utf-8")
        KEPT.write_text(
            json.dumps({"day": f"{datetime.now(UTC):%Y-%m-%d}"} | content, indent=2) + "\n", encoding="utf-8"
        )
        say(f"Written to {OUTPUT.name}, and to {KEPT.relative_to(ROOT)} for the page of measures")
    return 0


if __name__ == "__main__":
    sys.exit(stopping(main))
