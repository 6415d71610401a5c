"""The page's own code for live pages, in one folder with a name that follows its content.

The modules are served as they are; the one library they use stands beside them.
"""

import hashlib
import os
from pathlib import Path

from mkdocs.config.defaults import MkDocsConfig
from mkdocs.exceptions import PluginError
from mkdocs.structure.files import File, Files

ROOT = Path(__file__).resolve().parents[2]
SOURCES = ROOT / "site_src" / "live"
LIBRARY = "live/node_modules/idiomorph/dist/idiomorph.min.js"


def on_files(files: Files, config: MkDocsConfig) -> Files:
    """Add the modules and tell the templates where to begin."""
    client = f'"../../{config.extra["runtime"]["client"]}"'
    texts = {file.name: file.read_text("utf-8") for file in sorted(SOURCES.glob("*.mjs"))}
    modules = {name: text.replace('"./runtime/client.mjs"', client) for name, text in texts.items()}
    modules["patch.mjs"] = modules["patch.mjs"].replace('from "idiomorph"', 'from "./idiomorph.mjs"')
    modules["idiomorph.mjs"] = _library()
    mark = hashlib.sha256("".join(modules.values()).encode()).hexdigest()[:8]
    for name, text in modules.items():
        files.append(File.generated(config, f"assets/live-{mark}/{name}", content=text))
    config.extra["assets"]["live"] = f"assets/live-{mark}/live.mjs"
    config.extra["assets"]["meter"] = f"assets/live-{mark}/meter.mjs"
    config.extra["assets"]["proof"] = f"assets/live-{mark}/proof.mjs"
    return files


def _library() -> str:
    """The library that patches a page, as a module."""
    file = Path(os.environ.get("ARRAYBOOK_TOOLS", ROOT / ".tools")) / LIBRARY
    if not file.is_file():
        raise PluginError(f"{file} is missing; python3 scripts/serve installs it")
    return file.read_text("utf-8") + "\nexport { Idiomorph };\n"
