"""Packages of Debian, installed where the script is allowed to."""

import os
import shutil
from pathlib import Path

from floor import run, say

RELEASE = Path("/etc/os-release")


def may_install() -> bool:
    """Say whether this is Debian and this user may install packages."""
    if os.name != "posix" or os.geteuid() != 0 or not shutil.which("apt-get"):
        return False
    return RELEASE.is_file() and "ID=debian" in RELEASE.read_text(encoding="utf-8").splitlines()


def install(package: str) -> None:
    """Install one package with what it needs, and nothing it merely recommends."""
    say(f"Installing Debian's package {package}")
    quiet = os.environ | {"DEBIAN_FRONTEND": "noninteractive"}
    failure = f"could not install Debian's package {package}"
    run(["apt-get", "update", "--quiet"], failure, env=quiet)
    run(["apt-get", "install", "--yes", "--quiet", "--no-install-recommends", package], failure, env=quiet)
