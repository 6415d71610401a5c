"""A design's day as a reader gets it: missing inputs, layouts, sums, sentences, JSON, page section, drawing."""

import json
import re
import xml.etree.ElementTree as ET
from itertools import combinations, pairwise
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from calc import Design, assess, load_book, read_design
from calc.model.assessment import Unknown
from calc.model.day import DAYS
from calc.plan.day import day_of
from calc.plan.day_inputs import _known
from calc.render.catalogue import load_words
from calc.render.day.figures import clock, energy, hours, share, whole_percent, zone
from calc.render.day.plain import as_day_json, as_day_plain
from calc.render.day.section import as_day_html
from calc.render.day.text import WIDTH, as_day_text
from calc.render.drawings.day import day_drawing, drawn_layouts
from calc.render.drawings.svg import wide

ROOT = Path(__file__).parents[2]
BOOK, WORDS = load_book(), load_words()
PUMP = (ROOT / "scenarios/examples/stock-water-pump.toml").read_text("utf-8")
FILES = sorted((ROOT / "scenarios").rglob("*.toml"))
SVG = "{http://www.w3.org/2000/svg}"
PHONE, READABLE = 288, 11


def design(text=PUMP, **changes):
    """The stock-water pump with some lines exchanged: a name and its new value, or None to leave it out."""
    for name, value in changes.items():
        line = "" if value is None else f"{name} = {json.dumps(value)}\n"
        text, found = re.subn(rf"(?m)^{name} = .*\n", line, text)
        assert found == 1, name
    read = read_design(text)
    assert isinstance(read, Design), read
    return read


def day(text=PUMP, **changes):
    """The day of that design."""
    return day_of(design(text, **changes), BOOK)


REPORT = day()
DARK = day(latitude="80 deg")
UNLIKE = day_of(read_design((ROOT / "scenarios/gallery/three-kinds.toml").read_text("utf-8")), BOOK)
STARVED = day_of(read_design((ROOT / "scenarios/examples/roadside-stand.toml").read_text("utf-8")), BOOK)
PWM = day_of(read_design((ROOT / "scenarios/examples/gate-opener.toml").read_text("utf-8")), BOOK)
SMALL_OUTPUT = day(rated_output_current="12 A")
REPORTS = [REPORT, DARK, UNLIKE, STARVED, PWM, SMALL_OUTPUT]


class TestInputs:
    def test_a_day_needs_a_latitude(self):
        """Without a latitude there is no day, and the report says which input is missing."""
        report = day(latitude=None)
        assert report.needs == ("site.latitude",)
        assert (report.layouts, report.months, report.year, report.own) == ((), (), None, None)
        assert "latitude" in as_day_text(report)
        assert as_day_plain(report)["needs"] == ["site.latitude"]
        assert "latitude" in as_day_html(report)

    def test_a_battery_without_voltages_is_asked_for_its_nominal_one(self):
        """Nominal voltage settles the lowest and the absorption voltage, so it alone is asked for."""
        text = re.sub(r"(?s)\[battery\].*", "", PUMP)
        assert day(text).needs == ("battery.nominal",)

    def test_a_module_that_no_curve_fits_has_no_day(self):
        """Vmp below half of Voc belongs to no curve: a reason, not a traceback."""
        report = day(vmp="9 V", pmax="54 W")
        assert (report.reason, report.needs) == ("no-curve", ())
        assert WORDS("day.reason.no-curve") in as_day_text(report).replace("\n", " ")

    def test_what_nobody_said_is_assumed(self):
        """Tilt is the latitude, the modules face the equator, the site lies at the sea; each is noted."""
        report = day(tilt=None, azimuth=None, elevation=None)
        assumed = {one.path: one.value for one in report.assumptions}
        assert (assumed["site.tilt"], assumed["site.azimuth"], assumed["site.elevation"]) == (
            "44 deg",
            "180 deg",
            "0 m",
        )
        south = day(latitude="-44 deg", tilt=None, azimuth=None)
        assert {one.path: one.value for one in south.assumptions}["site.azimuth"] == "0 deg"

    def test_a_wire_of_unknown_length_is_left_out_and_said(self):
        """A run without a length counts no loss, and the report says so."""
        report = day(length=None)
        assert ("run-unknown", "home run") in report.left_out
        assert report.year.run_loss_Wh == {}
        assert report.year.energy_Wh > REPORT.year.energy_Wh
        assert "home run is not counted" in as_day_text(report).replace("\n", " ")

    def test_a_design_without_wire_or_rating_has_a_day_and_says_so(self):
        """Without a run no wire is counted, without a rated output nothing is clipped; both are said."""
        text = re.sub(r"(?s)\[\[run\]\].*?\n\n", "", PUMP)
        report = day(text, rated_output_current=None)
        assert report.left_out == (("no-run", ""), ("no-rating", ""))
        said = as_day_text(report).replace("\n", " ")
        assert WORDS("day.left-out.no-run", part="") in said
        assert WORDS("day.left-out.no-rating", part="") in said
        assert WORDS("day.more.clipped-none") not in said

    def test_a_quantity_every_design_has_is_never_asked_for(self):
        """Were one missing after all, that would be a fault of ours and is raised as such."""
        with pytest.raises(TypeError, match=r"module\.voc"):
            _known(Unknown(("module.voc",)))

    @pytest.mark.parametrize("file", FILES, ids=lambda file: file.stem)
    def test_every_design_file_has_a_day_or_says_why_not(self, file):
        """Every design that is read gives a day in text, JSON and HTML, or a reason."""
        report = day_of(read_design(file.read_text("utf-8")), BOOK)
        assert bool(report.layouts) != bool(report.needs or report.reason)
        assert json.loads(as_day_json(report))["schema"] == "arraybook/day/1"
        assert max(len(line) for line in as_day_text(report).splitlines()) <= WIDTH
        assert as_day_html(report).startswith('<section class="chapter-part" id="report-day">')


class TestLayouts:
    def test_every_rectangle_of_the_modules_is_there_once(self):
        """Six modules: 1 × 6, 2 × 3, 3 × 2 and 6 × 1, the design's own marked."""
        shapes = [(one.series, one.parallel) for one in REPORT.layouts]
        assert shapes == [(1, 6), (2, 3), (3, 2), (6, 1)]
        assert [one.own for one in REPORT.layouts] == [False, False, True, False]

    def test_many_ways_are_cut_to_the_nearest(self):
        """Of many ways to join the modules eight are kept, the design's own among them."""
        report = day_of(design(modules_in_series=12, strings_in_parallel=15), BOOK, year=False)
        assert len(report.layouts) == 8
        assert report.own is not None
        assert all(one.series * one.parallel == 180 for one in report.layouts)

    def test_a_layout_has_the_verdict_of_its_own_check(self):
        """Each layout is checked as a whole design: the verdict is that of the check with its counts."""
        for layout in REPORT.layouts:
            changed = design(modules_in_series=layout.series, strings_in_parallel=layout.parallel)
            assert layout.verdict == assess(changed, BOOK).verdict
            assert (layout.because != ("", "")) == (layout.verdict == "fails")

    def test_damage_is_named_first(self):
        """Six in series pass the controller's absolute voltage: that is said, not that a wire loses power."""
        assert REPORT.layouts[-1].because == ("cold-voltage-controller", "controller")

    def test_a_layout_is_its_own_designs_day(self):
        """What a layout shows is what a design so joined would show as its own."""
        other = day_of(design(modules_in_series=2, strings_in_parallel=3), BOOK, year=False)
        assert other.own.days == REPORT.layouts[1].days

    def test_unlike_strings_are_followed_as_designed(self):
        """Strings of several kinds have one layout, their own."""
        assert [(one.series, one.parallel, one.own) for one in UNLIKE.layouts] == [(0, 0, True)]

    def test_days_without_charging_are_named_together(self):
        """A layout that charges on one of three days only has the other two named in one sentence."""
        hot = (ROOT / "scenarios/examples/roadside-stand.toml").read_text("utf-8")
        text = as_day_text(day(hot, lowest="13.5 V")).replace("\n", " ")
        assert "On the equinox and the longest day 1 × 4 never reaches the voltage" in text

    def test_more_in_series_is_said_to_begin_earlier(self):
        """Where the voltage is scarce, the sentence names the day, both layouts and both hours."""
        text = as_day_text(STARVED).replace("\n", " ")
        assert "On the equinox 1 × 4 begins at 6:19, 2 × 2 at 5:57." in text
        assert "On the longest day 1 × 4 never reaches the voltage this controller needs." in text


class TestSums:
    def test_months_add_up_to_the_year(self):
        """The year is the sum of twelve months of 365 days, and its light that of the months."""
        assert sum(month.days for month in REPORT.months) == 365
        assert sum(month.energy_Wh for month in REPORT.months) == pytest.approx(REPORT.year.energy_Wh)
        assert sum(month.insolation_Whm2 for month in REPORT.months) == pytest.approx(
            REPORT.year.insolation_Whm2
        )

    def test_energy_is_what_the_array_could_give_less_what_is_lost(self):
        """Into the battery, clipped and given away are together the array's best; MPPT gives next to nothing away."""
        for report in (REPORT, PWM, SMALL_OUTPUT):
            year = report.year
            assert year.energy_Wh + year.clipped_Wh + year.given_away_Wh == pytest.approx(year.best_Wh)
        assert REPORT.year.given_away_Wh < 0.001 * REPORT.year.best_Wh
        assert PWM.year.given_away_Wh > 0.05 * PWM.year.best_Wh

    def test_a_small_controller_clips(self):
        """With 12 A of rated output the year's energy is less, and what is missing is told as clipped."""
        year = SMALL_OUTPUT.year
        assert year.clipped_Wh > 0.2 * year.best_Wh
        assert year.energy_Wh + year.clipped_Wh == pytest.approx(REPORT.year.energy_Wh, rel=0.01)
        assert "cuts off" in as_day_text(SMALL_OUTPUT)

    def test_the_runs_loss_follows_its_resistance(self):
        """Half the length loses half as much, nearly."""
        half = day(length="42.5 ft").year.run_loss_Wh["home run"]
        assert REPORT.year.run_loss_Wh["home run"] / half == pytest.approx(2.0, rel=0.05)

    def test_south_is_north_half_a_year_later(self):
        """The mirrored site in the south has its longest day in December, about as long, and about the same year."""
        south = day(latitude="-44 deg", azimuth="0 deg")
        assert (south.days[0].month, south.days[2].month) == (6, 12)
        assert south.year.energy_Wh == pytest.approx(REPORT.year.energy_Wh, rel=0.03)

    def test_a_better_tilt_gives_more(self):
        """A plane tilted to the latitude gets more light in the year than a level one, and more than an upright one."""
        light = {tilt: day(tilt=f"{tilt} deg").year.insolation_Whm2 for tilt in (0, 40, 90)}
        assert light[40] > light[0]
        assert light[40] > light[90]

    def test_the_polar_night_is_dark(self):
        """At 80° the sun stays down in December and up in June, and the report says so."""
        assert DARK.days[0].light_Wm2 == ()
        assert DARK.months[11].energy_Wh == 0.0
        assert DARK.months[5].energy_Wh > 0.0
        assert "the sun does not rise" in as_day_text(DARK)

    def test_without_the_year_the_days_are_the_same(self):
        """The year is left out where it is not wanted; nothing else changes."""
        short = day_of(design(), BOOK, year=False)
        assert (short.months, short.year) == ((), None)
        assert (short.days, short.layouts) == (REPORT.days, REPORT.layouts)
        assert "report-day" in as_day_html(short)
        assert as_day_text(short)

    def test_the_assessment_may_be_given(self):
        """Where the design was checked already, its assessment is used and the day is the same."""
        assert day_of(design(), BOOK, assess(design(), BOOK), year=False).layouts == REPORT.layouts

    @settings(max_examples=12, deadline=None)
    @given(st.floats(-90, 90), st.floats(0, 90), st.floats(0, 360), st.floats(-40, 20), st.floats(21, 55))
    def test_any_site_has_a_day(self, latitude, tilt, azimuth, coldest, hottest):
        """Whatever the site, hours lie within the day, spans do not overlap, and no energy is below zero."""
        text = PUMP.replace('hardiness_zone = "5b"', f'coldest = "{coldest:.3f} degC"')
        changes = {"latitude": latitude, "tilt": tilt, "azimuth": azimuth}
        report = day(
            text, hottest=f"{hottest:.3f} degC", **{key: f"{value:.4f} deg" for key, value in changes.items()}
        )
        for layout in report.layouts:
            for sun, taken in zip(report.days, layout.days, strict=True):
                ends = [sun.sunrise_h, *(hour for span in taken.spans for hour in span), sun.sunset_h]
                assert all(earlier <= later + 1e-6 for earlier, later in pairwise(ends))
                assert 0.0 <= taken.energy_Wh <= taken.best_Wh * (1 + 1e-6) + 1.0
        assert_readable(day_drawing(report, WORDS).svg)


class TestWorking:
    def test_every_result_names_its_method_inputs_and_sources(self):
        """Each step has a unit in its key, a method and sources that the catalogue knows, and inputs with origins."""
        for report in REPORTS:
            for key, step in report.steps.items():
                assert key.endswith(("_h", "_Wh", "_Whm2", "_percent"))
                assert WORDS(f"day.method.{step.method}")
                assert step.cites
                assert all(WORDS(f"day.source.{one}") for one in step.cites)
                assert step.values["latitude"].origin == "given site.latitude"
                assert all(WORDS(f"day.input.{name}") for name in step.values)

    def test_results_have_ten_digits(self):
        """Results are kept at the digits that are the same on every machine."""
        for step in REPORT.steps.values():
            assert step.result == float(f"{step.result:.10g}")

    def test_json_says_what_the_day_says(self):
        """Caution, quantities, layouts, months and steps stand in the JSON, in a fixed order and the same each time."""
        plain = json.loads(as_day_json(REPORT))
        assert list(plain)[:6] == ["schema", "core", "rules", "tables", "caution", "says"]
        assert plain["caution"] == WORDS("day.caution")
        shortest = plain["quantities"]["day.shortest.begins_h"]
        assert shortest == {
            "value": REPORT.own.days[0].begins_h,
            "unit": "h",
            "step": "day.shortest.begins_h",
        }
        assert plain["layouts"][2]["own"]
        assert plain["layouts"][2]["change"] == {"array.modules_in_series": 3, "array.strings_in_parallel": 2}
        assert len(plain["months"]) == 12
        assert as_day_json(day()) == as_day_json(REPORT)

    @pytest.mark.parametrize("report", REPORTS)
    def test_a_clear_sky_is_said_to_be_assumed(self, report):
        """Text and section state plainly that a clear sky is assumed and that real days give less."""
        for said in (as_day_text(report).replace("\n", " "), as_day_html(report)):
            assert "clear sky from sunrise to sunset is assumed. Real days give less" in said

    def test_a_failing_design_is_said_to_fail(self):
        """A day is no approval: where the design fails its check, the first paragraph says so."""
        assert "the check says that this design fails" in as_day_text(STARVED).replace("\n", " ")
        assert "the check says that this design fails" not in as_day_text(REPORT).replace("\n", " ")

    def test_hours_are_said_to_be_sun_time(self):
        """With a longitude the clock at sun noon is told, without one that clocks differ."""
        assert "UTC−7, without summer time, then shows 11:50" in as_day_text(REPORT).replace("\n", " ")
        assert "Clocks differ from that" in as_day_text(day(longitude=None)).replace("\n", " ")

    def test_plain_ascii_for_plain_terminals(self):
        """Asked for ASCII, the text holds nothing else and is no wider."""
        for report in REPORTS:
            text = as_day_text(report, ascii_only=True)
            assert text.isascii()
            assert max(map(len, text.splitlines())) <= WIDTH


class TestSection:
    @pytest.mark.parametrize("report", REPORTS)
    def test_it_is_one_well_formed_element(self, report):
        """The section parses, has one root, and its ids are its own."""
        text = as_day_html(report, home="../../").replace("&#160;", " ")
        root = ET.fromstring(re.sub(r"<br>", "<br/>", text).replace(" hidden>", ">"))
        ids = [element.get("id") for element in root.iter() if element.get("id")]
        assert root.get("id") == "report-day"
        assert len(ids) == len(set(ids))

    def test_inputs_lead_back_to_where_they_came_from(self):
        """Links of the working lead to the page's own places, or to the page of tables."""
        links = re.findall(r'href="([^"]+)"', as_day_html(REPORT, home="../../"))
        assert "#given-site-latitude" in links
        assert "../../how/tables/#table-ground_albedo" in links

    def test_its_own_assumptions_have_places(self):
        """Tilt, direction and height that only the day assumes can be linked to."""
        text = as_day_html(day(tilt=None, azimuth=None, elevation=None))
        for path in ("tilt", "azimuth", "elevation"):
            assert f'id="assumed-site-{path}"' in text
            assert f'href="#assumed-site-{path}"' in text

    def test_metric_readers_get_metres(self):
        """The site's height is in metres there, in feet here."""
        assert "1,100 m" in as_day_html(REPORT, "metric").replace("\u202f", ",").replace("\u00a0", " ")
        assert "3,609 ft" in as_day_html(REPORT, "us").replace("\u00a0", " ")


def boxes(svg):
    """Every line of type as (left, top, right, bottom, words), by the widths of a wide common face."""
    for element in ET.fromstring(svg).iter(SVG + "text"):
        size, x, base = (float(element.get(name)) for name in ("font-size", "x", "y"))
        room = wide(element.text, size, bold=element.get("class") not in ("d-note", "d-ink"))
        left = {"end": x - room, "middle": x - room / 2}.get(element.get("text-anchor"), x)
        yield left, base - 0.76 * size, left + room, base + 0.22 * size, element.text


def assert_readable(svg):
    """No two lines of type overlap, none leaves the drawing, and none is too small for a phone."""
    _, _, width, height = map(float, ET.fromstring(svg).get("viewBox").split())
    for left, top, right, bottom, words in boxes(svg):
        assert left >= -0.5, words
        assert right <= width + 0.5, words
        assert top >= -0.5, words
        assert bottom <= height + 0.5, words
    for (a, b, c, d, one), (e, f, g, h, other) in combinations(list(boxes(svg)), 2):
        assert c <= e + 0.01 or g <= a + 0.01 or d <= f + 0.01 or h <= b + 0.01, (one, other)
    for size in re.findall(r'font-size="([\d.]+)"', svg):
        assert float(size) * PHONE / width >= READABLE


class TestDrawing:
    @pytest.mark.parametrize("report", REPORTS)
    @pytest.mark.parametrize("system", ["us", "metric"])
    def test_it_is_readable(self, report, system):
        """No words of the drawing overlap, leave it or are too small, whatever the day."""
        assert_readable(day_drawing(report, WORDS, system).svg)

    def test_nothing_to_draw_without_a_day(self):
        """Without a latitude there is no drawing."""
        assert day_drawing(day(latitude=None), WORDS) is None

    def test_it_says_what_it_shows(self):
        """Title and description name both days, each layout drawn, when it begins and ends and what it brings."""
        root = ET.fromstring(day_drawing(REPORT, WORDS).svg)
        title, says = root.find(SVG + "title"), root.find(SVG + "desc")
        assert root.get("aria-labelledby").split() == [title.get("id"), says.get("id")]
        for part in (
            "Shortest day",
            "Longest day",
            "3\u00a0×\u00a02 charges from 7:36 to 16:24 and brings 3.14\u00a0kWh",
        ):
            assert part in says.text

    def test_its_table_has_every_layout_and_day(self):
        """The table has a row for each layout and a column for each day, with the hours of the text."""
        figure = day_drawing(REPORT, WORDS)
        assert len(figure.head) == 1 + len(DAYS)
        assert [row[0] for row in figure.rows] == [
            "1\u00a0×\u00a06",
            "2\u00a0×\u00a03",
            "3\u00a0×\u00a02",
            "6\u00a0×\u00a01",
        ]
        assert figure.rows[0][1:] == (WORDS("day.layouts.not-at-all"),) * 3
        assert figure.rows[2][1].startswith("7:36–")

    def test_each_layout_has_its_own_stroke(self):
        """Up to four layouts, told apart by dashes: the design's own plain, the rest each in another pattern."""
        shown = drawn_layouts(day_of(design(modules_in_series=4, strings_in_parallel=6), BOOK, year=False))
        assert len(shown) == 4
        assert shown[0].own
        svg = day_drawing(SMALL_OUTPUT, WORDS).svg
        for style in ("d-room", "d-wire-minus", "d-dots", "d-dash"):
            assert f'<path class="{style}"' in svg

    def test_a_failing_layout_is_marked_in_words(self):
        """Each layout that fails its check says so beside its name, on both days drawn."""
        failing = sum(one.verdict == "fails" for one in drawn_layouts(REPORT))
        words = [element.text for element in ET.fromstring(day_drawing(REPORT, WORDS).svg).iter(SVG + "text")]
        assert words.count(WORDS("drawing.day.fails")) == 2 * failing

    def test_a_dark_day_says_so(self):
        """Where the sun does not rise the plot says it."""
        words = [element.text for element in ET.fromstring(day_drawing(DARK, WORDS).svg).iter(SVG + "text")]
        assert WORDS("drawing.day.dark") in words

    def test_it_brings_nothing_from_outside(self):
        """The drawing is plain shapes and type, with classes the common style knows."""
        css = (ROOT / "calc/render/drawings/drawing.css").read_text("utf-8")
        styled = set(re.findall(r"\.(d(?:-[a-z-]+)?)(?![\w-])", css)) | {"d-ink", "d-line"}
        for report in REPORTS:
            svg = day_drawing(report, WORDS).svg
            used = {name for names in re.findall(r'class="([^"]*)"', svg) for name in names.split()}
            assert used <= styled
            assert "href" not in svg


class TestFigures:
    @pytest.mark.parametrize(
        ("hour", "text"),
        [(7.5, "7:30"), (0.0, "0:00"), (19.999, "20:00"), (23.9999, "24:00"), (4.0 + 59.4 / 60, "4:59")],
    )
    def test_hours(self, hour, text):
        """An hour is told to the minute, rounded, and never with sixty minutes."""
        assert clock(hour) == text

    @pytest.mark.parametrize(
        ("value", "text"),
        [
            (0.0, "0 Wh"),
            (239.4, "239 Wh"),
            (1000.0, "1.00 kWh"),
            (3141.0, "3.14 kWh"),
            (9_702.0, "9.70 kWh"),
            (9_996.0, "10.0 kWh"),
            (97_700.0, "97.7 kWh"),
            (99_960.0, "100 kWh"),
            (1_484_768.0, "1,485 kWh"),
        ],
    )
    def test_energies(self, value, text):
        """Three digits that count, in Wh below 1000 and kWh from there."""
        assert str(energy(value)).replace("\u00a0", " ") == text

    def test_shares(self):
        """A share keeps a digit where it is small, and never looks like nothing when it is something."""
        shares = [share(part, 1000.0).replace("\u00a0", " ") for part in (0.0, 0.5, 14.0, 140.0)]
        assert shares == ["0 %", "< 0.1 %", "1.4 %", "14 %"]
        assert share(1.0, 0.0).replace("\u00a0", " ") == "< 0.1 %"
        assert whole_percent(-0.07).replace("\u00a0", " ") == "7 %"

    def test_zones_and_spans(self):
        """Zones are told from universal time; a span of hours holds together."""
        assert [zone(hours) for hours in (-7, 0, 3)] == ["UTC−7", "UTC", "UTC+3"]
        assert hours(7.5, 16.25) == "7:30–\N{WORD JOINER}16:15"
