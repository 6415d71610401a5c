"""The page's own code for live pages, each page's in one file under a name that follows its content.

It is bundled before the build, with the calculation (scripts/floor/runtime.py); here it is only taken over.
"""

from pathlib import Path

from mkdocs.config.defaults import MkDocsConfig
from mkdocs.structure.files import File, Files


def on_files(files: Files, config: MkDocsConfig) -> Files:
    """Add what pages begin with, and tell the templates where it is."""
    runtime = config.extra["runtime"]
    for name, address in runtime["pages"].items():
        files.append(File.generated(config, address, abs_src_path=str(Path(runtime["folder"]) / address)))
        config.extra["assets"][name] = address
    return files
