"""The service worker: which pages and files it keeps for reading without a network, written once the site stands.

All pages of the menu and the shell come with it, and worked designs as far as they fit; other pages are kept when they
are visited.
"""

import gzip
import hashlib
import html
import json
import re
from pathlib import Path

from mkdocs.config.defaults import MkDocsConfig
from mkdocs.plugins import event_priority
from mkdocs.structure.nav import Navigation

LAST = -100
ROOM = 1_500_000
"""Bytes, compressed, of worked designs that are kept unasked."""
HASHED = r"^(assets/.*[.-][0-9a-f]{8,}[./].*|runtime/.*)$"
REPORTS = "designs/"
LOST = """<!doctype html><html lang="en"><meta charset="utf-8"><meta name="viewport" content="width=device-width">
<title>{title}</title><style>body{{font:1.1rem/1.5 system-ui;max-width:32rem;margin:4rem auto;padding:0 1rem}}</style>
<h1>{title}</h1><p>{text}</p><p><a href="{home}">{link}</a></p></html>"""


def on_nav(nav: Navigation, config: MkDocsConfig, files: object) -> None:
    """Note which pages stand in the menu."""
    config.extra["menu"] = [page.file.dest_uri for page in nav.pages]


@event_priority(LAST)
def on_post_build(config: MkDocsConfig) -> None:
    """Write the service worker."""
    site, runtime = Path(config.site_dir), config.extra["runtime"]
    shell = [
        entry(site, name) for name in sorted({*kept_pages(site, config.extra["menu"]), *kept_assets(site)})
    ]
    facts = {"shell": shell, "runtime": runtime["needed"], "hashed": HASHED, "lost": lost(runtime["offline"])}
    build = hashlib.sha256(json.dumps(facts).encode()).hexdigest()[:12]
    script = (Path(runtime["folder"]) / "sw.js").read_text("utf-8")
    head = f"self.SITE={json.dumps({'build': build} | facts, ensure_ascii=False)};\n"
    (site / "sw.js").write_text(head + script, encoding="utf-8")


def kept_pages(site: Path, menu: list[str]) -> list[str]:
    """The pages of the menu, and worked designs in the order of their names until the room is used up."""
    pages, room = list(menu), ROOM
    for file in sorted((site / REPORTS).rglob("*.html")):
        room -= len(gzip.compress(file.read_bytes(), 1))
        if room <= 0:
            break
        name = file.relative_to(site).as_posix()
        if name not in pages:
            pages.append(name)
    return pages


def kept_assets(site: Path) -> list[str]:
    """Style, scripts and drawings of the shell, the search, and what every page needs to ask for the calculation."""
    assets = [file.relative_to(site).as_posix() for file in (site / "assets").rglob("*") if file.is_file()]
    scripts = [file for name in ("page", "client") for file in (site / "runtime").glob(f"{name}.*.mjs")]
    return [*assets, *(file.relative_to(site).as_posix() for file in scripts), "search/search_index.json"]


def entry(site: Path, name: str) -> dict[str, str | None]:
    """A file with the mark by which a changed one is told; a name that follows the content is mark enough."""
    if re.match(HASHED, name):
        return {"url": name, "revision": None}
    return {"url": name, "revision": hashlib.sha256((site / name).read_bytes()).hexdigest()[:12]}


def lost(words: dict[str, str]) -> str:
    """The page for an address that is not kept, when there is no network."""
    title, text, link = (html.escape(words[key]) for key in ("lost-title", "lost", "lost-home"))
    return LOST.format(title=title, text=text, link=link, home="{home}")
