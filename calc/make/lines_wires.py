"""Lines of the list of parts for everything that is wire: leads, runs, grounding conductor, boxes, loose connectors."""

from collections.abc import Iterable

from calc.derive.parts import run_part, runs_carrying
from calc.make.look import Look
from calc.model.assessment import Remark, Value
from calc.model.parts import MINUS_HALF, PLUS_HALF, Length, Net, NetPart, PartLine, Rating
from calc.model.units import UNITS

COLD = "voc_cold_string_V"
LOOSE = ("string-run", "run")
PAIR = 2


def wire_lines(look: Look, net: Net) -> Iterable[PartLine]:
    """Everything that is laid or crimped between the array and the battery."""
    yield _extensions(look)
    yield from _leads(look, net)
    for name in (*runs_carrying(look.design, "string"), *runs_carrying(look.design, "array")):
        yield run_line(look, net, name, "wires")
    yield from _loose(look, net)
    yield from _boxes(look, net)
    yield _ground(look)


def run_line(look: Look, net: Net, name: str, group: str) -> PartLine:
    """The conductors of one run, both poles, with their length together."""
    part = run_part(name)
    pieces = [one for one in net.of_code("run", "string-run") if one.of == name]
    each = look.design.number(part + "length")
    number = look.design.runs.index(name) + 1
    return PartLine(
        group,
        "run",
        len(pieces),
        called=name,
        marks=(f"R{number}",),
        ratings=(
            *look.known("size", part + "size"),
            *_least(look, part),
            *look.known("material", part + "material"),
            *look.known("insulation", part + "insulation"),
            *look.rating("voltage", part + "voltage_rating", COLD),
            *look.known("laid", part + "routing"),
        ),
        length=length(look, each, len(pieces)),
        follows=look.follows("run-ampacity", "run-voltage-drop", part + "current_max_A", part + "size_least"),
        needs=look.missing(part + "size", part + "length", part + "voltage_rating"),
        notes=(Remark("both-poles"),) if each is not None else (Remark("measure-run"),),
    )


def length(look: Look, each: float | None, pieces: int) -> Length:
    """Length of some alike pieces, m, with what to buy so that there is some to spare."""
    if each is None:
        return Length(None, None)
    spare = look.book.scalar("wire_spare")
    total = each * pieces
    return Length(each, total, total * (1 + spare.number * UNITS[spare.unit].factor))


def _least(look: Look, part: str) -> tuple[Rating, ...]:
    """The least size, where the design names none."""
    least = look.step(part + "size_least")
    return () if least is None or look.given(part + "size") else (Rating("size", least, least=True),)


def _extensions(look: Look) -> PartLine:
    """Leads for strings whose own do not reach; how many and how long only the site can say."""
    code = "extension-combiner" if look.combined else "extension"
    return PartLine(
        "wires",
        code,
        None,
        ratings=look.rating("voltage", "coupler.1.voltage_rating", COLD),
        length=Length(None, None),
        follows=look.follows("current_max_string_A"),
        notes=(Remark("measure-extension"),),
    )


def _leads(look: Look, net: Net) -> Iterable[PartLine]:
    """Leads with a connector at one end: from each string to the combiner, from the last coupler to a terminal."""
    for code, current in (("string-lead", "current_max_string_A"), ("array-lead", "current_max_array_A")):
        mine = net.of_code(code)
        if mine:
            carried = look.step(current)
            yield PartLine(
                "wires",
                code,
                len(mine),
                marks=tuple(part.mark for part in mine),
                ratings=((Rating("carries", carried),) if carried else ())
                + look.rating("voltage", "coupler.1.voltage_rating", COLD),
                length=Length(None, None),
                follows=look.follows(current),
                notes=(Remark("measure-lead"), Remark("cut-in-two")),
            )
    links = net.of_code("link")
    if links:
        yield PartLine(
            "wires",
            "link",
            len(links),
            marks=tuple(part.mark for part in links),
            length=Length(None, None),
            follows=look.follows("current_max_array_A"),
            notes=(Remark("link-size"),),
        )


def _loose(look: Look, net: Net) -> Iterable[PartLine]:
    """Connector halves that are crimped on when the wire is laid, by kind."""
    kinds = [port.kind for part in net.of_code(*LOOSE) for port in part.ports]
    for kind, code in ((PLUS_HALF, "half-plus"), (MINUS_HALF, "half-minus")):
        if kind in kinds:
            yield PartLine(
                "wires",
                code,
                kinds.count(kind),
                follows=look.follows("coupler-current"),
                notes=(Remark("same-make"),),
            )


def _boxes(look: Look, net: Net) -> Iterable[PartLine]:
    boxes: tuple[NetPart, ...] = net.of_code("junction")
    if boxes:
        terminals = Value(float(PAIR), "", "step string_count")
        yield PartLine(
            "wires",
            "junction",
            len(boxes),
            marks=tuple(part.mark for part in boxes),
            ratings=(
                Rating("terminals", terminals),
                *look.rating("voltage", "combiner.voltage_rating", COLD),
            ),
            follows=look.follows("current_max_array_A", "run-terminal-temperature"),
        )


def _ground(look: Look) -> PartLine:
    """The equipment grounding conductor: as long as the runs it goes with, once."""
    names = (*runs_carrying(look.design, "string"), *runs_carrying(look.design, "array"))
    lengths = [look.design.number(run_part(name) + "length") for name in names]
    known = [one for one in lengths if one is not None]
    each = sum(known) if known and len(known) == len(lengths) else None
    return PartLine(
        "wires",
        "ground",
        1,
        marks=("ground",),
        ratings=look.rating("size", "grounding.conductor", "ground_least"),
        length=length(look, each, 1),
        follows=look.follows("grounding-conductor-size", "ground_least"),
        needs=look.missing("grounding.conductor"),
        notes=(Remark("bond-frames"),),
    )
