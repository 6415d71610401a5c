"""A worked design changed in place: all is worked out again, nothing typed is lost, and there is always a way back."""

import json
import re
import tomllib

import pytest
from playwright.sync_api import expect

from calc import as_json, check, load_book, read_design
from floor import ROOT
from tests.browser.desk import SLOW, TUNNEL, apart, at_rest, field, put, slider, told, verdict, visit

FILE = (ROOT / "scenarios" / "examples" / "high-tunnel.toml").read_text("utf-8")


def words_of(page, part):
    return re.sub(r"\s+", " ", page.locator(f"#report-{part}").text_content())


def test_one_change_reaches_everything(page, address):
    """Two modules more in each string: every part of the report follows, and says what it was before."""
    visit(page, address + TUNNEL)

    at_rest(page, lambda: put(page, "array.modules_in_series", "4"))

    verdict(page, "Fails was holds")
    assert "110.5 V was 55.3 V" in words_of(page, "verdict").replace("\N{NO-BREAK SPACE}", " ")
    for part in ("findings", "ladder", "derivations"):
        assert "110.5" in words_of(page, part), part
    assert "4 was 2" in words_of(page, "given")
    assert "What to fix" in words_of(page, "fixes")
    told(page, "#array.modules_in_series=4")


HEIGHTS = "() => [...document.querySelectorAll('.report > *, .finding')].map(part => part.getBoundingClientRect().height)"
SKIPPED = """() => [...document.querySelectorAll(".finding > .finding-text")].filter(
  part => !part.checkVisibility({ contentVisibilityAuto: true })).length"""


@pytest.mark.parametrize("wide", [360, 1280])
def test_out_of_sight(page, address, wide):
    """What is passed over while numbers are turned keeps its height, and paper shows it; at rest the page is whole."""
    page.set_viewport_size({"width": wide, "height": 720})
    visit(page, address + TUNNEL)
    page.wait_for_timeout(200)
    before = page.evaluate(HEIGHTS)
    there = page.evaluate(SKIPPED)

    put(page, "run.home run.length", "40.0 ft")
    page.evaluate("scrollTo(0, 0)")
    page.wait_for_function(f"() => ({SKIPPED})() > 10", timeout=SLOW)
    turned = page.evaluate(HEIGHTS)
    expect(page.locator("html[data-turning]")).to_have_count(0, timeout=SLOW)

    assert (there, page.evaluate(SKIPPED)) == (0, 0)
    assert turned == before
    page.evaluate("document.documentElement.dataset.turning = ''")
    page.wait_for_function(f"() => ({SKIPPED})() > 10")
    page.emulate_media(media="print")
    page.wait_for_function(f"() => ({SKIPPED})() === 0")


def test_slider_and_field_stay_in_step(page, address):
    """What the slider says stands in the field with its unit, and what is typed moves the slider."""
    visit(page, address + TUNNEL)
    moved = slider(page, "run.home run.length")

    moved.focus()
    at_rest(page, lambda: page.keyboard.press("ArrowRight"))
    assert field(page, "run.home run.length").input_value() == "41 ft"
    expect(moved).to_be_focused()

    at_rest(page, lambda: put(page, "run.home run.length", "55 ft"))
    assert moved.input_value() == "55"
    assert moved.get_attribute("aria-valuetext") == "55 ft"


def test_fifty_fast_changes(page, address):
    """Fifty changes without a pause end in the report of the last one, as if it alone had been made."""
    visit(page, address + TUNNEL)
    at_rest(page, lambda: put(page, "site.coldest", "-20 degC"))

    at_rest(
        page,
        lambda: page.evaluate(
            """() => {
              const range = document.querySelector("#slide-in-site-coldest");
              for (let turn = 0; turn < 50; turn++) {
                range.value = String(-turn);
                range.dispatchEvent(new Event("input", { bubbles: true }));
              }
              range.dispatchEvent(new Event("change", { bubbles: true }));
            }"""
        ),
    )
    told(page, "#site.coldest=-49 degC")
    fast = words_of(page, "findings")

    page.reload()
    verdict(page, "Holds")
    expect(page.locator("#report-given")).to_contain_text("-49 degC", timeout=SLOW)
    page.wait_for_timeout(300)
    assert words_of(page, "findings") == fast
    assert field(page, "site.coldest").input_value() == "-49 degC"


def test_undo_redo_and_start_again(page, address):
    """Each finished change can be taken back and made again, by button and by key, and all of them at once."""
    visit(page, address + TUNNEL)
    at_rest(page, lambda: put(page, "array.modules_in_series", "4"))
    at_rest(page, lambda: put(page, "array.strings_in_parallel", "2"))

    def counts():
        names = ("modules_in_series", "strings_in_parallel")
        return [field(page, f"array.{name}").input_value() for name in names]

    at_rest(page, lambda: page.locator('#bench [data-do="undo"]').click())
    assert counts() == ["4", "4"]
    page.locator("#bench-title").click()  # closes the box, and with it leaves every field
    at_rest(page, lambda: page.keyboard.press("Control+z"))
    assert counts() == ["2", "4"]
    at_rest(page, lambda: page.keyboard.press("Control+Shift+z"))
    assert counts() == ["4", "4"]
    at_rest(page, lambda: page.locator('#bench-bar [data-do="redo"]').click())
    assert counts() == ["4", "2"]
    at_rest(page, lambda: page.locator('#bench-bar [data-do="reset"]').click())
    assert counts() == ["2", "4"]
    verdict(page, "Holds")
    expect(page.locator(".was")).to_have_count(0)


def test_undo_inside_a_text_field_is_the_fields_own(page, address):
    """Somebody who mistypes a letter takes back the letter, not the design."""
    visit(page, address + TUNNEL)
    at_rest(page, lambda: put(page, "array.modules_in_series", "4"))
    field(page, "site.coldest").click()
    page.keyboard.press("End")
    page.keyboard.type("x")

    page.keyboard.press("Control+z")

    page.wait_for_timeout(300)
    assert field(page, "site.coldest").input_value() == "-24 degC"
    assert field(page, "array.modules_in_series").input_value() == "4"


def test_back_and_forward(page, address):
    """The browser's own buttons go through the designs, and at the end leave the page."""
    page.goto(address)
    visit(page, address + TUNNEL)
    at_rest(page, lambda: put(page, "array.modules_in_series", "4"))
    told(page, "#array.modules_in_series=4")
    at_rest(page, lambda: put(page, "site.coldest", "-30 degC"))
    told(page, "#site.coldest=-30 degC&array.modules_in_series=4")

    at_rest(page, page.go_back)
    told(page, "#array.modules_in_series=4")
    assert field(page, "site.coldest").input_value() == "-24 degC"
    at_rest(page, page.go_back)
    verdict(page, "Holds")
    at_rest(page, page.go_forward)
    verdict(page, "Fails")
    page.go_back()
    page.go_back()
    assert page.url == address


def test_back_from_a_link_in_other_words(page, address):
    """An address that tells its design in other words than the page would is put right, and does not hold its reader."""
    page.goto(address)
    page.goto(
        address + TUNNEL + "#array.strings_in_parallel=4&array.modules_in_series=3&site.coldest=-30%20%20degC"
    )

    told(page, "#site.coldest=-30 degC&array.modules_in_series=3")
    page.go_back()

    assert page.url == address


def test_a_link_within_the_page_keeps_the_design(page, address):
    """Following a number to its working leaves the address telling the design."""
    visit(page, address + TUNNEL)
    at_rest(page, lambda: put(page, "array.modules_in_series", "3"))
    told(page, "#array.modules_in_series=3")

    page.locator("#report-findings a[href^='#step-voc_cold']").first.click()

    expect(page.locator("#step-voc_cold_string_V")).to_be_in_viewport()
    told(page, "#array.modules_in_series=3")
    page.reload()
    expect(page.locator("#report-given")).to_contain_text("3 was 2", timeout=SLOW)


def test_two_tabs(reader, address):
    """Two pages of the same design do not disturb each other."""
    one, other = (visit(reader.new_page(), address + TUNNEL) for _ in range(2))

    at_rest(one, lambda: put(one, "array.modules_in_series", "4"))
    at_rest(other, lambda: put(other, "array.strings_in_parallel", "3"))

    verdict(one, "Fails")
    verdict(other, "Holds")
    assert field(one, "array.strings_in_parallel").input_value() == "4"
    assert field(other, "array.modules_in_series").input_value() == "2"
    one.close()
    other.close()


def test_problems_lead_to_their_field(page, address):
    """A value that cannot be read is told beside its field and in a list that takes the keyboard and leads back."""
    visit(page, address + TUNNEL)
    at_rest(page, lambda: put(page, "array.modules_in_series", "3"))
    before = words_of(page, "findings")

    put(page, "site.coldest", "-21")

    problems = page.locator("#report-problems")
    expect(problems).to_be_focused(timeout=SLOW)
    expect(problems).to_contain_text("One value cannot be used")
    assert field(page, "site.coldest").input_value() == "-21"
    assert field(page, "site.coldest").get_attribute("aria-invalid") == "true"
    assert words_of(page, "findings") == before
    expect(page.locator("#bench-spoken")).to_have_text("One value cannot be used.")

    problems.locator("a").press("Enter")
    expect(field(page, "site.coldest")).to_be_focused()
    page.keyboard.press("End")
    page.keyboard.type(" degC")
    expect(problems).to_be_hidden(timeout=SLOW)
    assert field(page, "site.coldest").input_value() == "-21 degC"
    expect(field(page, "site.coldest")).to_be_focused()
    assert field(page, "array.modules_in_series").input_value() == "3"


def test_typing_is_not_interrupted(page, address):
    """In the middle of a word nothing is called wrong and the keyboard stays where it is."""
    visit(page, address + TUNNEL)
    at_rest(page, lambda: put(page, "array.modules_in_series", "3"))
    field(page, "site.coldest").click()
    field(page, "site.coldest").press("Control+a")

    page.keyboard.type("-3", delay=60)
    assert page.locator("#report-problems").is_hidden()
    page.keyboard.type("3 degC", delay=60)

    expect(page.locator("#report-given")).to_contain_text("-33 degC", timeout=SLOW)
    expect(field(page, "site.coldest")).to_be_focused()
    assert field(page, "site.coldest").input_value() == "-33 degC"


def test_a_fix_is_made_with_one_tap(page, address):
    """The button of a fix makes its change; the keyboard is then at the verdict, and undo takes it back."""
    visit(page, address + TUNNEL)
    at_rest(page, lambda: put(page, "array.modules_in_series", "4"))
    verdict(page, "Fails")

    at_rest(page, page.locator("#report-fixes .fix-now").first.click)

    verdict(page, "Holds|Verdict: Tight")
    expect(page.locator("#report-verdict")).to_be_focused()
    at_rest(page, lambda: page.keyboard.press("Control+z"))
    verdict(page, "Fails")


def test_units_keep_the_values(page, address):
    """In metres the report is told in metres, and every field says what its reader typed."""
    visit(page, address + TUNNEL)

    at_rest(page, lambda: page.locator('[name="units"][value="metric"]').check())

    expect(page.locator("#report-derivations")).to_contain_text("12.2\N{NO-BREAK SPACE}m")
    assert field(page, "run.home run.length").input_value() == "40 ft"
    expect(page.locator("#also-in-run-home--run-length")).to_have_text("12.2\N{NO-BREAK SPACE}m")
    at_rest(page, lambda: page.locator('[name="units"][value="us"]').check())
    expect(page.locator("#report-derivations")).not_to_contain_text("12.2\N{NO-BREAK SPACE}m")


def test_the_new_verdict_is_spoken(page, address):
    """A reader who cannot see the page hears the verdict once it has stood for a moment."""
    visit(page, address + TUNNEL)

    put(page, "array.modules_in_series", "4")

    expect(page.locator("#bench-spoken")).to_have_text(re.compile(r"^This design: fails\. "), timeout=SLOW)
    assert page.locator("#bench-spoken").get_attribute("role") == "status"


def saved(page, button):
    with page.expect_download(timeout=SLOW) as download:
        page.locator(f'[data-do="{button}"]').click()
    return download.value.path().read_text("utf-8"), download.value.suggested_filename


def test_the_design_file_and_the_results_are_saved(page, address):
    """The saved file is the changed design, and the saved results are those that the terminal gives for that file."""
    visit(page, address + TUNNEL)
    at_rest(page, lambda: put(page, "run.home run.length", "60 ft"))

    text, name = saved(page, "save")
    results, _ = saved(page, "json")

    assert name == "high-tunnel.toml"
    assert tomllib.loads(text)["run"][0]["length"] == "60 ft"
    expected = json.loads(as_json(check(read_design(text), load_book())))
    assert list(apart(json.loads(results), expected)) == []


def test_a_file_of_ones_own_is_opened(page, address):
    """Any valid design file becomes the design of the page; its link still works on the page as it was built."""
    visit(page, address + TUNNEL)
    text = (ROOT / "scenarios" / "examples" / "gate-opener.toml").read_bytes()

    at_rest(
        page,
        lambda: page.locator("#bench-file").set_input_files(
            {"name": "own.toml", "mimeType": "application/toml", "buffer": text}
        ),
    )

    expect(page.locator("#report-title")).to_have_text("Gate opener at the lane's end")
    assert field(page, "run.home run.length").input_value() == "18 ft"
    expect(page.locator(".was")).to_have_count(0)
    before = words_of(page, "findings")
    page.wait_for_timeout(600)
    page.goto("about:blank")
    page.go_back()
    page.reload()
    expect(page.locator("#report-given")).to_contain_text("18 ft", timeout=SLOW)
    page.wait_for_timeout(500)
    assert re.sub(r" was [^ ]+ [^ ]+", "", words_of(page, "findings")).count("holds") == before.count("holds")


@pytest.mark.parametrize(
    "content",
    [
        b"",
        b"\xff\xfe not text",
        b"[module\nvoc = 3",
        b'title = "<img src=x onerror=alert(1)>"\n[module]\nvoc = "<script>alert(1)</script>"',
        b"[module]\nvoc = '" + b"9" * 10_000_000,
    ],
    ids=["empty", "not-text", "not-toml", "markup", "ten-megabytes"],
)
def test_a_broken_file_gives_problems(page, address, content):
    """A file that cannot be read is refused with what is wrong, and the design on the page stays."""
    visit(page, address + TUNNEL)
    at_rest(page, lambda: put(page, "array.modules_in_series", "3"))

    page.locator("#bench-file").set_input_files(
        {"name": "broken.toml", "mimeType": "application/toml", "buffer": content}
    )

    problems = page.locator("#report-problems")
    expect(problems).to_contain_text("The file was not opened", timeout=SLOW)
    expect(problems).to_be_focused()
    assert page.locator("article img, article script:not([type='application/json'])").count() == 0
    assert field(page, "array.modules_in_series").input_value() == "3"
    at_rest(page, lambda: put(page, "array.modules_in_series", "2"))
    verdict(page, "Holds")
    expect(problems).to_be_hidden()


HOSTILE = "<img src=x onerror=alert(1)><script>alert(2)</script>\"'><svg onload=alert(3)>"


def test_markup_in_every_text_field(page, address):
    """Markup and script typed into every field stay text, all of them at once, and all can be taken back."""
    visit(page, address + TUNNEL)
    at_rest(page, lambda: put(page, "array.modules_in_series", "3"))

    page.evaluate(
        """text => {
          for (const field of document.querySelectorAll("#report-form input:not([type])")) {
            field.value = text;
            field.dispatchEvent(new Event("input", { bubbles: true }));
          }
          document.querySelector("#report-form input:not([type])").dispatchEvent(new Event("change", { bubbles: true }));
        }""",
        HOSTILE,
    )

    expect(page.locator("#report-problems")).to_contain_text("values cannot be used", timeout=SLOW)
    page.wait_for_timeout(500)
    assert page.locator("article img, article [onload], article [onerror]").count() == 0
    assert field(page, "module.voc").input_value() == HOSTILE
    at_rest(page, lambda: page.locator('#bench [data-do="reset"]').click())
    verdict(page, "Holds")


@pytest.mark.parametrize(
    "hash_",
    [
        f"module.voc={HOSTILE}",
        f"{HOSTILE}={HOSTILE}",
        "module.label=%E0%A4%A",
        "module.voc=%00&array.modules_in_series=-1",
        "=&&&==%&a=b",
        "__proto__=x&constructor=y&run.__proto__.length=1 ft",
        "array.modules_in_series=99999999999999999999",
        "from=__proto__&pinned=yes&pin:module.voc=<b>",
        "&".join(f"module.x{number}=1" for number in range(2000)),
    ],
    ids=["value", "path", "half-a-letter", "control", "nothing", "prototype", "huge", "pinned", "long"],
)
def test_a_hostile_or_broken_link(page, address, hash_):
    """Whatever a link holds ends in problems or in a design, never in markup or script."""
    page.goto(address + TUNNEL + "#" + hash_)

    expect(page.locator("#bench-spoken")).to_have_text(re.compile("cannot be used|This design"), timeout=SLOW)
    assert page.locator("article img, article [onload], article [onerror]").count() == 0
    assert page.locator("#report-verdict").is_visible()
    if page.locator('#bench [data-do="reset"]').is_enabled():
        at_rest(page, lambda: page.locator('#bench [data-do="reset"]').click())
    verdict(page, "Holds")


def test_hostile_text_that_is_allowed(page, address):
    """A module may be called anything; on the page its name is text."""
    page.goto(address + TUNNEL + "#module.label=" + HOSTILE)

    expect(page.locator("#report-given")).to_contain_text(HOSTILE, timeout=SLOW)
    assert page.locator("article img, article [onload], article [onerror]").count() == 0


def test_by_keyboard_alone(page, address):
    """From the top of the page to a changed design, a fix and back, without a pointer."""
    page.goto(address + TUNNEL)

    def to(selector):
        for _ in range(80):
            if page.evaluate("selector => document.activeElement.matches(selector)", selector):
                return
            page.keyboard.press("Tab")
        raise AssertionError(f"{selector} is not reached")

    to("#bench-box > summary")
    page.keyboard.press("Enter")
    to("#slide-in-array-modules_in_series")
    at_rest(page, lambda: [page.keyboard.press("ArrowRight"), page.keyboard.press("ArrowRight")])
    verdict(page, "Fails")
    page.locator("#report-verdict").evaluate("element => { element.tabIndex = -1; element.focus(); }")
    to(".fix-now")
    at_rest(page, lambda: page.keyboard.press("Enter"))
    verdict(page, "Holds|Verdict: Tight")
    at_rest(page, lambda: page.keyboard.press("Control+z"))
    verdict(page, "Fails")


def test_prints_the_report_as_it_stands(page, address):
    """On paper stands the changed report, without form, buttons and state line."""
    visit(page, address + TUNNEL)
    at_rest(page, lambda: put(page, "array.modules_in_series", "4"))

    page.emulate_media(media="print")

    assert (
        page.locator("#bench, #bench-bar, .fix-now").evaluate_all(
            "all => all.filter(element => element.getClientRects().length > 0).length"
        )
        == 0
    )
    expect(page.locator("#report-verdict")).to_contain_text("Fails")
    assert page.locator("#report-verdict").is_visible()


def test_the_report_stands_without_a_script(open_page, address):
    """Without scripts the report is whole, and nothing is shown that would do nothing."""
    page = open_page(script=False)
    page.goto(address + TUNNEL)

    assert page.locator("#report-verdict").is_visible()
    assert not page.locator("#bench, #bench-bar").or_(page.locator(".fix-now")).first.is_visible()
