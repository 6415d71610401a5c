"""How the pages do in Lighthouse, on its mobile setting: a slow phone on a slow line."""

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

TARGETS = {"performance": 95, "accessibility": 100, "best-practices": 100, "seo": 100}
# The speed score moves by a point or two from run to run; the middle one of three stands.
RUNS = 3


def measure_lighthouse() -> dict[str, Figure]:
    """Score the start page and a report page."""
    figures = {}
    with serving(SITE) as address:
        for kind, path in {"start": "", "report": report_pages()[0]}.items():
            scores = [audit(address + path) for _ in range(RUNS)]
            for category, target in TARGETS.items():
                middle = statistics.median(score[category] for score in scores)
                name = f"lighthouse_{kind}_{category.replace('-', '_')}"
                figures[name] = Figure(middle, target, AT_LEAST, "points")
    return figures


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
