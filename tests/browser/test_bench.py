"""The bench: begin from any worked design, pin a layout, and see the two side by side."""

import re

from playwright.sync_api import expect

from tests.browser.desk import BENCH, SLOW, at_rest, field, put, told, verdict, visit


def compared(page):
    return re.sub(r"\s+", " ", page.locator("#report-compare").text_content())


def rows(page):
    """The lines of the comparison's tables: the cells by what they are about."""
    lines = page.locator("#report-compare tbody tr").evaluate_all(
        "all => all.map(row => [...row.children].map(cell => cell.textContent.replace(/\\s+/g, ' ').trim()))"
    )
    return {name: cells for name, *cells in lines}


def press(page, name):
    return page.locator(f'#bench [data-do="{name}"]').first.click


def test_a_comparison_stands_ready_without_a_script(open_page, address):
    """Before any script the page shows two layouts of the same modules, with each difference named."""
    page = open_page(script=False)
    page.goto(address + BENCH)

    assert page.locator("#report-compare").is_visible()
    assert "The pinned layout" in compared(page)
    assert page.locator("#report-compare table").count() == 3
    assert page.locator("#report-verdict").is_visible()


def test_the_ready_comparison_is_the_live_one(page, address):
    """Once the calculation runs, the same comparison comes out of the core."""
    visit(page, address + BENCH)
    ready = compared(page)

    at_rest(page, lambda: put(page, "site.coldest", "-20 degC"))
    at_rest(page, press(page, "reset"))

    assert compared(page) == ready


def test_pin_change_and_compare(page, address):
    """A pinned layout stays while the other changes, and the differences are named in sentences and in tables."""
    visit(page, address + BENCH)
    at_rest(page, press(page, "pin"))
    assert "No finding differs" in compared(page)

    at_rest(page, lambda: put(page, "array.modules_in_series", "4"))

    text = compared(page)
    assert re.search(r"The pinned layout is tight; this one (fails|holds|is tight)", text)
    assert rows(page)["modules in series"] == ["1", "4"]
    assert "The pinned layout:" in text
    assert rows(page)["Open-circuit voltage of a string on the coldest morning"][2].endswith(" V more")


def test_swap_and_unpin(page, address):
    """Swapped, the pinned layout is on the bench and the other is pinned; unpinned, the comparison goes."""
    visit(page, address + BENCH)
    at_rest(page, press(page, "pin"))
    at_rest(page, lambda: put(page, "array.modules_in_series", "3"))

    at_rest(page, press(page, "swap"))

    assert field(page, "array.modules_in_series").input_value() == "1"
    assert rows(page)["modules in series"] == ["3", "1"]
    at_rest(page, press(page, "unpin"))
    expect(page.locator("#report-compare")).to_be_hidden()
    expect(page.locator('#bench [data-do="swap"]')).to_be_hidden()


def test_the_keyboard_stays_with_the_pin_when_its_buttons_go(page, address):
    """Who unpins by the keyboard goes on at the button that pins, not at the start of the page."""
    visit(page, address + BENCH)

    page.locator('#bench [data-do="unpin"]').focus()
    page.keyboard.press("Enter")

    expect(page.locator('#bench [data-do="unpin"]')).to_be_hidden(timeout=SLOW)
    expect(page.locator('#bench [data-do="pin"]')).to_be_focused()


HEAR = """
  window.heard = [];
  const spoken = document.getElementById("bench-spoken");
  new MutationObserver(() => window.heard.push(spoken.textContent)).observe(spoken, { childList: true });
"""


def test_what_was_done_with_the_pinned_layout_is_spoken_before_the_verdict(page, address):
    """In one announcement, so that neither cuts the other off; what is changed afterwards is told by its verdict alone."""
    visit(page, address + BENCH)
    page.evaluate(HEAR)
    begins = []

    for deed, says in (
        (press(page, "pin"), "This layout is pinned. This design: "),
        (lambda: put(page, "array.modules_in_series", "4"), "This design: "),
        (press(page, "swap"), "The two layouts are swapped. This design: "),
        (press(page, "unpin"), "No layout is pinned any more. This design: "),
    ):
        deed()
        begins.append(says)
        page.wait_for_function("count => window.heard.length >= count", arg=len(begins), timeout=SLOW)

    page.wait_for_timeout(1500)  # longer than a verdict waits before it is told
    heard = page.evaluate("window.heard")
    assert len(heard) == len(begins)
    assert all(text.startswith(says) for text, says in zip(heard, begins, strict=True)), heard


def test_begin_from_another_design(page, address):
    """Any worked design can be the beginning, also the smallest, in which almost nothing is said."""
    visit(page, address + BENCH)
    names = page.locator("#bench-from option:not([hidden])").evaluate_all("all => all.map(one => one.value)")
    assert len(names) >= 6

    at_rest(page, lambda: page.locator("#bench-from").select_option("porch-light"))

    verdict(page, "Needs input")
    assert field(page, "module.voc").input_value() == "22.4 V"
    assert field(page, "run.home run.length").input_value() == ""
    told(page, "#from=porch-light")
    at_rest(page, lambda: put(page, "run.home run.length", "12 ft"))
    at_rest(page, lambda: put(page, "run.home run.size", "10 AWG"))
    expect(page.locator("#report-derivations")).to_contain_text("Run: home run")


def test_a_link_brings_both_layouts(page, reader, address):
    """The address tells the layout, where it began, and what is pinned beside it."""
    visit(page, address + BENCH)
    at_rest(page, lambda: page.locator("#bench-from").select_option("high-tunnel"))
    at_rest(page, press(page, "pin"))
    at_rest(page, lambda: put(page, "array.modules_in_series", "3"))
    told(page, "#from=high-tunnel&array.modules_in_series=3&pinned=yes&pin:from=high-tunnel")
    here = compared(page)

    other = reader.new_page()
    other.goto(page.url)

    expect(other.locator("#report-given")).to_contain_text("3 was 2", timeout=SLOW)
    expect(other.locator("#report-compare")).to_have_text(
        re.compile("modules in series\\s*2\\s*3"), timeout=SLOW
    )
    assert compared(other) == here
    expect(other.locator("#bench-from")).to_have_value("high-tunnel")
    other.close()


def test_two_links_to_the_same_page(page, address):
    """Going back from one layout to another brings back its pinned one too."""
    visit(page, address + BENCH)
    at_rest(page, press(page, "unpin"))
    told(page, "#pinned=no")
    at_rest(page, lambda: put(page, "array.modules_in_series", "2"))
    told(page, "#array.modules_in_series=2&pinned=no")

    at_rest(page, page.go_back)
    at_rest(page, page.go_back)

    assert field(page, "array.modules_in_series").input_value() == "1"
    expect(page.locator("#report-compare")).to_be_visible()
