"""Browser modules of the project, each entry bundled into one small file with what it needs from npm."""

import json
import os
from collections.abc import Mapping
from pathlib import Path

from floor import npm, run

# What every browser of the last years reads; older ones show the finished pages without the live part.
TARGET = "es2022"


def bundle(
    entry: Path, target: Path, facts: Mapping[str, object], kind: str = "esm", *, apart: str = ""
) -> bytes:
    """Bundle one entry with its imports into `target` and return the result.

    `facts` are names that the modules use without importing them, each with its value. The kind is `esm` for a
    module, or `iife` for a script that must not be one. `apart` is an import that stays one.
    """
    packages, library = npm.tool("runtime"), npm.tool("live")
    command: list[str | Path] = [
        npm.node(),
        packages / "esbuild" / "bin" / "esbuild",
        entry,
        f"--outfile={target}",
    ]
    command += ["--bundle", "--minify", f"--format={kind}", f"--target={TARGET}", "--log-level=warning"]
    command += ["--external:node:*", "--external:ws", "--legal-comments=none", "--charset=utf8"]
    command += [f"--define:{name}={json.dumps(value)}" for name, value in facts.items()]
    if apart:
        command.append(f"--external:{apart}")
    production = 'process.env.NODE_ENV="production"'
    command.append(f"--define:{production}")
    run(
        command,
        f"could not bundle {entry.name}",
        env=os.environ | {"NODE_PATH": os.pathsep.join(map(str, (packages, library)))},
    )
    return target.read_bytes()
