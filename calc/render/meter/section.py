"""The meter sheet as an HTML fragment: one section with a fixed id, complete in itself."""

from collections.abc import Sequence

from calc.model.meter import Diagnosis, MeterSheet
from calc.render.as_html import environment
from calc.render.catalogue import load_words
from calc.render.meter.suns import sun_table
from calc.render.meter.view import meter_view


def as_meter_html(
    sheet: MeterSheet,
    system: str = "us",
    *,
    diagnosis: Diagnosis | None = None,
    suns: Sequence[MeterSheet] = (),
    language: str = "en",
    home: str = "",
) -> str:
    """Print what a meter should read, and what readings come to, as the fragment ``report-meter``.

    Args:
        sheet: as made by ``calc.meter.expected.meter_sheet``.
        system: ``us`` or ``metric``.
        diagnosis: what readings come to, where there are any.
        suns: the sheet for other suns, for paper, as made by ``calc.meter.suns.sheets_by_sun``.
        language: folder of the word catalogue.
        home: the way from a report to the start of the site; empty on the page on which readings are entered.
    """
    words = load_words(language)
    template = environment().get_template("meter.html")
    view = meter_view(sheet, words, system, diagnosis)
    return template.render(meter=view, suns=sun_table(suns, words), w=words, home=home)
