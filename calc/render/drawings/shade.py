"""The curves before and after shade on part of one module, with every peak at which a controller can rest."""

from calc.model.curves import CurveReport
from calc.render.catalogue import Words
from calc.render.drawings.iv import STYLES, Drawn, curve_table, peak_words, two_plots
from calc.render.drawings.plot import watts
from calc.render.drawings.svg import Figure
from calc.render.numbers import show_text


def shade_drawing(report: CurveReport, words: Words, system: str = "us") -> Figure | None:
    """Draw current and power over voltage before and after shade, with the peaks at which a controller can rest.

    None where there is no curve to draw.
    """
    if report.shade is None or "shaded" not in report.sweeps:
        return None
    before, after = report.sweeps["hot"], report.sweeps["shaded"]
    said = words("curves.shade.before", **peak_words(before, system))
    drawn = [
        Drawn(after, STYLES[0], words("curves.shade.after", peaks=_peaks(report, words, system))),
        Drawn(before, STYLES[1], said),
    ]
    svg = two_plots(report, drawn, words, system, name="shade")
    return Figure(svg, *curve_table({"before": before, "shaded": after}, words, system))


def _peaks(report: CurveReport, words: Words, system: str) -> str:
    """Every peak after shade, the highest voltage first: 250 W at 16.1 V, 142 W at 7.0 V."""
    peaks = report.sweeps["shaded"].peaks
    if not peaks:
        return words("curves.shade.no-peak")
    return ", ".join(
        words("curves.shade.peak", power=watts(v * i), volts=show_text(v, "V", system=system))
        for v, i in peaks
    )
