"""The page on which readings are entered: compared while they are typed, kept, saved and opened, by keyboard and offline."""

import json
import re
import tomllib

import pytest
from playwright.sync_api import expect

from tests.browser.desk import BENCH, SLOW, TUNNEL, at_rest, put, visit
from tests.browser.runtime.hosts import Host, copied
from tests.browser.test_live_access import good

METER = "meter/"
PUMP = "#from=stock-water-pump"
KEPT = """async () => {
  const client = performance.getEntriesByType("resource").find(one => /client\\..*mjs/.test(one.name));
  const { kept } = await (await import(client.name)).offlineState();
  return kept && navigator.serviceWorker.controller !== null;
}"""
"""Whether the page can do without a network, as its own code tells."""
REVERSED = {"sun": "820", "air": "68", "string.1.voc": "64.2", "string.2.voc": "-63"}


@pytest.fixture
def page(page, address):
    """A page of a reader who has the calculation, and no readings yet."""
    page.goto(address + "404.html")
    page.evaluate("localStorage.clear()")
    return page


def entry(page, path):
    """The field of a path."""
    return page.locator(f'#report-form [name="{path}"]')


def enter(page, texts):
    """Type texts into fields, one after the other, and leave the last."""
    for path, text in texts.items():
        entry(page, path).fill(text)
    page.keyboard.press("Tab")


def pump(page, address):
    """The page with the pump's array, once its fields are there."""
    page.goto(address + METER + PUMP)
    expect(page.locator("#report-title")).to_contain_text("Stock-water pump", timeout=SLOW)


def outcome(page, word):
    """Wait until the readings come to a word."""
    expect(page.locator("#report-state .v-word")).to_have_text(word, timeout=SLOW)


def test_a_reversed_string_stops_first(page, address):
    """Typed without units, it is said at the top, at the foot, beside its field, and politely aloud."""
    pump(page, address)
    enter(page, REVERSED)

    outcome(page, "Stop first")
    expect(page.locator("#report-stop")).to_contain_text("S2 reads below zero")
    expect(page.locator("#bench-spoken")).to_contain_text("Stop first. S2 reads below zero")
    assert page.locator("#bench-spoken").get_attribute("role") == "status"
    expect(page.locator("#said-in-string-2-voc")).to_contain_text("outside: below zero")
    expect(page.locator("#report-meter .meter-causes li").first).to_contain_text("Reversed string")
    above = "document.getElementById('report-stop').compareDocumentPosition(document.getElementById('report-form'))"
    assert page.evaluate(above) & 4  # the form follows


def test_readings_that_fit(page, address):
    """As expected, they are within; at another design the same ones are not."""
    pump(page, address)
    enter(page, {"sun": "820 W/m2", "air": "20 degC", "string.1.voc": "62.5", "string.2.voc": "62.4"})
    outcome(page, "Fits")

    page.locator("#bench-from").select_option("bee-yard")

    outcome(page, "Look closer")
    expect(page.locator("#report-title")).to_have_text("Bee yard scales and fence")
    expect(page).to_have_url(re.compile("#from=bee-yard$"))
    assert entry(page, "string.1.voc").input_value() == "62.5"


def test_typing_is_never_lost(page, address):
    """What cannot be read is told beside its field, stays as it was typed, and the rest is compared."""
    pump(page, address)
    enter(page, {**REVERSED, "string.1.isc": "about five"})

    expect(page.locator("#report-problems")).to_contain_text("S1 Isc", timeout=SLOW)
    expect(entry(page, "string.1.isc")).to_have_attribute("aria-invalid", "true")
    expect(page.locator("#said-in-string-1-isc")).to_contain_text("Wanted: a current")
    outcome(page, "Stop first")
    page.locator("#report-problems a").click()
    assert page.evaluate("document.activeElement.name") == "string.1.isc"
    assert entry(page, "string.1.isc").input_value() == "about five"

    enter(page, {"string.1.isc": "5.1"})
    expect(page.locator("#report-problems")).to_be_hidden()
    assert {path: entry(page, path).input_value() for path in REVERSED} == REVERSED


def test_saved_and_opened(page, address, tmp_path):
    """Readings are saved as a file in the documented form, and opened again into their fields."""
    pump(page, address)
    enter(page, REVERSED)
    outcome(page, "Stop first")
    with page.expect_download() as download:
        page.get_by_role("button", name="Save readings").click()
    file = tmp_path / download.value.suggested_filename
    download.value.save_as(file)
    saved = tomllib.loads(file.read_text("utf-8"))

    assert file.name == "stock-water-pump-readings.toml"
    assert (saved["sun"], saved["air"]) == ("820 W/m2", "68 degF")
    assert saved["string"] == [{"name": "S1", "voc": "64.2 V"}, {"name": "S2", "voc": "-63 V"}]

    page.get_by_role("button", name="Clear the readings").click()
    outcome(page, "Nothing to judge")
    assert entry(page, "sun").input_value() == ""
    page.locator("#readings-file").set_input_files(file)
    outcome(page, "Stop first")
    assert entry(page, "string.2.voc").input_value() == "-63 V"


HOSTILE = {
    "empty": b"",
    "not text": bytes(range(128, 256)),
    "markup": b'sun = "<img src=x onerror=alert(1)>"\n[[string]]\nname = "</script><script>alert(1)</script>"',
    "unknown": b'[[module]]\nvoc = "3 V"\n',
    "deep": b"a = " + b"[" * 5000,
    "large": b'sun = "820 W/m2"\n#' + b"x" * 3_000_000,
}


@pytest.mark.parametrize("name", HOSTILE)
def test_a_file_that_is_none(page, address, tmp_path, name):
    """Whatever is opened, its problems are told as text, and what was typed stays."""
    file = tmp_path / "readings.toml"
    file.write_bytes(HOSTILE[name])
    pump(page, address)
    enter(page, REVERSED)
    outcome(page, "Stop first")

    page.locator("#readings-file").set_input_files(file)

    expect(page.locator("#report-problems")).to_contain_text("The file was not opened", timeout=SLOW)
    assert page.locator("img, #report-problems script").count() == 0
    assert {path: entry(page, path).input_value() for path in REVERSED} == REVERSED


def test_names_in_a_file_stay_text(page, address, tmp_path):
    """A string's name from a file is shown as it stands, and never becomes markup."""
    file = tmp_path / "readings.toml"
    file.write_text(
        '[[string]]\nvoc = "62 V"\n[[string]]\nvoc = "62 V"\n[[string]]\nname = "<img src=x>"\nvoc = "1 V"\n'
    )
    pump(page, address)

    page.locator("#readings-file").set_input_files(file)

    expect(page.locator("#report-meter")).to_contain_text("<img src=x> belongs to no string", timeout=SLOW)
    assert page.locator("img").count() == 0


def test_kept_on_the_device(page, reader, address):
    """Opened again without any address, the page has the design and what was typed; a link to another design does not."""
    pump(page, address)
    enter(page, REVERSED)
    outcome(page, "Stop first")

    again = reader.new_page()
    again.goto(address + METER)
    outcome(again, "Stop first")
    assert again.locator("#bench-from").input_value() == "stock-water-pump"
    assert entry(again, "string.2.voc").input_value() == "-63"

    other = reader.new_page()
    other.goto(address + METER + "#from=bee-yard")
    expect(other.locator("#report-title")).to_have_text("Bee yard scales and fence", timeout=SLOW)
    assert entry(other, "string.2.voc").input_value() == ""


def test_a_report_leads_here_with_its_design(page, address):
    """As it stands: the reader's own changes come along in the address."""
    visit(page, address + TUNNEL)
    at_rest(page, lambda: put(page, "array.strings_in_parallel", "3"))
    page.locator("a[data-meter]").first.click()

    expect(page).to_have_url(re.compile("meter/#from=high-tunnel&array.strings_in_parallel=3$"))
    expect(entry(page, "string.3.voc")).to_be_visible(timeout=SLOW)
    expect(page.locator("#report-title")).to_contain_text("as you changed it", timeout=SLOW)


def test_the_bench_leads_here_with_an_opened_file(page, address, tmp_path):
    """Also a design that no address names."""
    file = tmp_path / "mine.toml"
    file.write_text(
        'title = "Mine"\n[module]\nvoc = "22.4 V"\nisc = "6.3 A"\nvmp = "18.2 V"\nimp = "6.04 A"\n'
        "[array]\nmodules_in_series = 1\nstrings_in_parallel = 5\n"
    )
    visit(page, address + BENCH)
    at_rest(page, lambda: page.locator("#bench-file").set_input_files(file))
    page.locator("a[data-meter]").first.click()

    expect(entry(page, "string.5.voc")).to_be_visible(timeout=SLOW)
    expect(page.locator("#report-title")).to_have_text("Mine", timeout=SLOW)


def test_a_design_file_is_opened_here(page, address, tmp_path):
    """A file that is a design takes the place of the worked one; one that is none is told and changes nothing."""
    good, bad = tmp_path / "good.toml", tmp_path / "bad.toml"
    good.write_text(
        '[module]\nvoc = "22.4 V"\nisc = "6.3 A"\nvmp = "18.2 V"\nimp = "6.04 A"\n'
        "[array]\nmodules_in_series = 2\nstrings_in_parallel = 6\n"
    )
    bad.write_text('[module]\nvoc = "22.4"\n')
    pump(page, address)
    page.locator("#bench-file").set_input_files(bad)
    expect(page.locator("#report-problems")).to_contain_text("This design cannot be used", timeout=SLOW)

    page.locator("#bench-file").set_input_files(good)

    expect(entry(page, "string.6.voc")).to_be_visible(timeout=SLOW)
    expect(page.locator("#report-problems")).to_be_hidden()


def test_by_keyboard_alone(page, address):
    """From field to field with the keyboard; the answers that come meanwhile never move it."""
    pump(page, address)
    entry(page, "sun").focus()
    for text in ("820", "68", "", "64.2", "5.2", "-63", "5.2"):
        page.keyboard.type(text, delay=20)
        page.keyboard.press("Tab")

    outcome(page, "Stop first")
    assert entry(page, "string.2.voc").input_value() == "-63"
    assert page.evaluate("document.activeElement.name") == "array.voltage"
    page.keyboard.press("Shift+Tab")
    assert page.evaluate("document.activeElement.name") == "string.2.isc"


def test_before_and_after_joining(page, address):
    """The form asks for what can be read then, and what was typed for another state is kept."""
    pump(page, address)
    enter(page, {"sun": "820", "array.beyond": "0"})
    entry(page, "array.state").select_option("charging")

    expect(entry(page, "string.1.current")).to_be_visible(timeout=SLOW)
    expect(entry(page, "battery.voltage")).to_be_visible()
    assert entry(page, "array.beyond").count() == 0
    enter(page, {"string.1.current": "-4", "string.2.current": "5"})
    outcome(page, "Stop first")
    expect(page.locator("#report-stop")).to_contain_text("S1 takes current from the other strings")
    entry(page, "array.state").select_option("breaker open")
    expect(entry(page, "array.beyond")).to_have_value("0", timeout=SLOW)


def test_without_a_script(open_page, address):
    """The page says in one line what does not work, and shows the blank sheet of the first worked design."""
    page = open_page(script=False)
    page.goto(address + METER)

    expect(page.locator(".meter-noscript")).to_be_visible()
    expect(page.locator("#report-meter")).to_contain_text("This sheet is for full sun.")
    assert page.locator(".meter-sheet tbody tr").count() > 4
    expect(page.locator("#bench")).to_be_hidden()


def test_without_storage(page, address):
    """Where the browser keeps nothing, readings are compared all the same."""
    page.add_init_script(
        "Object.defineProperty(window, 'localStorage', { get() { throw new Error('none') } })"
    )
    pump(page, address)
    enter(page, REVERSED)

    outcome(page, "Stop first")


def test_offline_after_one_visit(page, site, tmp_path):
    """Visited once, the page opens and compares with nobody to ask."""
    host = Host(copied(site, tmp_path / "site"))
    pump(page, host.address)
    enter(page, REVERSED)
    outcome(page, "Stop first")
    for _ in range(SLOW // 500):  # keeping goes on behind the work, and a visit that is left too soon ends it
        if page.evaluate(KEPT):
            break
        page.wait_for_timeout(500)
    page.reload()
    expect(page.locator("#bench-offline-says")).to_contain_text("Kept on this device", timeout=SLOW)
    host.off()

    page.goto(host.address + METER)
    outcome(page, "Stop first")
    enter(page, {"string.2.voc": "63"})

    outcome(page, "Fits")


def test_accessible(page, address, axe_source):
    """Blank, with readings that fit, with a stop and a problem, and joined: the checker finds nothing in any look."""
    pump(page, address)
    good(page, axe_source)
    enter(page, {"sun": "820 W/m2", "air": "20 degC", "string.1.voc": "62.5", "string.2.voc": "62.4"})
    outcome(page, "Fits")
    good(page, axe_source)

    enter(page, {**REVERSED, "string.1.isc": "x"})
    outcome(page, "Stop first")
    expect(page.locator("#report-problems")).to_be_visible()
    good(page, axe_source)

    enter(page, {"string.1.isc": "5.1", "string.2.voc": "41"})
    outcome(page, "Look closer")
    good(page, axe_source)
    entry(page, "array.state").select_option("charging")
    expect(entry(page, "string.1.current")).to_be_visible(timeout=SLOW)
    good(page, axe_source)


def ticks(page):
    """The ticks of the order of work that are set."""
    return page.locator("input[data-tick]:checked").evaluate_all("all => all.map(one => one.dataset.tick)")


def test_ticks_are_kept_for_each_design(page, reader, address):
    """They come back on another visit, stay through a repaint, are another design's none, and can be cleared."""
    visit(page, address + TUNNEL)
    page.locator("input[data-tick]").nth(1).check()
    page.locator("input[data-tick]").nth(3).check()
    set_ = ticks(page)
    again = reader.new_page()
    again.goto(address + TUNNEL)
    assert (len(set_), ticks(again)) == (2, set_)

    at_rest(page, lambda: put(page, "array.strings_in_parallel", "3"))
    page.locator("#report-order").scroll_into_view_if_needed()
    expect(page.locator("#report-order")).not_to_have_attribute("aria-busy", "true", timeout=SLOW)
    assert ticks(page) == []
    at_rest(page, page.locator('#bench [data-do="undo"]').first.click)
    page.locator("#report-order").scroll_into_view_if_needed()
    expect(page.locator("#report-order")).not_to_have_attribute("aria-busy", "true", timeout=SLOW)
    assert ticks(page) == set_
    page.get_by_role("button", name="Clear the ticks").click()

    assert ticks(page) == []
    assert json.loads(page.evaluate("localStorage.getItem('arraybook.ticks')")) == {}
    expect(page.get_by_role("button", name="Clear the ticks")).to_be_hidden()


def test_ticks_without_storage(page, address):
    """Where the browser keeps nothing, boxes can be ticked all the same, and stay so while the page is repainted."""
    page.add_init_script(
        "Object.defineProperty(window, 'localStorage', { get() { throw new Error('none') } })"
    )
    visit(page, address + TUNNEL)
    page.locator("input[data-tick]").first.check()
    set_ = ticks(page)

    at_rest(page, lambda: page.locator('#bench [name="units"][value="metric"]').check())
    page.locator("#report-order").scroll_into_view_if_needed()
    expect(page.locator("#report-order")).not_to_have_attribute("aria-busy", "true", timeout=SLOW)

    assert ticks(page) == set_ != []
