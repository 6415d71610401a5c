"""Packages of Debian, installed where the script is allowed to."""

import os
import shutil
from pathlib import Path

from floor import alone, run, say

RELEASE = Path("/etc/os-release")


def may_install() -> bool:
    """Say whether this is Debian and this user may install packages."""
    if os.name != "posix" or os.geteuid() != 0 or not shutil.which("apt-get"):
        return False
    return RELEASE.is_file() and "ID=debian" in RELEASE.read_text(encoding="utf-8").splitlines()


def install(*packages: str) -> None:
    """Install packages with what they need, and nothing they merely recommend."""
    names = ", ".join(packages)
    say(f"Installing {names} from Debian")
    quiet = os.environ | {"DEBIAN_FRONTEND": "noninteractive"}
    failure = f"could not install {names} from Debian"
    command = ["apt-get", "install", "--yes", "--quiet", "--no-install-recommends", *packages]
    with alone("packages"):
        run(["apt-get", "update", "--quiet"], failure, env=quiet)
        run(command, failure, env=quiet)
