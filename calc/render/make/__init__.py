"""Parts, wiring, order of work and labels as text, JSON, CSV and sections of a report."""
