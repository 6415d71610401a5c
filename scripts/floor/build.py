"""The site, built strictly: a warning of the build is a failure."""

import os
import time
from pathlib import Path

from floor import ROOT, TOOLS, alone, npm, run, runtime, say
from floor.environment import PYTHON, variables

SITE = Path(os.environ.get("ARRAYBOOK_SITE", ROOT / "site"))
"""Where the site is built and tested; a second checkout of one tool folder may want another place."""


def build(project: Path = ROOT, site: Path = SITE) -> float:
    """Build the site of a project folder and return how many seconds that took."""
    command: list[str | Path] = [
        PYTHON,
        "-m",
        "mkdocs",
        "build",
        "--strict",
        "--clean",
    ]  # quiet would hide warnings from strict
    command += ["--config-file", project / "mkdocs.yml", "--site-dir", site]
    npm.tool("live")
    runtime.ensure()
    env = variables() | {"PYTHONPATH": str(project), "ARRAYBOOK_TOOLS": str(TOOLS)}
    start = time.perf_counter()
    run(command, "the site did not build; the lines above say what to mend", env=env, cwd=project)
    return time.perf_counter() - start


def build_site() -> None:
    """Build the project's own site into site/, and say so."""
    say("Building the site")
    with alone("site"):
        seconds = build()
    pages = sum(1 for _ in SITE.rglob("*.html"))
    say(f"Built {pages} pages into site/ in {seconds:.1f} s")
