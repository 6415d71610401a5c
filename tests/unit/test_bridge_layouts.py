"""The browser door and layouts: tried bit by bit, stopped and gone on with, drawn on the axes that are asked for."""

import pytest

from calc import check, load_book, read_design
from calc.sections import SECTIONS, section_html, with_sections
from tests.unit.test_bridge import TUNNEL, ask

OTHER = {"array.modules_in_series": "4", "array.strings_in_parallel": "2"}
NOT_AXES = ["", "colour", 7, None, ["copper"]]


def layouts(**request):
    answer = ask(parts=["layouts"], **request)
    return answer["tried"], answer["fragments"]["layouts"]


def test_rows_come_bit_by_bit_and_end_as_the_whole():
    """Each answer has a layout more; then come the day and the faults."""
    counts = []
    for bits in range(1, 20):
        tried, html = layouts(set=OTHER, bits=bits)
        counts.append(html.count('<th scope="row"><strong>'))
        if tried is None:
            break
        assert tried == [bits, 6]
        assert "layouts-progress" in html

    assert counts == [1, 2, 3, 4, 4, 4]
    assert html == layouts(set=OTHER)[1]
    assert "layouts-progress" not in html


def test_work_that_is_done_is_not_undone():
    """Fewer bits than were done before give all of them."""
    colder = {**OTHER, "site.coldest": "-17 degC"}
    layouts(set=colder, bits=4)

    assert layouts(set=colder, bits=1)[0] == [4, 6]
    assert layouts(set=colder)[0] is None
    assert layouts(set=colder, bits=1)[0] is None


def test_axes_are_those_asked_for():
    """Both, or one with the other chosen by the core."""
    _, html = layouts(axes=["loss", "cold"])
    assert '<option value="loss" selected>' in html
    assert '<option value="cold" selected>' in html
    _, html = layouts(axes=["loss", ""])
    assert html.count(" selected>") == 2


@pytest.mark.parametrize("axes", [NOT_AXES, "loss", 3, {}, [], ["colour"], ["colour", "odour", "loss"]])
def test_what_is_no_axis_is_chosen_by_the_core(axes):
    """Nothing that a page may send breaks the answer."""
    assert layouts(axes=axes)[1] == layouts()[1]


@pytest.mark.parametrize("bits", [True, -3, 0, "4", None, 10**9])
def test_any_number_of_bits_is_answered(bits):
    """At least one layout is tried; what is no number means all."""
    tried, html = layouts(set={**OTHER, "site.coldest": "-9 degC"}, bits=bits)

    assert html.startswith('<section class="chapter-part" id="report-layouts"')
    assert tried is None or tried[0] >= 1


def test_the_section_is_the_one_that_the_build_made():
    """For a design as it stands the door gives the bytes that the build put into the page."""
    assessment = check(read_design(TUNNEL), load_book())

    assert layouts()[1] == section_html("layouts", assessment, load_book(), home="../../")


@pytest.mark.parametrize(
    ("part", "wish", "title"), [("adding", "adding", "<h3>"), ("limits", "moves", "verdict-moves")]
)
def test_what_takes_long_is_offered_and_worked_out_when_it_is_wanted(part, wish, title):
    """A report has the short form, which the door gives too as long as nobody wants the whole."""
    assessment = check(read_design(TUNNEL), load_book())
    short = ask(parts=[part])["fragments"][part]
    whole = ask(parts=[part], **{wish: True})["fragments"][part]

    assert short == section_html(part, assessment, load_book(), home="../../")
    assert f'data-do="{wish}"' in short
    assert "data-whole" not in short
    assert f'data-do="{wish}"' not in whole
    assert "data-whole" in whole
    assert title in whole


def test_modules_of_the_pinned_layout_may_be_added():
    """Where it has other ones; one that cannot be read adds nothing."""
    pinned = {"base": TUNNEL, "set": {"module.voc": "40 V", "module.vmp": "33 V"}}
    names = [
        ask(parts=["adding"], adding=True, pinned=one)["fragments"]["adding"].count("<h3>")
        for one in (None, {"base": TUNNEL, "set": {}}, pinned, {"base": "not a design"})
    ]

    assert names == [3, 3, 4, 3]


def test_every_section_has_a_place_in_the_report():
    """None is lost among the fragments, and none comes twice."""
    placed = with_sections(
        {"verdict": "", "ladder": "", "wiring": "", "given": ""}, dict.fromkeys(SECTIONS, "")
    )

    assert set(placed) == {"verdict", "ladder", "wiring", "given", *SECTIONS}
    assert list(placed).index("limits") == list(placed).index("ladder") + 1
    assert list(with_sections({"wiring": ""}, {"layouts": ""})) == ["wiring", "layouts"]


def test_other_values_come_bit_by_bit_too():
    """A file's other values are tried after its own layouts, so that the reader may still stop between any two answers."""
    base = f'{TUNNEL}\n[layouts]\nor = "controller.max_voltage = 50 V; controller.max_voltage = 150 V"\n'
    answers = []
    for bits in range(1, 40):
        answers.append(layouts(base=base, set=OTHER, bits=bits))
        if answers[-1][0] is None:
            break

    tried, htmls = zip(*answers, strict=True)
    shown = [html.count("use-now live-only") for html in htmls]
    assert [one[0] for one in tried[:-1]] == list(range(1, len(tried)))
    assert shown[-1] == shown[-2] + 1 == shown[5] + 2
    assert all(("layouts-progress" in html) == (one is not None) for one, html in answers)
    assert htmls[-1] == layouts(base=base, set=OTHER)[1]
