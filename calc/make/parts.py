"""The list of parts of a design: what to buy, how many, how long, rated how, and which finding or step says so."""

from collections.abc import Iterable

from calc.make.couplers import plans_of
from calc.make.halves import half_names, halves_of
from calc.make.labels import labels_of
from calc.make.lines_array import array_lines
from calc.make.lines_battery import battery_lines
from calc.make.lines_wires import wire_lines
from calc.make.look import Look
from calc.make.net import net_of
from calc.model.assessment import Assessment
from calc.model.parts import Label, Net, PartLine, Parts
from calc.tables import RuleBook


def parts_of(assessment: Assessment, book: RuleBook) -> Parts:
    """What does it take to build a design?

    Decides by the net of its wiring: a line counts parts that stand in it, so the list, the connector halves and the
    drawing cannot disagree. A rating the design does not name is said as what it has to be at least; a length that is
    not known has to be measured.

    Cites:
        the findings and steps that each line names

    Args:
        assessment: the judged design.
        book: tables and assumptions.

    Refuses nothing: what is missing stands in a line's ``needs``.
    """
    look = Look(assessment, book)
    net = net_of(look)
    return Parts(
        about=look.about,
        lines=tuple(_lines(look, net)),
        halves=halves_of(net),
        names=half_names(book),
        plans=plans_of(look),
        net=net,
    )


def _lines(look: Look, net: Net) -> Iterable[PartLine]:
    yield from array_lines(look, net)
    yield from wire_lines(look, net)
    yield from battery_lines(look, net)
    for label in labels_of(look):
        yield PartLine(
            "labels",
            f"label-{label.code}",
            label.count,
            follows=("task label", *_figures(label)),
        )
    yield PartLine("labels", "cover", sum(one.series for one in look.strings), follows=("task cover",))


def _figures(label: Label) -> Iterable[str]:
    """The steps whose figures stand on a label, each once."""
    origins = (value.origin for line in label.lines for value in line.values.values())
    return dict.fromkeys(origin for origin in origins if origin.startswith("step "))
