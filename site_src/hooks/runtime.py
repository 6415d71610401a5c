"""The calculation for readers' browsers, served from the site itself under names that follow the content of each file.

It is packed and bundled before the build (scripts/floor/runtime.py); here it is only taken over.
"""

import json
import os
from pathlib import Path

from mkdocs.config.defaults import MkDocsConfig
from mkdocs.exceptions import PluginError
from mkdocs.structure.files import File, Files
from mkdocs.structure.pages import Page
from mkdocs.utils import get_relative_url

ROOT = Path(__file__).resolve().parents[2]
END_OF_HEAD = "</head>"


def on_files(files: Files, config: MkDocsConfig) -> Files:
    """Add the runtime's files, and tell the other hooks and the templates what was made."""
    folder = _made()
    for file in sorted((folder / "runtime").iterdir()):
        files.append(File.generated(config, f"runtime/{file.name}", abs_src_path=str(file)))
    config.extra["runtime"] = json.loads((folder / "made.json").read_text("utf-8")) | {"folder": str(folder)}
    return files


def on_post_page(output: str, page: Page, config: MkDocsConfig) -> str:
    """Have every page keep the site for reading without a network."""
    address = get_relative_url(config.extra["runtime"]["page"], page.url)
    return output.replace(END_OF_HEAD, f'<script type="module" src="{address}"></script>{END_OF_HEAD}', 1)


def _made() -> Path:
    """The folder of the runtime as the scripts make it."""
    folder = Path(os.environ.get("ARRAYBOOK_TOOLS", ROOT / ".tools")) / "runtime-made"
    if not folder.is_dir():
        raise PluginError(f"{folder} is missing; python3 scripts/serve makes it")
    return folder
