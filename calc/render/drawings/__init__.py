"""Drawings of a design as SVG: voltage ladder, wiring, margin bars, layout icons and the project's mark."""
