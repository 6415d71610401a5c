"""How the build of the site grows with the number of designs: the real site, with generated designs added to it."""

import shutil
import tempfile
import tomllib
from pathlib import Path
from typing import Any

import tomli_w

from benches import AT_MOST, Figure
from floor import ROOT
from floor.build import build

FEW, MANY = 100, 400
ROUNDS = 2  # the quicker one counts: what else the machine did can only add
EXAMPLES = Path("scenarios/examples")
# What the scripts make, and the history: not part of what is built.
LEFT_BEHIND = shutil.ignore_patterns(
    ".git", ".venv", ".tools", ".*_cache", "__pycache__", "site", ".hypothesis"
)


def measure_building() -> dict[str, Figure]:
    """Build with few and with many generated designs and compare."""
    with tempfile.TemporaryDirectory() as folder:
        project = Path(folder) / "project"
        shutil.copytree(ROOT, project, ignore=LEFT_BEHIND)
        bases = [
            tomllib.loads(file.read_text(encoding="utf-8"))
            for file in sorted((ROOT / EXAMPLES).glob("*.toml"))
        ]
        seconds = {}
        for count in (FEW, MANY):
            generate(bases, project / EXAMPLES, count)
            seconds[count] = min(build(project, Path(folder) / "site") for _ in range(ROUNDS))
    marginal = 1000 * (seconds[MANY] - seconds[FEW]) / (MANY - FEW)
    return {
        "build_marginal_ms": Figure(round(marginal, 2), 40, AT_MOST, "ms"),
        "build_scaling_ratio": Figure(round(seconds[MANY] / seconds[FEW], 2), 4.4, AT_MOST, "times"),
    }


def generate(bases: list[dict[str, Any]], folder: Path, count: int) -> None:
    """Write that many designs into a folder; the first ones are the same however many there are."""
    for number in range(count):
        target = folder / f"generated-{number:03}.toml"
        target.write_text(tomli_w.dumps(varied(bases[number % len(bases)], number)), encoding="utf-8")


def varied(base: dict[str, Any], number: int) -> dict[str, Any]:
    """Make another design from a worked one: its own title, site temperatures and lengths, so no result repeats."""
    kept = {key: value for key, value in base.get("site", {}).items() if key != "hardiness_zone"}
    site = kept | {"coldest": f"{-5 - number * 0.07:.2f} degC", "hottest": f"{30 + number * 0.03:.2f} degC"}
    runs = [run | {"length": f"{12 + number * 0.45:.2f} ft"} for run in base.get("run", [])]
    design = base | {"title": f"Generated design {number + 1}", "site": site}
    return design | {"run": runs} if runs else design
