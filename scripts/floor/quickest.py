"""The quickest Python of this version on the machine.

Two builds of the same version differ by a tenth and more in what everything takes, by how they were compiled.
"""

import json
import os
import shutil
import subprocess
import sys
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

VERSION = list(sys.version_info[:2])
CLEARLY = 0.95
"""Another Python is taken only where it needs less than this share of the time of the one that runs."""

# Asked of each Python: whether an environment can be made from it, and how long it takes over calls, attributes, floats
# and dicts, which is what the calculation consists of.
PROBE = """
import json, sys, time
from importlib.util import find_spec

class Point:
    def __init__(self, volts):
        self.volts = volts
    def times(self, amperes):
        return self.volts * amperes

def work():
    sums = {}
    for number in range(20000):
        power = Point(number * 0.5).times(2.0)
        if power > 3.0:
            sums[number & 255] = max(sums.get(number & 255, 0.0), power / (1.0 + number))
    return sums

def timed():
    begun = time.perf_counter()
    work()
    return time.perf_counter() - begun

usable = sys.prefix == sys.base_prefix and bool(find_spec("venv") and find_spec("ensurepip"))
print(json.dumps([sys.executable, list(sys.version_info[:2]), usable, min(timed() for _ in range(15))]))
"""


@dataclass(frozen=True)
class Found:
    """A Python of our version that environments can be made from, and the seconds it took over the probe."""

    path: Path
    seconds: float


def quickest() -> Path | None:
    """Return the Python to make the environment from: the running one, unless another is clearly quicker.

    None where none of this version can make environments.
    """
    running = _asked(Path(sys.executable))
    others = [found for path in _on_path() if (found := _asked(path)) is not None]
    return chosen(running, others)


def chosen(running: Found | None, others: list[Found]) -> Path | None:
    """Return the path of the running one, or of the quickest other one where that is clearly quicker or the only one."""
    best = min(others, key=lambda found: found.seconds, default=None)
    if best is not None and (running is None or best.seconds < CLEARLY * running.seconds):
        return best.path
    return None if running is None else running.path


def _on_path() -> Iterator[Path]:
    """The Pythons that a shell would find by name, each once; none on systems that name them otherwise."""
    folders = os.environ.get("PATH", "").split(os.pathsep)
    names = ("python3", "python{}.{}".format(*VERSION))
    paths = [shutil.which(name, path=folder) for folder in folders if folder for name in names]
    seen = {Path(sys.executable).resolve()}
    for path in filter(None, paths):
        real = Path(path).resolve()
        if real not in seen:
            seen.add(real)
            yield Path(path)


def _asked(python: Path) -> Found | None:
    """What a Python says of itself; None where it does not answer, is of another version, or makes no environments."""
    try:
        told = subprocess.run(
            [python, "-I", "-c", PROBE], capture_output=True, text=True, timeout=20, check=True
        ).stdout
        path, version, usable, seconds = json.loads(told)
    except (OSError, subprocess.SubprocessError, ValueError):
        return None
    return Found(Path(path), seconds) if usable and version == VERSION else None
