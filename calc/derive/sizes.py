"""Conductor sizes: what a size text means, and the sizes a table knows, smallest first."""

from calc.model.units import convert
from calc.tables.book import RuleBook

AWG = "AWG"


def split_size(size: str) -> tuple[str, str]:
    """``10 AWG`` as ``("10", "AWG")``, ``6 mm2`` as ``("6", "mm2")``."""
    number, _, system = size.partition(" ")
    return number, system


def awg_sizes(book: RuleBook, material: str) -> tuple[str, ...]:
    """AWG sizes of ``material`` in the raceway table, smallest first."""
    return book.table("ampacity_raceway").words("size", material=material)


def area_mm2(book: RuleBook, size: str) -> float:
    """Cross-section of a size, mm2."""
    number, system = split_size(size)
    if system == AWG:
        return convert(book.table("resistance_us").cell("cmil", size=number).number, "cmil", "mm2")
    return float(number)


def larger_sizes(book: RuleBook, size: str, material: str) -> tuple[str, ...]:
    """The sizes above ``size`` in its own system, smallest first."""
    number, system = split_size(size)
    if system == AWG:
        sizes = awg_sizes(book, material)
        return tuple(f"{awg} {AWG}" for awg in sizes[sizes.index(number) + 1 :]) if number in sizes else ()
    metric = [float(entry) for entry in book.table("resistance_iec").column("size") if entry is not None]
    return tuple(f"{area:g} mm2" for area in metric if area > float(number))


def equivalent_awg(book: RuleBook, size: str, material: str) -> str | None:
    """The largest AWG size not larger than ``size``; None when even the smallest of the table is larger.

    The code's tables know AWG only: a metric conductor counts as the AWG size it fully contains.
    """
    number, system = split_size(size)
    sizes = awg_sizes(book, material)
    if system == AWG:
        return number if number in sizes else None
    fitting = [awg for awg in sizes if area_mm2(book, f"{awg} {AWG}") <= float(number)]
    return fitting[-1] if fitting else None
