"""The sections of a report that go beyond the rules, by name: a page asks for them before their makers are loaded."""

NAMES = (
    "limits",
    "curves",
    "faults",
    "day",
    "layouts",
    "adding",
    "parts",
    "detail",
    "order",
    "labels",
    "meter",
)
"""In the order of a report."""
