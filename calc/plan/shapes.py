"""In which shapes a design's modules can be joined: rectangles of modules in series and strings."""

from calc.derive.parts import string_groups
from calc.model.design import Design
from calc.model.fields import ARRAY
from calc.plan.searching import Shape

COUNTS = ("array.modules_in_series", "array.strings_in_parallel")
MOST_OF_A_KIND = int(min(field.high for field in ARRAY if field.path in COUNTS and field.high is not None))
"""Modules in series, and strings, that a design file may have."""


def module_count(design: Design) -> int:
    """How many modules a design has."""
    return sum(int(design.number(group.series) or 0) * group.count for group in string_groups(design))


def shapes_of(design: Design, modules: int) -> list[Shape]:
    """Every rectangle of so many modules, the design's own first; (0, 0) stands for a design with unlike strings."""
    own = own_shape(design)
    if not all(own):
        return [own]
    return sorted(_rectangles(modules), key=lambda shape: (shape != own, shape))


def nearest_shapes(series: int, parallel: int, most: int) -> list[Shape]:
    """The rectangles of as many modules as a shape has, fewest in series first; where there are more, those nearest to it."""
    every = _rectangles(series * parallel)
    place = every.index((series, parallel))
    first = max(0, min(place - most // 2, len(every) - most))
    return every[first : first + most]


def _rectangles(modules: int) -> list[Shape]:
    return [
        (series, modules // series)
        for series in range(1, min(modules, MOST_OF_A_KIND) + 1)
        if modules % series == 0 and modules // series <= MOST_OF_A_KIND
    ]


def own_shape(design: Design) -> Shape:
    """The shape in the design file; (0, 0) where strings are unlike."""
    if design.strings:
        return 0, 0
    series, parallel = (int(design.number(path) or 0) for path in COUNTS)
    return series, parallel
