"""The meter sheet as an HTML fragment: one section with a fixed id, complete in itself."""

from calc.model.meter import Diagnosis, MeterSheet
from calc.render.as_html import environment
from calc.render.catalogue import load_words
from calc.render.meter.view import meter_view


def as_meter_html(
    sheet: MeterSheet, system: str = "us", *, diagnosis: Diagnosis | None = None, language: str = "en"
) -> str:
    """Print what a meter should read, and what readings come to, as the fragment ``report-meter``.

    Args:
        sheet: as made by ``calc.meter.expected.meter_sheet``.
        system: ``us`` or ``metric``.
        diagnosis: what readings come to, where there are any.
        language: folder of the word catalogue.
    """
    words = load_words(language)
    template = environment().get_template("meter.html")
    return template.render(meter=meter_view(sheet, words, system, diagnosis), w=words)
