"""What the pages do beyond being read: search, light and dark, opening the box that a link points into."""

from playwright.sync_api import expect

from tests.site.looks import found_in_every_look
from tests.site.test_pages import lightness

FOUND = "#search-found a"


def search(page, words):
    """Open the search and type."""
    page.get_by_role("button", name="Search").click()
    page.get_by_role("searchbox", name="Search these pages").fill(words)


def test_search_finds_and_leads(open_page, address):
    """A word typed into the search leads to a page about it, by mouse or by keyboard."""
    page = open_page()
    page.goto(address)

    search(page, "ampacity")
    page.wait_for_selector(FOUND)
    assert "page" in page.locator("#search-count").inner_text()
    page.keyboard.press("Enter")

    page.wait_for_url(lambda url: url != address)
    assert "ampacity" in page.locator("main").inner_text().lower()


def test_search_finds_a_design_from_any_page(open_page, address):
    """The search knows designs by their titles, and its links work from deep in the site."""
    page = open_page()
    page.goto(address + "how/tables/")

    search(page, "weather mast")
    page.wait_for_selector(FOUND)
    page.locator(FOUND).first.click()

    page.wait_for_url("**/designs/weather-mast/**")


def test_search_says_when_there_is_nothing(open_page, address):
    """A word that stands nowhere is answered in words."""
    page = open_page()
    page.goto(address)

    search(page, "xylophone")

    expect(page.locator("#search-count")).to_have_text("Nothing found.")


def test_search_without_its_index(open_page, address):
    """When the index cannot be fetched, the search says so and the page stays as it is."""
    page = open_page()
    page.add_init_script("delete Navigator.prototype.serviceWorker")  # which would have a copy
    page.route("**/search_index.json", lambda route: route.abort())
    page.goto(address)

    search(page, "fuse")

    expect(page.locator("#search-count")).to_contain_text("could not be loaded")


def test_escape_closes_the_search(open_page, address):
    """Escape closes the search and gives the focus back to its button."""
    page = open_page()
    page.goto(address)

    search(page, "fuse")
    page.wait_for_selector(FOUND)
    page.keyboard.press("Escape")

    assert not page.locator("#search").is_visible()
    assert page.evaluate("document.activeElement.id") == "open-search"


def test_search_is_accessible(open_page, address, axe_source):
    """The accessibility checker finds nothing in the open search with results, in any look."""
    page = open_page()
    page.goto(address)
    search(page, "voltage")
    page.wait_for_selector(FOUND)

    assert found_in_every_look(page, axe_source) == []


def test_light_and_dark(open_page, address):
    """The button turns the page and names what it will do; the choice holds on the next page, and can be taken back."""
    page = open_page(scheme="light")
    page.goto(address)

    page.get_by_role("button", name="Dark page").click()
    assert lightness(page) < 0.2
    page.goto(address + "words/")
    assert lightness(page) < 0.2
    page.get_by_role("button", name="Light page").click()

    assert lightness(page) > 0.85
    assert page.evaluate("Object.keys(localStorage).filter(key => key.startsWith('arraybook.page'))") == []


def test_link_into_a_closed_box_opens_it(open_page, address):
    """A number's link leads to a step in view, although the working is closed at first."""
    page = open_page()
    page.goto(address + "designs/weather-mast/")
    step = page.locator("#step-voc_cold_string_V")
    assert not step.is_visible()

    page.locator("a[href='#step-voc_cold_string_V']").first.click()

    assert step.is_visible()
    assert page.evaluate(
        "document.getElementById('step-voc_cold_string_V').getBoundingClientRect().top < innerHeight"
    )
