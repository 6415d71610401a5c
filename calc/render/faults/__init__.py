"""What shade and single faults leave, for readers: as text, as JSON, and as a section of a report."""

from calc.render.faults.plain import as_faults_json, as_faults_plain
from calc.render.faults.section import as_curves_html, as_faults_html
from calc.render.faults.text import as_faults_text
from calc.render.faults.view import FaultsView, faults_view

__all__ = [
    "FaultsView",
    "as_curves_html",
    "as_faults_html",
    "as_faults_json",
    "as_faults_plain",
    "as_faults_text",
    "faults_view",
]
