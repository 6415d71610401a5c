"""A page that was changed again and again is the same as one that came to the design at once; what the reader holds stays."""

from playwright.sync_api import expect

from tests.browser.desk import TUNNEL, at_rest, field, put, visit

ROUTE = [
    ("array.modules_in_series", "3"),
    ("run.home run.length", "90 ft"),
    ("array.modules_in_series", "8"),
    ("controller.max_voltage", "600 V"),
    ("array.strings_in_parallel", "1"),
    ("array.modules_in_series", "4"),
    ("array.strings_in_parallel", "3"),
]
"""By way of designs that hold, fail, have fixes and have other findings than the one it ends with."""
PARTS = ("verdict", "fixes", "findings", "ladder", "wiring", "derivations", "given", "assumptions", "edition")
STANDS = """parts => Object.fromEntries(parts.map(part => {
  const copy = document.getElementById(`report-${part}`).cloneNode(true);
  for (const one of [copy, ...copy.querySelectorAll("*")]) {
    const told = [...one.attributes].sort((a, b) => (a.name < b.name ? -1 : 1));
    for (const { name } of told) one.removeAttribute(name);
    for (const { name, value } of told) if (!["open", "tabindex", "aria-busy"].includes(name)) one.setAttribute(name, value);
  }
  return [part, copy.outerHTML];
}))"""
"""The parts as they stand, their attributes in one order, without what the page itself sets on them."""


def test_many_changes_come_to_the_same_page_as_one(page, reader, address):
    """Every part that is brought up to date piece by piece stands as where the whole design came with the address."""
    visit(page, address + TUNNEL)
    for path, text in ROUTE:
        at_rest(page, lambda path=path, text=text: put(page, path, text))
    page.wait_for_timeout(600)  # the address tells a design that has stood for a moment
    other = reader.new_page()
    at_rest(visit(other, page.url), lambda: None)
    expect(other.locator("#report-form .is-changed")).to_have_count(
        page.locator("#report-form .is-changed").count()
    )

    here, there = (one.evaluate(STANDS, PARTS) for one in (page, other))
    other.close()

    assert {part for part in PARTS if here[part] != there[part]} == set()


def test_what_the_reader_opened_and_focused_stays(page, address):
    """Chapters of the working that are open, and the link that has the keyboard, through a change that makes other steps."""
    visit(page, address + TUNNEL)
    page.locator("#report-derivations details").evaluate_all("all => all.forEach(one => (one.open = true))")
    link = page.locator("#step-charging_needed_V a[href]").first  # in the chapter that gets a further step
    link.focus()
    steps = page.locator("#report-derivations .step")
    before = steps.count()

    at_rest(page, lambda: change(page, "battery.equalise", "30 V"))

    assert steps.count() > before
    expect(link).to_be_focused()
    assert page.locator("#report-derivations details:not([open])").count() == 0


def change(page, path, text):
    """Change a value without moving the keyboard, as another tab or the back button does."""
    field(page, path).evaluate(
        "(one, text) => { one.value = text; one.dispatchEvent(new Event('change', { bubbles: true })); }",
        text,
    )
