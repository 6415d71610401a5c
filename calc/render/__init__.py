"""An assessment in, text out: HTML fragments, drawings, terminal text and JSON. Formats, never computes."""
