"""The built site in a browser: every page opens, links well, asks no other place, and can be read by everybody."""

from dataclasses import dataclass, field
from urllib.parse import unquote, urldefrag, urlsplit

import pytest

WIDE, NARROW = 1280, 320
BAD = 400  # the first of the statuses that mean something is wrong
PAPER = 680  # pixels between the margins of a sheet of A4 at 96 to the inch
WCAG_2_2_AA = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"]
RUN_AXE = """async ([tags, leftOut]) => {
  const rules = Object.fromEntries(leftOut.map(rule => [rule, { enabled: false }]));
  const what = { runOnly: { type: "tag", values: tags }, rules, resultTypes: ["violations"], preload: false };
  const found = await axe.run(document, what);
  return found.violations.flatMap(rule => rule.nodes.map(node => rule.id + " at " + node.target.join(" ")));
}"""


def listed(found):
    """Return what was found by page as lines that can be read in a test report, one for each page."""
    return "\n" + "\n".join(f"{path or 'start page'}: {what}" for path, what in sorted(found.items()))


@dataclass
class Visit:
    """What was seen while one page was open."""

    status: int
    title: str
    language: str
    headings: int
    ids: list[str]
    links: list[str]
    requests: list[str] = field(default_factory=list)
    complaints: list[str] = field(default_factory=list)


def visit(page, url):
    """Open a page, let it come to rest, and note everything that the tests below ask about."""
    requests, complaints = [], []
    listeners = {
        "request": lambda request: requests.append(request.url),
        "requestfailed": lambda request: complaints.append(f"failed: {request.url}"),
        "response": lambda answer: answer.status < BAD or complaints.append(f"{answer.status}: {answer.url}"),
        "console": lambda message: message.type in {"error", "warning"} and complaints.append(message.text),
        "pageerror": lambda error: complaints.append(str(error)),
    }
    for event, listener in listeners.items():
        page.on(event, listener)
    response = page.goto(url, wait_until="networkidle")
    seen = page.evaluate(
        """() => ({
          title: document.title,
          language: document.documentElement.lang,
          headings: document.querySelectorAll("h1").length,
          ids: [...document.querySelectorAll("[id]")].map(element => element.id),
          links: [...document.querySelectorAll("a[href]")].map(link => link.href),
        })"""
    )
    for event, listener in listeners.items():
        page.remove_listener(event, listener)
    return Visit(status=response.status, requests=requests, complaints=complaints, **seen)


@pytest.fixture(scope="module")
def visits(open_page, address, pages):
    """One visit to every page, by its path."""
    page = open_page()
    return {path: visit(page, address + path) for path in pages}


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


OPEN_ALL = "for (const box of document.querySelectorAll('details')) box.open = true"
WIDTHS = "[document.documentElement.scrollWidth, document.body.scrollWidth]"
LOOKS = ("color-contrast", "target-size")
"""What stands in the styles, once for all pages of a kind; looking for it takes nearly all of the checker's time."""
KINDS = (
    "",
    "404.html",
    "designs/",
    "designs/roadside-stand/",
    "gallery/narrow-margins/",
    "gallery/no-run/",
    "gallery/one-too-many/",
    "guide/",
    "guide/metering/",
    "guide/shade-and-faults/",
    "how/published/",
    "how/tables/",
    "meter/",
    "try/",
    "words/",
)


def found_on(page, axe_source, left_out=()):
    """What is wrong with a page as it stands: what the checker finds, and being wider than the window.

    Wide tables scroll inside themselves.
    """
    page.evaluate(axe_source)
    found = page.evaluate(RUN_AXE, [WCAG_2_2_AA, list(left_out)])
    measured = page.evaluate(WIDTHS)
    return found + [f"{measured} wide"] * (max(measured) > page.viewport_size["width"])


def found_opened(page, address, paths, axe_source, left_out=()):
    """What is wrong with pages when every closed box is opened."""
    found = {}
    for path in paths:
        page.goto(address + path)
        page.evaluate(OPEN_ALL)
        found[path] = found_on(page, axe_source, left_out)
    return {path: what for path, what in found.items() if what}


def test_accessible_with_everything_open(open_page, address, pages, axe_source):
    """On no page, with every box opened, is anything wider than a phone or against WCAG 2.2 AA but for looks."""
    found = found_opened(open_page(width=NARROW), address, pages, axe_source, LOOKS)

    assert not found, listed(found)


@pytest.mark.parametrize(("scheme", "width"), [("light", WIDE), ("dark", NARROW)])
def test_colours_with_everything_open(open_page, address, pages, axe_source, scheme, width):
    """On a page of each kind, with every box opened, nothing at all is against WCAG 2.2 AA, in light and in dark."""
    assert set(KINDS) <= set(pages)

    found = found_opened(open_page(scheme=scheme, width=width), address, KINDS, axe_source)

    assert not found, listed(found)


@pytest.mark.parametrize("width", [NARROW, WIDE])
def test_no_sideways_scroll(open_page, address, pages, width):
    """No page is wider than the window as it opens, on a small phone or on a desk."""
    page = open_page(width=width, script=False)
    wider = {}
    for path in pages:
        page.goto(address + path)
        measured = page.evaluate(WIDTHS)
        if max(measured) > width:
            wider[path] = measured

    assert not wider, listed(wider)


def test_accessible_in_high_contrast(browser, address, axe_source):
    """One page of each kind stays good for a reader whose device sets few strong colours of its own."""
    context = browser.new_context(forced_colors="active", service_workers="block")
    page = context.new_page()
    found = {}
    for path in KINDS:
        page.goto(address + path)
        found[path] = found_on(page, axe_source)
    context.close()

    assert not any(found.values()), listed({path: what for path, what in found.items() if what})


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


def test_follows_the_readers_scheme(open_page, address):
    """A reader who has asked for dark pages gets a dark one; everybody else gets a light one."""
    light, dark = open_page(scheme="light"), open_page(scheme="dark")

    light.goto(address)
    dark.goto(address)

    assert lightness(light) > 0.85
    assert lightness(dark) < 0.2


@pytest.fixture(scope="module")
def reports(pages):
    """Every design report, the published ones and the gallery's."""
    published = [path for path in pages if path.startswith("designs/") and path != "designs/"]
    assert len(published) >= 6
    return published + [path for path in pages if path.startswith("gallery/")]


VERDICTS = ("holds", "tight", "fails", "needs input")
TEXT = """() => {
  const article = document.querySelector("article").cloneNode(true);
  article.querySelector("#bench-offline")?.remove();  // says how this device keeps the pages, which takes a script to know
  return article.textContent.replace(/\\s+/g, " ");
}"""


def test_reports_need_no_script(open_page, address, reports):
    """With scripts switched off, a report says in full what it says with them."""
    with_script, without = open_page(), open_page(script=False)
    differ = []
    for path in reports:
        with_script.goto(address + path)
        without.goto(address + path)
        if with_script.evaluate(TEXT) != without.evaluate(TEXT):
            differ.append(path)

    assert not differ


def test_reports_are_complete_without_script(open_page, address, reports):
    """With scripts switched off, a report still shows a verdict, its findings, drawings and every derivation."""
    page = open_page(script=False)
    lacking = {}
    for path in reports:
        page.goto(address + path)
        article = page.locator("article")
        text = article.inner_text().lower()
        missing = [part for part in ("table", "svg[role=img]", "math") if not article.locator(part).count()]
        missing += [] if any(verdict in text for verdict in VERDICTS) else ["verdict"]
        if missing:
            lacking[path] = missing

    assert not lacking, listed(lacking)


def test_prints(open_page, address, reports):
    """On paper a report has no menus, shows every formula also from closed boxes, and nothing runs off the sheet."""
    page = open_page(width=PAPER)
    page.emulate_media(media="print", color_scheme="dark", reduced_motion="reduce")
    bad = {}
    for path in reports:
        page.goto(address + path)
        seen = page.evaluate(
            """() => {
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
        )

        if seen != {"menus": 0, "hidden": 0, "wide": PAPER, "cut": []} or lightness(page) < 0.95:
            bad[path] = seen

    assert not bad, listed(bad)
