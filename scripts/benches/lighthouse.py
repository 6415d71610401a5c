"""How each kind of page does in Lighthouse, on its mobile setting: a slow phone on a slow line."""

import json
import statistics
import subprocess
import tempfile
from pathlib import Path

from benches import AT_LEAST, Figure
from benches.pages import report_pages
from floor import Stop, browser, npm
from floor.build import SITE
from floor.server import serving

TARGETS = {"performance": 98, "accessibility": 100, "best-practices": 100, "seo": 100}
KINDS = {
    "start": "",
    "list": "designs/",
    "try": "try/",
    "meter": "meter/",
    "guide": "guide/",
    "lesson": "guide/where-currents-add/",
    "how": "how/",
    "methods": "how/methods/",
    "tables": "how/tables/",
    "published": "how/published/",
    "measures": "how/measures/",
    "words": "words/",
    "cautions": "cautions/",
}
"""One page of each kind, beside the longest report. Left out: what must not be found by searching, as the page for a wrong
address and the odd designs, on which Lighthouse marks just that down."""
FULL = 100
RUNS = 3
"""The speed score moves by a point or two from run to run; where the first is not full, the middle one of three stands."""


def measure_lighthouse() -> dict[str, Figure]:
    """Score one page of each kind: each one's speed, and the lowest of all in what does not vary."""
    with serving(SITE) as address:
        kinds = KINDS | {"report": report_pages()[0]}
        scores = {kind: middle_of(address + path) for kind, path in kinds.items()}
    target = TARGETS["performance"]
    figures = {
        f"lighthouse_{kind}_performance": Figure(score["performance"], target, AT_LEAST, "points")
        for kind, score in scores.items()
    }
    for category, target in TARGETS.items():
        if category != "performance":
            lowest = min(score[category] for score in scores.values())
            figures[f"lighthouse_{category.replace('-', '_')}"] = Figure(lowest, target, AT_LEAST, "points")
    return figures


def middle_of(url: str) -> dict[str, float]:
    """Score a page once, or until the middle of several runs is known."""
    scores = [audit(url)]
    while min(scores[0].values()) < FULL and len(scores) < RUNS:
        scores.append(audit(url))
    return {name: statistics.median(score[name] for score in scores) for name in TARGETS}


def audit(url: str) -> dict[str, float]:
    """Run Lighthouse once and return its scores, from 0 to 100."""
    with tempfile.TemporaryDirectory() as folder:
        report = Path(folder) / "report.json"
        command: list[str | Path] = [
            npm.node(),
            npm.tool("lighthouse") / "lighthouse" / "cli" / "index.js",
            url,
        ]
        command += ["--quiet", "--output=json", f"--output-path={report}"]
        command += [f"--only-categories={','.join(TARGETS)}"]
        command += [f"--chrome-flags={' '.join(('--headless=new', *browser.FLAGS))}"]
        env = npm.variables() | {"CHROME_PATH": browser.ensure()}
        result = subprocess.run(command, env=env, cwd=folder, capture_output=True, text=True, check=False)
        if result.returncode or not report.is_file():
            raise Stop(f"{result.stderr[-2000:]}\nLighthouse could not measure {url}")
        found = json.loads(report.read_text(encoding="utf-8"))
    failing = [name for name in TARGETS if found["categories"][name]["score"] is None]
    if failing:
        raise Stop(f"Lighthouse gave no score for {', '.join(failing)} at {url}")
    return {name: round(100 * found["categories"][name]["score"]) for name in TARGETS}
