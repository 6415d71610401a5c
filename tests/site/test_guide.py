"""The lessons of the guide: whole, readable, and with no number in them that the core did not work out."""

import json
import re
from html.parser import HTMLParser
from math import isclose
from types import SimpleNamespace

import pytest
import textstat

from calc.bridge import answer
from calc.render.catalogue import load_words
from floor import ROOT

PAGES = ROOT / "site_src" / "pages" / "guide"
SOURCES = sorted(file for file in PAGES.glob("*.md") if file.stem != "index")
NAMES = [file.stem for file in SOURCES]
HANDS_NEAR_WIRES = {
    "where-currents-add",
    "shade-and-faults",
    "unlike-strings",
    "controller-kinds",
    "joining-safely",
    "metering",
}
HIGHEST_GRADE = 9
VOID = {"area", "br", "col", "hr", "img", "input", "link", "meta", "source", "wbr"}
# Parts of a lesson that are no prose of its author's: figures, formulas, tables, and what leads elsewhere.
NOT_PROSE = {
    "svg",
    "math",
    "script",
    "style",
    "table",
    "form",
    "nav",
    "h1",
    "h2",
    "h3",
    "h4",
    "summary",
    "small",
}
NOT_PROSE_OF = {"lesson-figure", "lesson-mistake", "lesson-working", "card-print", "card-of", "kicker", "v"}


class Page(HTMLParser):
    """A page as a tree that is flat enough to ask: every element with its attributes, its texts and those around it."""

    def __init__(self, html):
        super().__init__()
        self.open, self.all, self.texts = [], [], []
        self.feed(html)
        self.close()

    def handle_starttag(self, tag, attrs):
        """Note an element and open it."""
        one = SimpleNamespace(tag=tag, at=dict(attrs), inside=list(self.open), text="")
        one.classes = set((one.at.get("class") or "").split())
        self.all.append(one)
        if tag not in VOID:
            self.open.append(one)

    def handle_startendtag(self, tag, attrs):
        """Note an element that holds nothing."""
        self.handle_starttag(tag, attrs)
        if tag not in VOID:
            self.open.pop()

    def handle_endtag(self, tag):
        """Close the element, and those in it that nobody closed."""
        if tag in {one.tag for one in self.open}:
            while self.open.pop().tag != tag:
                pass

    def handle_data(self, data):
        """Give a text to every element around it."""
        for one in self.open:
            one.text += data
        self.texts.append((data, list(self.open)))

    def of(self, name):
        """Every element with a class."""
        return [one for one in self.all if name in one.classes]

    def by_id(self, name):
        """The element with an id, or None."""
        return next((one for one in self.all if one.at.get("id") == name), None)


@pytest.fixture(scope="module")
def lessons(site):
    """Every lesson as it was built, by name."""
    return {name: Page((site / "guide" / name / "index.html").read_text("utf-8")) for name in NAMES}


@pytest.fixture(scope="module")
def reports(site):
    """The report of each lesson's design, by name."""
    return {
        name: Page((site / "guide" / "designs" / name / "index.html").read_text("utf-8")) for name in NAMES
    }


def prose(page):
    """The sentences that the author of a page wrote, each paragraph and line of a list ended."""
    lines, last = [], None
    for text, around in page.texts:
        tags = {one.tag for one in around}
        names = set().union(*(one.classes for one in around), set())
        if "article" not in tags or tags & NOT_PROSE or names & NOT_PROSE_OF:
            continue
        block = next((one for one in reversed(around) if one.tag in {"p", "li"}), None)
        if block is None:
            continue
        if block is not last:
            lines.append("")
            last = block
        lines[-1] += text
    told = [" ".join(line.split()) for line in lines if line.strip()]
    return " ".join(line if line[-1] in ".?!:”" else line + "." for line in told)


def test_there_are_ten_or_more():
    """The guide has its ten lessons and those that were added, numbered from one on without a gap."""
    numbers = [
        int(re.search(r"^number: (\d+)$", file.read_text("utf-8"), re.MULTILINE)[1]) for file in SOURCES
    ]

    assert len(numbers) >= 10
    assert sorted(numbers) == list(range(1, len(numbers) + 1))


@pytest.mark.parametrize("name", NAMES)
def test_is_whole(lessons, name):
    """A lesson has an opening question, a figure, a question with an answer, a mistake that fails, and a card."""
    page = lessons[name]
    figure = page.by_id("bench")
    (asks,) = page.of("asks")
    (solution,) = page.of("answer")
    (mistake,) = page.of("lesson-mistake")
    card = page.by_id("card")
    drawn = [
        one for one in page.all if one.tag == "svg" and one.at.get("role") == "img" and figure in one.inside
    ]
    turned = [one for one in page.all if one.at.get("name", "").count(".") and figure in one.inside]
    remembered = [one for one in page.all if one.tag == "li" and card in one.inside]

    assert asks.text.strip().endswith("?"), "asks: it is a question"
    assert "lesson-figure" in figure.classes
    assert len({one.at["name"] for one in turned}) in (2, 3), "controls: two or three"
    assert any("aria-labelledby" in one.at for one in drawn), "drawings: at least one"
    assert any(one.tag == "table" and figure in one.inside for one in page.all)
    assert len(solution.text.split()) > 20, "the answer: more than twenty words"
    assert any("is-fails" in one.classes for one in page.all if mistake in one.inside), (
        "the mistake: it fails"
    )
    assert len(remembered) == 3, "the card: three things"
    assert "In words:" in card.text, "the card: a sentence that begins «In words:»"


@pytest.mark.parametrize("name", sorted(HANDS_NEAR_WIRES))
def test_warns(lessons, name):
    """A lesson in which hands come near wires has a caution of its own."""
    assert [one for one in lessons[name].of("admonition") if "warning" in one.classes]


@pytest.mark.parametrize("name", [*NAMES, "index"])
def test_reads_easily(site, lessons, name):
    """Its prose is no harder than grade nine.

    Source: the Flesch-Kincaid grade as the library textstat counts it.
    """
    page = lessons[name] if name in lessons else Page((site / "guide" / "index.html").read_text("utf-8"))
    text = prose(page)

    assert len(text.split()) > 150, "the text: more than 150 words, its figures and tables not counted"
    assert textstat.flesch_kincaid_grade(text) <= HIGHEST_GRADE, "the text: shorter sentences and words"


def test_hard_prose_would_be_noticed():
    """The measure tells hard prose from easy prose: a sentence out of a contract is far beyond grade nine."""
    hard = (
        "Notwithstanding the aforementioned contractual stipulations, the undersigned electrical contractor "
        "irrevocably indemnifies the photovoltaic installation's proprietor against consequential liabilities "
        "originating in unanticipated environmental circumstances."
    )

    assert textstat.flesch_kincaid_grade(hard) > HIGHEST_GRADE


UNITS = "|".join(
    ("°[CF]?", "%", "mV", "V", "A", "W", "Wh", "kW", "Ω", "AWG", "ft", "m", "mm2", "mm²", "mm", "inch")
    + (
        "volts?",
        "amps?",
        "amperes?",
        "watts?",
        "ohms?",
        "degrees?",
        "percent",
        "feet",
        "meters?",
        "millimeters?",
    )
)
IN_WORDS = "two|three|four|five|six|seven|eight|nine|ten|twelve|fifteen|twenty|thirty|forty|fifty|hundred"
QUANTITY = re.compile(rf"(?<![\w.])[-−]?(?:\d[\d.,]*|{IN_WORDS})[\s-]*(?:{UNITS})(?![\w/])", re.IGNORECASE)


def without_codes(text):
    """The text of a lesson as its author typed it, without the values above it and without what the core fills in."""
    below = text.split("\n---\n", 1)[1]
    return re.sub(r"(?m)\{\{.*?\}\}|<!--.*?-->|^ *\d+\. ", " ", below)


@pytest.mark.parametrize("name", [*NAMES, "index"])
def test_numbers_come_from_the_core(name):
    """No quantity is typed by hand: each stands as a code that the core fills in, or in the list of common practice."""
    typed = QUANTITY.findall(without_codes((PAGES / f"{name}.md").read_text("utf-8")))

    assert typed == [], "write a code in double braces instead"


@pytest.mark.parametrize(
    "typed", ["It has 22.4 V.", "at −21 °C", "a 12-volt battery", "ten amps", "3 %", "10 AWG wire"]
)
def test_a_typed_number_would_be_noticed(typed):
    """A quantity typed by hand is found, in figures and in words."""
    assert QUANTITY.search(without_codes(f"---\n---\n{typed}"))


def test_common_practice_is_marked(lessons):
    """Each number that only the trade can vouch for says so where it stands, and the list has none that is not used."""
    mark = load_words()("guide.practice-mark")
    listed = {key: text for key, text in load_words().entries.items() if key.startswith("guide.practice.")}
    used = [one.text for page in lessons.values() for one in page.of("practice")]

    assert all(text.endswith(f"({mark})") for text in used)
    assert {text.removesuffix(f" ({mark})") for text in used} == set(listed.values())
    assert len(listed) < 10


@pytest.mark.parametrize("name", NAMES)
def test_numbers_lead_to_their_working(lessons, reports, name):
    """A number in the text that leads to a step leads to the one that comes to just that number."""
    checked = 0
    for one in lessons[name].of("q"):
        report, _, place = one.at.get("href", "").partition("#")
        if place.startswith("step-"):
            step = reports[name].by_id(place)
            value = one.text.split(" (")[0]
            assert report == f"../designs/{name}/"
            assert f"= {value}" in " ".join(step.text.split(" ")) or value in step.text, (place, value)
            checked += 1

    curves = name == "shade-and-faults"  # its numbers come from the curves, which have no steps
    assert checked >= 3 or curves, "the text: three or more numbers of the lesson's own design"


@pytest.mark.parametrize("name", NAMES)
def test_figure_is_what_the_runtime_says(site, name):
    """For the unchanged design the browser's door gives the very parts that the page was built with."""
    html = (site / "guide" / name / "index.html").read_text("utf-8")
    data = json.loads(re.search(r'id="bench-data">(.*?)</script>', html, re.DOTALL)[1])
    for parts in data["parts"]:
        request = {
            "base": data["file"],
            "set": {},
            "home": data["home"],
            "lesson": data["lesson"],
            "parts": parts,
        }
        told = json.loads(answer(json.dumps(request)))
        assert set(told["fragments"]) == set(parts)
        for part, fragment in told["fragments"].items():
            assert fragment.strip() in html, part


# Worked by hand from the labels of the lessons' designs and the formulas that each line names.
BY_HAND = {
    "series-and-parallel": {"2 × 22.4 V": "44.8 V", "2 × 110 W": "220 W"},  # common practice, no source
    "cold-mornings": {  # NEC 690.7(A): n × Voc × (1 + coefficient × (coldest − 25))
        "4 × 22.4 × (1 + 0.0030 × 52)": "103.6 V",
        "4 × 22.4 × (1 + 0.0030 × 40)": "100.4 V",
        "25 − (100 ÷ 89.6 − 1) ÷ 0.0030": "−13.7 °C",
    },
    "hot-afternoons": {  # NOCT: air + (45 − 20) ÷ 800 × 1000; then n × Vmp × (1 − 0.0042 × (cell − 25))
        "42 + 31.25": "73.3 °C",
        "3 × 18.2 × (1 − 0.0042 × 48.25)": "43.5 V",
    },
    "distance-and-wire": {  # NEC chapter 9, table 8: 10 AWG stranded, 1.24 Ω/kft at 75 °C
        "6.04 × 1.24 × 0.1 × 2": "1.50 V",
        "1.498 ÷ (4 × 18.2 × (1 − 0.0042 × 38.25))": "2.5 %",
    },
    "where-currents-add": {  # NEC 690.8(A), 690.8(B), 690.9(A); IEC 62548 counts at 1.00
        "2 × 1.25 × 6.3": "15.8 A",
        "2 × 1.00 × 6.3": "12.6 A",
        "1.25 × 1.25 × 6.3": "9.84 A",
        "3 × 1.25 × 6.3": "23.6 A",
    },
    "controller-kinds": {
        "(18.2 − 12.0 − 0.3) × 2 × 6.04": "71.3 W"
    },  # a PWM controller works at battery voltage
}


@pytest.mark.parametrize("name", sorted(BY_HAND))
def test_numbers_are_those_worked_by_hand(lessons, name):
    """What the text says is what the label, the named formula and a pocket calculator give."""
    told = (
        text
        for text, around in lessons[name].texts
        if not any("lesson-figure" in one.classes for one in around)
    )
    text = "".join(told).replace("\xa0", " ")

    assert [
        line
        for line, result in BY_HAND[name].items()
        if not re.search(rf"(?<![\d.]){re.escape(result)}", text)
    ] == []


def test_card_prints_alone(open_page, address):
    """The card has a sheet to itself: by its link with a script, by its address without one; else all is printed."""
    page = open_page(script=False)
    page.emulate_media(media="print")
    page.goto(address + "guide/cold-mornings/")
    everything = page.locator("article > *:visible").count()
    page.goto(address + "guide/cold-mornings/#card")
    alone = page.locator("article > *:visible")

    assert everything > 20
    assert alone.count() == 1
    assert alone.get_attribute("id") == "card"

    live = open_page()
    live.add_init_script(
        "window.print = () => { window.printed = document.documentElement.dataset.printing; };"
    )
    live.goto(address + "guide/cold-mornings/")
    live.get_by_role("link", name="Print the card").click()
    assert live.evaluate("window.printed") == "card"
    live.emulate_media(media="print")
    assert live.locator("article > *:visible").count() == 1
    live.evaluate("window.dispatchEvent(new Event('afterprint'))")
    assert live.locator("article > *:visible").count() > 20


STARTING = 120_000
"""Milliseconds that the calculation may take to start on a busy machine; how long it takes is for scripts/bench to say."""


def test_figure_follows_the_reader(open_page, address):
    """A turned number is worked out in the browser; the mistake can be tried in the figure; and there is a way back."""
    page = open_page()
    page.goto(address + "guide/where-currents-add/")
    answers = page.locator("#report-answers")
    begun = answers.inner_text()

    page.locator('[name="array.strings_in_parallel"]').fill("2")
    answers.get_by_text("was 15.8 A").wait_for(timeout=STARTING)
    assert "coupler 2" not in answers.inner_text()

    page.locator('[data-do="reset"]').click()
    answers.get_by_text("coupler 2").first.wait_for()
    assert answers.inner_text() == begun

    page.get_by_role("button", name="Try it in the figure").click()
    answers.get_by_text("Coupler 3: it carries 31.5 A").wait_for()
    page.wait_for_url("**#array.strings_in_parallel=4")


@pytest.fixture
def hooks(monkeypatch):
    """The build steps that make lessons, as modules."""
    monkeypatch.syspath_prepend(str(ROOT / "site_src" / "hooks"))
    import coursebook
    import lesson_codes

    yield SimpleNamespace(book=coursebook, codes=lesson_codes)
    coursebook.load_lessons.cache_clear()


@pytest.mark.parametrize(
    ("code", "says"),
    [
        ("voc_cold_sting_V", "no quantity and no input called 'voc_cold_sting_V'"),
        ("third: voc_cold_string_V", "'third' is none of the designs named above the text"),
        ("margin run-voltage", "no finding 'run-voltage'"),
        ("voc_cold_string_V - isc_string_A", "mixes V and A"),
        (
            "voc_cold_string_V - voc_cold_string_V",
            "comes to nothing; of two designs write 'NAME: voc_cold_string_V",
        ),
        (
            "voc_cold_string_V - third: voc_cold_string_V",
            "'third' is none of the designs named above the text",
        ),
        ("scalar pi", "no single value 'pi'"),
        ("practice luck", "guide.practice has no 'luck'"),
        ("type site.coldest = warm", "'warm' cannot be typed as site.coldest"),
        ("type battery.nominal = 12 V", "the figure has no control 'battery.nominal'"),
    ],
)
def test_unknown_codes_are_refused(hooks, code, says):
    """A code that means nothing is refused with what is wrong, so that no lesson is built with a hole in it."""
    lesson = hooks.book.load_lessons()["guide/cold-mornings.md"]

    with pytest.raises(hooks.codes.CodeError, match=re.escape(says)):
        hooks.codes.fill(f"It is {{{{ {code} }}}}.", lesson)


def test_two_designs_in_one_number(hooks):
    """Each of two quantities may be of another design of the lesson; a name before both counts for both."""
    lesson = hooks.book.load_lessons()["guide/cold-mornings.md"]
    name, other = "milder", lesson.others["milder"]
    cold, colder = (one.steps["voc_cold_string_V"].result for one in (lesson.assessment, other))
    label = other.steps["voc_stc_string_V"].result

    def filled(code):
        return float(
            re.search(r">(-?[\d.]+)", hooks.codes.fill(f"{{{{ {code} }}}}", lesson).replace("−", "-"))[1]
        )

    assert cold != colder
    for code, value in (
        (f"{name}: voc_cold_string_V - here: voc_cold_string_V", colder - cold),
        (f"voc_cold_string_V - {name}: voc_cold_string_V", cold - colder),
        (f"here: voc_cold_string_V + {name}: voc_cold_string_V", cold + colder),
        (f"{name}: voc_cold_string_V - voc_stc_string_V", colder - label),
    ):
        assert isclose(filled(code), value, abs_tol=0.06), code


def test_text_cannot_drift_from_its_design(hooks, monkeypatch, tmp_path):
    """A lesson whose text relies on a verdict stops the build once its design comes out differently."""
    pages, designs = tmp_path / "pages", tmp_path / "designs"
    for folder, file in (
        (pages, PAGES / "cold-mornings.md"),
        (designs, ROOT / "scenarios" / "guide" / "cold-mornings.toml"),
    ):
        folder.mkdir()
        (folder / file.name).write_text(file.read_text("utf-8"), "utf-8")
    design = designs / "cold-mornings.toml"
    design.write_text(design.read_text("utf-8").replace('"-27 degC"', '"-45 degC"'), "utf-8")
    monkeypatch.setattr(hooks.book, "PAGES", pages)
    monkeypatch.setattr(hooks.book, "DESIGNS", designs)
    hooks.book.load_lessons.cache_clear()

    with pytest.raises(Exception, match=r"relies on 'cold-voltage-controller' .* being 'holds'; it is tight"):
        hooks.book.load_lessons()


def test_the_lesson_that_is_shown_can_be_built(hooks, monkeypatch, tmp_path):
    """The whole lesson on the page that explains lessons is one, with the design that the page says to copy."""
    shown = (ROOT / "site_src" / "pages" / "how" / "lesson.md").read_text("utf-8")
    lesson = re.search(r"```text\n(---\n.*?)```", shown, re.DOTALL)[1]
    copied = ROOT / re.search(r"`(scenarios/examples/[a-z-]+\.toml)`", shown)[1]
    (tmp_path / "one-more-string.md").write_text(lesson, "utf-8")
    (tmp_path / "one-more-string.toml").write_text(copied.read_text("utf-8"), "utf-8")
    monkeypatch.setattr(hooks.book, "PAGES", tmp_path)
    monkeypatch.setattr(hooks.book, "DESIGNS", tmp_path)
    hooks.book.load_lessons.cache_clear()

    (one,) = hooks.book.load_lessons().values()
    filled = [hooks.codes.fill(line, one) for line in lesson.splitlines()]

    assert one.title == "One more string"
    assert not any("{{" in line for line in filled)


@pytest.mark.parametrize(
    ("line", "instead", "says"),
    [
        ("number: 2", "", "a lesson needs its number above its text, for example «number: 11»"),
        ("title: Cold mornings", "title: Cold: mornings", "A text with a colon in it stands in quotes there"),
        (
            "line: Cold raises",
            "lines: Cold raises",
            "a lesson needs 'line' above its text; site_src/pages/how",
        ),
        ("[cold-voltage-controller]\nq", "[cold-voltage]\nq", "perhaps 'cold-voltage-site' is meant"),
        (
            "[site.coldest, ",
            "[site.cold, ",
            "controls: its design has no 'site.cold'; perhaps 'site.coldest'",
        ),
        ("max_voltage: 100 V}\n  f", "max_voltage: 100}\n  f", "mistake cannot be read as a design"),
    ],
)
def test_a_lesson_that_does_not_fit_says_what_is_wanted(hooks, monkeypatch, tmp_path, line, instead, says):
    """A slip above the text of a lesson stops the build with what to write, never with a lesson that is missing."""
    text = (PAGES / "cold-mornings.md").read_text("utf-8")
    assert line in text
    (tmp_path / "cold-mornings.md").write_text(text.replace(line, instead, 1), "utf-8")
    monkeypatch.setattr(hooks.book, "PAGES", tmp_path)
    hooks.book.load_lessons.cache_clear()

    with pytest.raises(Exception, match=re.escape(says)):
        hooks.book.load_lessons()
