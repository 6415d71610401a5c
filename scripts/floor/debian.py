"""Packages of Debian, installed where the script is allowed to."""

import os
import shutil
import subprocess
from collections.abc import Iterable
from pathlib import Path

from floor import alone, run, say

RELEASE = Path("/etc/os-release")


def may_install() -> bool:
    """Say whether this is Debian and this user may install packages."""
    if os.name != "posix" or os.geteuid() != 0 or not shutil.which("apt-get"):
        return False
    return RELEASE.is_file() and "ID=debian" in RELEASE.read_text(encoding="utf-8").splitlines()


def install(*packages: str, wished: Iterable[str] = ()) -> None:
    """Install packages with what they need, and nothing they merely recommend; wished ones where this release has them."""
    quiet = os.environ | {"DEBIAN_FRONTEND": "noninteractive"}
    command = ["apt-get", "install", "--yes", "--quiet", "--no-install-recommends"]
    with alone("packages"):
        run(["apt-get", "update", "--quiet"], "could not ask Debian for packages", env=quiet)
        wanted = [*packages, *filter(_exists, wished)]
        names = ", ".join(wanted)
        if wanted:
            say(f"Installing {names} from Debian")
            run([*command, *wanted], f"could not install {names} from Debian", env=quiet)


def _exists(package: str) -> bool:
    """Whether this release has a package."""
    return subprocess.run(["apt-cache", "show", package], capture_output=True, check=False).returncode == 0
