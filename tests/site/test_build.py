"""The built site as files, and what stops a build: no page needs a browser here."""

import re
import shutil
import subprocess
import sys
from html.parser import HTMLParser
from urllib.parse import unquote, urldefrag, urljoin

import pytest

from floor import ROOT, TOOLS, npm, runtime

SITE = "https://site.example/below/"  # reserved for examples by RFC 2606; any place below any host must do
LOST = "404.html"  # shown at any address, so it knows the address of the whole site instead of ways to pages
ASKS = {"src", "srcset", "poster", "data", "action", "formaction", "xlink:href"}


class Page(HTMLParser):
    """What a page has, names, asks for and links to."""

    def __init__(self, html):
        super().__init__()
        self.ids, self.links, self.asked, self.metas, self.title, self.in_title = [], [], [], {}, "", False
        self.styled, self.handled = [], []
        self.feed(html)
        self.close()

    def handle_starttag(self, tag, attrs):
        """Note one tag."""
        attributes = dict(attrs)
        self.in_title = tag == "title" and not self.title
        self.ids += [attributes["id"]] if "id" in attributes else []
        self.asked += [value for name, value in attributes.items() if name in ASKS and value]
        self.styled += [tag] if "style" in attributes else []
        self.handled += [name for name in attributes if name.startswith("on")]
        if tag == "link" and attributes.get("rel") != "canonical":
            self.asked.append(attributes["href"])
        if tag == "a" and "href" in attributes:
            self.links.append(attributes["href"])
        if tag == "meta" and "name" in attributes:
            self.metas[attributes["name"]] = attributes.get("content", "")

    def handle_data(self, data):
        """Note the title."""
        self.title += data if self.in_title else ""
        self.in_title = False


@pytest.fixture(scope="module")
def built(site):
    """Every page of the built site, parsed, by its path."""
    files = sorted(site.rglob("*.html"))
    return {file.relative_to(site).as_posix(): Page(file.read_text("utf-8")) for file in files}


def test_ids_stand_once(built):
    """No id stands twice on a page."""
    assert {path: page.ids for path, page in built.items() if len(page.ids) != len(set(page.ids))} == {}


def test_links_and_anchors_lead_somewhere(built, site):
    """Every link inside the site leads to a file that is there and to a place on it, from wherever the site lies."""
    broken = set()
    for path, page in built.items():
        if path == LOST:
            continue
        for link in page.links:
            url, place = urldefrag(urljoin(SITE + path, link))
            if not url.startswith(SITE):
                assert url.startswith(("https://", "mailto:")), (path, link)
                continue
            target = unquote(url.removeprefix(SITE))
            target += "index.html" if target.endswith("/") or not target else ""
            found = target in built and (not place or unquote(place) in built[target].ids)
            if not found and not ((site / target).is_file() and not place):
                broken.add(f"{path}: {link}")

    assert broken == set()


def test_nothing_is_asked_from_elsewhere(built, site):
    """No page and no style names another place to fetch from, and what they fetch is there."""
    for path, page in built.items():
        for asked in page.asked:
            url = urljoin(SITE + path, asked if path != LOST else asked.lstrip("/"))
            assert url.startswith(SITE), (path, asked)
            assert (site / unquote(url.removeprefix(SITE))).is_file(), (path, asked)
    for sheet in site.rglob("*.css"):
        assert not re.search(r"url\(|@import|https?:", sheet.read_text("utf-8")), sheet.name


def test_markup_can_be_served_under_a_strict_policy(built):
    """No element carries a style or a script of its own in an attribute, so a policy can forbid both."""
    assert {
        path: page.styled + page.handled for path, page in built.items() if page.styled or page.handled
    } == {}


def test_pages_say_what_they_are(built):
    """Every page has a title and a description of its own, so that searches and readers can tell pages apart."""
    described = {
        path: (page.title.strip(), page.metas.get("description", "")) for path, page in built.items()
    }

    assert [
        path for path, (title, description) in described.items() if not title or len(description) < 20
    ] == []
    for place in (0, 1):
        values = [pair[place] for pair in described.values()]
        assert len(set(values)) == len(values)


def test_gallery_is_not_offered_to_searches(built):
    """The odd designs of the gallery ask searches to leave them out, and no other page links to them.

    The reports of the lessons' small designs ask the same: a search should lead to the lesson.
    """
    hidden = {path for path in built if path.startswith(("gallery/", "guide/designs/"))}
    gallery = {path for path in hidden if path.startswith("gallery/")}
    linking = {path for path, page in built.items() for link in page.links if "gallery/" in link}

    assert all("noindex" in built[path].metas.get("robots", "") for path in hidden)
    assert linking <= gallery
    assert not any("robots" in page.metas for path, page in built.items() if path not in hidden | {LOST})


def test_search_finds_reports_by_what_they_are(site):
    """The search knows every published design by title and story, and is not filled with its working."""
    index = (site / "search" / "search_index.json").read_text("utf-8")
    published = [file.stem for file in (ROOT / "scenarios" / "examples").glob("*.toml")]

    assert all(f'"location":"designs/{name}/"' in index for name in published)
    assert "gallery/" not in index
    assert len(index) < 400_000


def test_theme_leaves_nothing_unused_behind(site):
    """The theme's own style, widgets and source maps are not in the site: no page uses them."""
    names = [
        file.relative_to(site / "assets").as_posix()
        for file in (site / "assets").rglob("*")
        if file.is_file()
    ]

    assert len([name for name in names if name.endswith(".css")]) == 1
    assert [name for name in names if "bundle" in name or name.endswith(".map")] == []


@pytest.fixture
def project(tmp_path):
    """A copy of all that a build needs, to be broken."""
    for name in ("calc", "site_src", "scenarios"):
        shutil.copytree(ROOT / name, tmp_path / name, ignore=shutil.ignore_patterns("__pycache__"))
    shutil.copytree(ROOT / "tests" / "published", tmp_path / "tests" / "published")
    shutil.copy(ROOT / "mkdocs.yml", tmp_path)
    return tmp_path


def build(project):
    """Build a project strictly, as the scripts do, and return how it ended."""
    npm.tool("live")
    command = [sys.executable, "-m", "mkdocs", "build", "--strict", "--quiet", "--site-dir", "built"]
    return subprocess.run(
        command,
        cwd=project,
        env={"PYTHONPATH": str(project), "ARRAYBOOK_TOOLS": str(TOOLS)},
        capture_output=True,
        text=True,
        check=False,
    )


def test_unknown_show_stops_the_build(project):
    """A page that asks to show what does not exist stops the build, with the page, the line and what there is."""
    page = project / "site_src" / "pages" / "how" / "symbols.md"
    text = page.read_text("utf-8").replace("<!-- show: symbols -->", "<!-- show: symbosl -->")
    page.write_text(text, "utf-8")
    line = text[: text.index("symbosl")].count("\n") + 1

    ended = build(project)

    assert ended.returncode != 0
    assert f"how/symbols.md, line {line}: there is nothing to show for ': symbosl'" in ended.stderr
    assert "<!-- show: symbols -->" in ended.stderr


def test_refused_design_stops_the_build(project):
    """A design file that cannot be read stops the build, with its name and everything that is wrong in it."""
    file = project / "scenarios" / "examples" / "odd.toml"
    file.write_text('[module]\nvoc = "22.4"\nisc = "6.3 V"\n', "utf-8")

    ended = build(project)

    assert ended.returncode != 0
    assert "scenarios/examples/odd.toml" in ended.stderr
    for path in ("module.voc", "module.isc", "module.vmp", "module.imp", "array"):
        assert f"  {path}" in ended.stderr, path
    assert not (project / "built" / "designs" / "odd").exists()


def test_same_sources_same_bytes(project, site):
    """Built once more, at another place, the site is the same in every byte of every file (the build's day aside)."""
    ended = build(project)
    assert ended.returncode == 0, ended.stderr
    day = re.compile(rb"<lastmod>[^<]*</lastmod>")

    def content(folder):
        files = [file for file in folder.rglob("*") if file.is_file() and file.name != "sitemap.xml.gz"]
        return {file.relative_to(folder).as_posix(): day.sub(b"", file.read_bytes()) for file in files}

    here, there = content(site), content(project / "built")
    assert sorted(here) == sorted(there)
    assert [name for name in here if here[name] != there[name]] == []


def test_same_core_same_archives(tmp_path):
    """Packed once more, the calculation that browsers fetch is the same in every byte."""
    runtime.pack(tmp_path)

    for name in ("python.pack", "core.pack"):
        assert (tmp_path / name).read_bytes() == (runtime.packed() / name).read_bytes()


def test_one_more_file_is_one_more_report(project):
    """A new design file is published by being there: a report page, and a line on the list, nothing by hand."""
    file = project / "scenarios" / "examples" / "one-more.toml"
    file.write_text(
        'title = "Lamp & bell <at> the gate"\nstory = "A test."\n'
        '[module]\nvoc = "22.4 V"\nisc = "6.3 A"\nvmp = "18.2 V"\nimp = "6.04 A"\n'
        "[array]\nmodules_in_series = 1\nstrings_in_parallel = 2\n",
        "utf-8",
    )

    ended = build(project)
    report = Page((project / "built" / "designs" / "one-more" / "index.html").read_text("utf-8"))
    shelf = Page((project / "built" / "designs" / "index.html").read_text("utf-8"))

    assert ended.returncode == 0, ended.stderr
    assert report.title.startswith("Lamp & bell <at> the gate")
    assert "one-more/" in shelf.links
