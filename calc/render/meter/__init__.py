"""The meter sheet and what readings come to, for readers: as text, as JSON, and as a section of a page."""

from calc.render.meter.plain import as_meter_json, as_meter_plain
from calc.render.meter.section import as_meter_html
from calc.render.meter.text import as_meter_text
from calc.render.meter.view import MeterView, meter_view

__all__ = ["MeterView", "as_meter_html", "as_meter_json", "as_meter_plain", "as_meter_text", "meter_view"]
