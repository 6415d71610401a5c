"""The built site in a browser: every page opens, links well, asks no other place, and can be read by everybody."""

from base64 import b64encode
from dataclasses import dataclass, field
from time import monotonic
from typing import Any
from urllib.parse import unquote, urldefrag, urlsplit

import pytest

from tests.site.looks import (
    HEIGHTS,
    LOOKS,
    NARROW,
    OPEN_AS_BUILT,
    WIDE,
    WIDTHS,
    found_in_every_look,
    found_on,
)

BAD = 400  # the first of the statuses that mean something is wrong
PAPER = 680  # pixels between the margins of a sheet of A4 at 96 to the inch
WHITE = 0.95  # how light paper with nothing on it is at least


def listed(found):
    """Return what was found by page as lines that can be read in a test report, one for each page."""
    return "\n" + "\n".join(f"{path or 'start page'}: {what}" for path, what in sorted(found.items()))


@dataclass
class Visit:
    """What was seen while one page was open: at rest as it came, then as on paper, then with every box opened."""

    status: int
    title: str
    language: str
    headings: int
    ids: list[str]
    links: list[str]
    text: str
    requests: list[str]
    complaints: list[str]
    on_paper: dict[str, Any] = field(default_factory=dict)
    found: list[str] = field(default_factory=list)


TEXT = """() => {
  const article = (document.querySelector("article") ?? document.body).cloneNode(true);
  article.querySelector("#bench-offline")?.remove();  // says how this device keeps the pages, which takes a script to know
  return article.textContent.replace(/\\s+/g, " ");
}"""
SEEN = f"""() => ({{
  title: document.title,
  language: document.documentElement.lang,
  headings: document.querySelectorAll("h1").length,
  ids: [...document.querySelectorAll("[id]")].map(element => element.id),
  links: [...document.querySelectorAll("a[href]")].map(link => link.href),
  text: ({TEXT})(),
}})"""
ON_PAPER = """() => {
  const shown = element => element.getClientRects().length > 0;
  const all = selector => [...document.querySelectorAll(selector)];
  return {
    menus: all("nav, button, header[data-md-component]").filter(shown).length,
    hidden: all("article math").filter(element => !shown(element)).length,
    wide: document.documentElement.scrollWidth,
    cut: all("article *:not(.sr)")
      .filter(element => getComputedStyle(element).overflowX !== "visible")
      .filter(element => element.clientWidth && element.scrollWidth > element.clientWidth + 1)
      .map(element => element.className),
  };
}"""
SEEN_ONCE = ("color-contrast", "link-in-text-block", "target-size")
"""What stands in the styles, once for all pages of a kind; looking for it takes nearly all of the checker's time."""
AT_ONCE = 6
"""Pages that come to rest side by side: to see that nothing more is asked for takes half a second each."""
QUIET_S, PATIENCE_S = 0.5, 60


def lightness(page):
    """Return how light the ground of a page is, from 0 for black to 1 for white; paper with nothing on it is white."""
    return page.evaluate(
        """() => {
          const canvas = document.createElement("canvas").getContext("2d");
          const layers = [document.documentElement, document.body].map(one => getComputedStyle(one).backgroundColor);
          for (const layer of ["white", ...layers]) {
            canvas.fillStyle = layer;
            canvas.fillRect(0, 0, 1, 1);
          }
          const [red, green, blue] = canvas.getImageData(0, 0, 1, 1).data;
          return (red + green + blue) / 765;
        }"""
    )


class Visiting:
    """A page that is being visited, with everything noted that the tests below ask about."""

    def __init__(self, page, url):
        self.page, self.requests, self.complaints = page, [], []
        self.open, self.last = set(), monotonic()
        page.on("request", self._asked)
        page.on("requestfinished", self._over)
        page.on("requestfailed", self._over)
        page.on("requestfailed", lambda request: self.complaints.append(f"failed: {request.url}"))
        page.on(
            "response", lambda one: one.status < BAD or self.complaints.append(f"{one.status}: {one.url}")
        )
        page.on("console", lambda one: one.type in {"error", "warning"} and self.complaints.append(one.text))
        page.on("pageerror", lambda error: self.complaints.append(str(error)))
        self.status = page.goto(url, wait_until="commit").status

    def _asked(self, request):
        self.requests.append(request.url)
        self.open.add(request)
        self.last = monotonic()

    def _over(self, request):
        self.open.discard(request)
        self.last = monotonic()

    def at_rest(self):
        """What was seen once the page was read, and had asked for nothing in half a second."""
        self.page.wait_for_load_state("load")
        end = monotonic() + PATIENCE_S
        while self.open or monotonic() - self.last < QUIET_S:
            assert monotonic() < end, f"still on their way: {[one.url for one in self.open]}"
            self.page.wait_for_timeout(50)
        seen = self.page.evaluate(SEEN)
        return Visit(status=self.status, requests=[*self.requests], complaints=[*self.complaints], **seen)

    def on_paper(self):
        """How the page would be printed, on a sheet of A4."""
        self.page.set_viewport_size({"width": PAPER, "height": 900})
        self.page.emulate_media(media="print", color_scheme="dark")
        seen = self.page.evaluate(ON_PAPER) | {"light": lightness(self.page)}
        self.page.emulate_media(media="screen", color_scheme="light")
        return seen

    def wide_open(self, axe_source):
        """What is wrong with the page where it is narrow and every box is opened, but for looks."""
        self.page.set_viewport_size({"width": NARROW, "height": 900})
        self.page.evaluate(OPEN_AS_BUILT)
        return found_on(self.page, axe_source, SEEN_ONCE)


@pytest.fixture(scope="module")
def reports(pages):
    """Every design report, the published ones and the gallery's."""
    published = [path for path in pages if path.startswith("designs/") and path != "designs/"]
    assert len(published) >= 6
    return published + [path for path in pages if path.startswith("gallery/")]


@pytest.fixture(scope="module")
def visits(open_page, address, pages, reports, axe_source):
    """One visit to every page, by its path: each is long, and coming to it takes longer than what is looked at."""
    context, seen = open_page().context, {}
    for first in range(0, len(pages), AT_ONCE):
        group = {
            path: Visiting(context.new_page(), address + path) for path in pages[first : first + AT_ONCE]
        }
        for path, visiting in group.items():
            seen[path] = visiting.at_rest()
            if path in reports:
                seen[path].on_paper = visiting.on_paper()
            if path not in KINDS:
                seen[path].found = visiting.wide_open(axe_source)
            visiting.page.close()
    return seen


def test_opens(visits):
    """Every page answers, has a title, a language and one main heading."""
    bad = {
        path: seen
        for path, seen in visits.items()
        if (seen.status, bool(seen.title), bool(seen.language), seen.headings) != (200, True, True, 1)
    }

    assert visits[""].status == 200
    assert not bad, listed(bad)


def test_titles_differ(visits):
    """No two pages have the same title, so a reader can tell them apart among open windows."""
    titles = [seen.title for seen in visits.values()]

    assert sorted(set(titles)) == sorted(titles)


def test_asks_no_other_place(visits, address):
    """Every request goes to the site itself."""
    foreign = {
        url
        for seen in visits.values()
        for url in seen.requests
        if not url.startswith((address, "data:", "blob:"))
    }

    assert not foreign


def test_browser_has_no_complaints(visits):
    """No script fails, no file is missing and the console stays empty on any page."""
    complaints = {path: seen.complaints for path, seen in visits.items() if seen.complaints}

    assert not complaints, listed(complaints)


def test_ids_are_unique(visits):
    """No id stands twice on a page, so every link to a place on it has one target."""
    twice = {
        path: sorted({one for one in seen.ids if seen.ids.count(one) > 1}) for path, seen in visits.items()
    }

    assert not {path: ids for path, ids in twice.items() if ids}


def place(link):
    """Return the path of the page or file that a link inside the site leads to, named as `pages` names it."""
    folder, slash, name = unquote(urlsplit(link).path).lstrip("/").rpartition("/")
    return folder + slash + (name if name != "index.html" else "")


def test_links_lead_somewhere(visits, address, site):
    """Every link inside the site leads to a file or a page that exists and, with a fragment, to a place on it."""
    broken = set()
    for path, seen in visits.items():
        for link in seen.links:
            if not link.startswith(address):
                continue
            target, fragment = place(link), unquote(urldefrag(link).fragment)
            if target in visits:
                found = not fragment or fragment in visits[target].ids
            else:
                found = (site / target).is_file() and not fragment
            if not found:
                broken.add(f"{path or 'start page'} links to {link.removeprefix(address)}")

    assert not broken, "\n" + "\n".join(sorted(broken))


def test_other_places_are_linked_safely(visits, address):
    """A link that leaves the site is to be opened over an encrypted connection or is a mail address."""
    links = {link for seen in visits.values() for link in seen.links if not link.startswith(address)}

    assert not {link for link in links if urlsplit(link).scheme not in {"https", "mailto"}}


def test_reachable_from_the_start_page(visits, address):
    """A reader who only follows links from the start page finds every page but the gallery of odd designs."""
    reached, waiting = set(), [""]
    while waiting:
        path = waiting.pop()
        if path in reached or path not in visits:
            continue
        reached.add(path)
        waiting += [
            unquote(urlsplit(link).path).lstrip("/")
            for link in visits[path].links
            if link.startswith(address)
        ]

    assert {path for path in visits if "gallery" not in path} - reached <= {"404.html"}


def test_wrong_address(open_page, address):
    """A wrong address, however deep, is answered as such, with a page that leads back to the start."""
    page = open_page()

    response = page.goto(address + "no/such/page/")

    assert response.status == 404
    assert "" in [place(link) for link in page.evaluate("[...document.links].map(link => link.href)")]


KINDS = (
    "",
    "404.html",
    "cautions/",
    "designs/",
    "designs/roadside-stand/",
    "gallery/narrow-margins/",
    "gallery/no-run/",
    "gallery/one-too-many/",
    "guide/",
    "guide/metering/",
    "guide/shade-and-faults/",
    "how/",
    "how/assumptions/",
    "how/format/",
    "how/lesson/",
    "how/measures/",
    "how/methods/",
    "how/not-checked/",
    "how/published/",
    "how/sources/",
    "how/symbols/",
    "how/tables/",
    "meter/",
    "try/",
    "words/",
)
"""Every page of the menu, and of the pages that there are many of some of each kind."""


def test_accessible_with_everything_open(visits):
    """On none of the further pages, with every box opened, is anything too wide or against WCAG 2.2 AA but for looks."""
    found = {path: seen.found for path, seen in visits.items() if seen.found}

    assert len({*visits} - {*KINDS}) > 30
    assert not found, listed(found)


def test_every_page_of_the_menu_is_looked_at(pages):
    """What is tried in every look are pages that there are, and every page that is none of many."""
    many = ("designs/", "gallery/", "guide/")

    assert set(KINDS) <= set(pages)
    assert {path for path in pages if not path.startswith(many)} <= set(KINDS)


@pytest.mark.parametrize("path", KINDS)
def test_accessible_in_every_look(open_page, address, axe_source, path):
    """A page of each kind, as it opens and with every box opened, in every look and width, keeps all of WCAG 2.2 AA."""
    page = open_page()
    page.goto(address + path)
    closed, found = page.locator("details:not([open])").count(), []

    if closed:  # nothing is seen then that is not seen with every box opened
        found += found_in_every_look(page, axe_source, looks=("light", "dark"), alike=True)
        page.evaluate(OPEN_AS_BUILT)
    found += found_in_every_look(page, axe_source)

    assert not found, "\n".join(found)


BAD_STYLE = "p { color: color-mix(in srgb, CanvasText 45%, Canvas) !important; forced-color-adjust: none }"


def test_bad_colours_would_be_noticed(open_page, address, axe_source):
    """Text that is too faint is found in every look, at each width."""
    page = open_page()
    page.goto(address + "404.html")
    page.evaluate(
        "style => { const sheet = new CSSStyleSheet(); sheet.replaceSync(style); document.adoptedStyleSheets = [sheet]; }",
        BAD_STYLE,
    )

    found = found_in_every_look(page, axe_source)

    assert {one.split(": ")[0] for one in found} == {
        f"{look}, {width} px" for look in LOOKS for width in HEIGHTS
    }


FAINT_WORD = """() => {
  const word = document.createElement("p");
  word.textContent = "faint";
  word.style.color = "color-mix(in srgb, CanvasText 45%, Canvas)";
  document.querySelector("h1").after(word);
}"""


@pytest.mark.parametrize("alike", [False, True])
def test_one_bad_colour_among_good_ones_would_be_noticed(open_page, address, axe_source, alike):
    """A page found good is not passed over when it comes again with one faint word, nor at the time after that."""
    page = open_page()
    page.goto(address + "404.html")
    assert found_in_every_look(page, axe_source, alike=alike) == []

    page.evaluate(FAINT_WORD)

    for _ in range(2):
        found = found_in_every_look(page, axe_source, alike=alike)
        looks = {one.split(": ")[0] for one in found}
        assert {
            f"{look}, {width} px" for look in LOOKS if look != "forced colours" for width in HEIGHTS
        } <= looks


GREY_WORD = """tall => {
  const word = document.createElement("p");
  word.textContent = "grey";
  word.style = `color: #808080; background: #ffffff; font-size: ${tall}px`;
  document.querySelector("h1").after(word);
}"""


def test_small_type_is_not_taken_for_large(open_page, address, axe_source):
    """A grey that is enough for large type (3.9 to 1, where 3 and 4.5 are wanted) is noticed in small type after it."""
    page = open_page()
    page.goto(address + "404.html")
    page.evaluate(GREY_WORD, 40)
    assert found_in_every_look(page, axe_source, looks=("light",), alike=True) == []

    page.evaluate(GREY_WORD, 16)

    assert len(found_in_every_look(page, axe_source, looks=("light",), alike=True)) == len(HEIGHTS)


@pytest.fixture(scope="module")
def unscripted(open_page, address, pages):
    """What is to be seen on every page with scripts switched off, by its path."""
    page, seen, widths = open_page(script=False), {}, (WIDE, NARROW)
    for path in pages:
        page.goto(address + path)
        seen[path] = page.evaluate(WITHOUT_SCRIPT)
        for width in widths:
            page.set_viewport_size({"width": width, "height": 900})
            seen[path][width] = max(page.evaluate(WIDTHS))
        widths = widths[::-1]  # the next page opens as wide as this one was left
    return seen


@pytest.mark.parametrize("width", [NARROW, WIDE])
def test_no_sideways_scroll(unscripted, width):
    """No page is wider than the window as it opens, on a small phone or on a desk."""
    wider = {path: seen[width] for path, seen in unscripted.items() if seen[width] > width}

    assert not wider, listed(wider)


PIXELS = """async ([picture, places]) => {
  const canvas = document.createElement("canvas").getContext("2d");
  const read = await createImageBitmap(await (await fetch("data:image/png;base64," + picture)).blob());
  [canvas.canvas.width, canvas.canvas.height] = [read.width, read.height];
  canvas.drawImage(read, 0, 0);
  return places.map(x => [...canvas.getImageData((x + read.width) % read.width, 0, 1, 1).data].slice(0, 3));
}"""
BLANK_LINE = """async ([at, along]) => {
  const box = document.querySelectorAll(".scroll")[at];
  box.scrollLeft = along * (box.scrollWidth - box.clientWidth);
  box.scrollIntoView({ block: "start" });
  await new Promise(painted => requestAnimationFrame(() => requestAnimationFrame(painted)));
  const { left, width } = box.getBoundingClientRect();
  return { x: left, width, y: box.querySelector("tr").getBoundingClientRect().top + 3, height: 1 };
}"""
BOXES = """[...document.querySelectorAll(".scroll")].map(box => box.scrollWidth - box.clientWidth)"""
SOFT = """() => {
  const canvas = document.createElement("canvas").getContext("2d");
  canvas.fillStyle = getComputedStyle(document.querySelector(".scroll thead th")).color;
  canvas.fillRect(0, 0, 1, 1);
  return [...canvas.getImageData(0, 0, 1, 1).data].slice(0, 3);
}"""


def contrast(one, other):
    """The contrast of two colours, by the formula of WCAG 2.2."""
    lights = []
    for colour in (one, other):
        shares = [part / 255 for part in colour]
        linear = [part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in shares]
        lights.append(0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2])
    return (max(lights) + 0.05) / (min(lights) + 0.05)


class Box:
    """A box that scrolls sideways, by its place among those of the page, and the line above its first words."""

    def __init__(self, page, reader, at):
        self.page, self.reader, self.at = page, reader, at

    def line(self, along, *places):
        """Colours at places from the left, or if below zero from the right, when scrolled so far of the way."""
        clip = self.page.evaluate(BLANK_LINE, [self.at, along])
        picture = b64encode(self.page.screenshot(clip=clip)).decode()
        return self.reader.evaluate(PIXELS, [picture, list(places)])


@pytest.mark.parametrize("look", LOOKS)
def test_a_box_shows_that_more_is_to_the_side(open_page, address, look):
    """A calm edge where something is hidden and nowhere else; soft words on it keep the contrast they must have."""
    page, reader = open_page(width=360), open_page()
    page.emulate_media(**LOOKS[look][0])
    page.goto(f"{address}how/tables/")
    rooms = page.evaluate(BOXES)
    wide = Box(page, reader, next(at for at, room in enumerate(rooms) if room > 100))
    fits = Box(page, reader, rooms.index(0))

    for box, along, hidden in ((wide, 0, "right"), (wide, 0.5, "both"), (wide, 1, "left"), (fits, 0, "none")):
        left, shade, ground, right = box.line(along, 0, 2, 100, -1)
        assert (left != ground) == (hidden in ("left", "both")), (along, left, ground)
        assert (right != ground) == (hidden in ("right", "both")), (along, right, ground)
        assert contrast(shade, page.evaluate(SOFT)) >= (7 if "more" in look else 4.5)
    _, ground, edge = wide.line(0, 0, 100, -1)
    assert contrast(edge, ground) >= 3, "what tells something is seen (WCAG 2.2, criterion 1.4.11)"


def test_paper_shows_no_edge_of_a_box(open_page, address):
    """Nothing scrolls on paper."""
    page = open_page(width=360)
    page.goto(f"{address}how/tables/")
    drawn = "getComputedStyle(document.querySelector('.scroll')).backgroundImage"

    assert page.evaluate(drawn) != "none"
    page.emulate_media(media="print")
    assert page.evaluate(drawn) == "none"


def test_follows_the_readers_scheme(open_page, address):
    """A reader who has asked for dark pages gets a dark one; everybody else gets a light one."""
    light, dark = open_page(scheme="light"), open_page(scheme="dark")

    light.goto(address)
    dark.goto(address)

    assert lightness(light) > 0.85
    assert lightness(dark) < 0.2


VERDICTS = ("holds", "tight", "fails", "needs input")
WITHOUT_SCRIPT = f"""() => ({{
  text: ({TEXT})(),
  shown: (document.querySelector("article") ?? document.body).innerText.toLowerCase(),
  parts: Object.fromEntries(["table", "svg[role=img]", "math"]
    .map(part => [part, document.querySelectorAll("article " + part).length])),
}})"""


def test_reports_need_no_script(visits, reports, unscripted):
    """With scripts switched off, a report says in full what it says with them."""
    assert not [path for path in reports if visits[path].text != unscripted[path]["text"]]


def test_reports_are_complete_without_script(reports, unscripted):
    """With scripts switched off, a report still shows a verdict, its findings, drawings and every derivation."""
    lacking = {}
    for path in reports:
        seen = unscripted[path]
        missing = [part for part, count in seen["parts"].items() if not count]
        missing += [] if any(verdict in seen["shown"] for verdict in VERDICTS) else ["verdict"]
        if missing:
            lacking[path] = missing

    assert not lacking, listed(lacking)


def test_prints(visits, reports):
    """On paper a report has no menus, shows every formula also from closed boxes, and nothing runs off the sheet."""
    good = {"menus": 0, "hidden": 0, "wide": PAPER, "cut": []}
    bad = {}
    for path in reports:
        seen = dict(visits[path].on_paper)
        light = seen.pop("light")
        if seen != good or light < WHITE:
            bad[path] = seen | {"light": light}

    assert not bad, listed(bad)
