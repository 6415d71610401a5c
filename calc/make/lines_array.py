"""Lines of the list of parts from the modules to the joined array: modules, fuses, couplers or combiner, breaker."""

from collections import Counter
from collections.abc import Iterable

from calc.make.look import Look
from calc.model.assessment import Remark, Value
from calc.model.parts import PLUS, POLES, Net, NetPart, PartLine, Rating

COLD = "voc_cold_string_V"
DESIGN = "current_design_array_A"
CAP = "cap"


def array_lines(look: Look, net: Net) -> Iterable[PartLine]:
    """Everything from the modules to where the strings are one."""
    yield from _modules(look)
    yield from _fuses(look, net)
    yield from _couplers(look, net)
    yield from _combiner(look)
    yield from _breaker(look)


def _modules(look: Look) -> Iterable[PartLine]:
    for group in look.groups:
        mine = [one for one in look.strings if one.group.number == group.number]
        label = look.given(group.module("label"))
        series = mine[0].series
        yield PartLine(
            "array",
            "module",
            series * len(mine),
            called="" if label is None else str(label.value),
            marks=tuple(one.mark for one in mine),
            ratings=(
                *look.known("power", group.module("pmax")),
                *look.known("voc", group.module("voc")),
                *look.known("isc", group.module("isc")),
                *look.rating("system-voltage", group.module("max_system_voltage"), COLD),
            ),
            follows=(f"given {group.series}", f"given {group.parallel}")
            if group.parallel in look.design.values
            else (f"given {group.series}",),
            needs=look.missing(group.module("max_system_voltage")),
            notes=(Remark("in-series", {"series": Value(float(series), "", f"given {group.series}")}),)
            if series > 1
            else (),
        )


def _fuses(look: Look, net: Net) -> Iterable[PartLine]:
    """Fuses and their holders; where nobody can say yet whether they are needed, a line that asks."""
    called = look.step("string_fuse_called_for")
    follows = look.follows("string-fuse-needed", "string-fuse-size", "reverse-current", "string_fuse_A")
    if not look.fuse_fitted:
        if called is None and len(look.strings) > 1:
            paths = dict.fromkeys(group.module("max_series_fuse") for group in look.groups)
            yield PartLine("array", "fuse-asked", None, follows=follows, needs=look.missing(*paths))
        elif called is not None and called.value:
            yield PartLine("array", "fuse-left-out", None, follows=follows, notes=(Remark("fuse-left-out"),))
        return
    marks = tuple(f"F{one.number}" for one in look.strings)
    size = look.step("string_fuse_A")
    voltage = look.rating("voltage", "array.string_fuse_voltage", COLD)
    yield PartLine(
        "array",
        "fuse",
        len(look.strings),
        marks=marks,
        ratings=(*((Rating("current", size),) if size else ()), *voltage),
        follows=follows,
        needs=look.missing("array.string_fuse", "array.string_fuse_voltage"),
    )
    if look.fuse_inline:
        yield PartLine(
            "array",
            "fuse-holder",
            len(net.of_code("fuse-holder")),
            marks=marks,
            ratings=(*((Rating("current", size, least=True),) if size else ()), *voltage),
            follows=look.follows("string-fuse-needed"),
            notes=(Remark("holder-in-plus"),),
        )


def _couplers(look: Look, net: Net) -> Iterable[PartLine]:
    """Couplers by pole and by kind, stage by stage, and caps for inlets that stay empty."""
    for pole, code in zip(POLES, ("coupler-plus", "coupler-minus"), strict=True):
        mine = [part for part in net.of_code("coupler") if part.ports[-1].pole == pole]
        for kind in dict.fromkeys(part.of for part in mine):
            yield _coupler(look, code, kind, [part for part in mine if part.of == kind])
    caps = Counter("cap-plus" if part.ports[0].pole == PLUS else "cap-minus" for part in net.of_code(CAP))
    for code, count in caps.items():
        yield PartLine("array", code, count, follows=look.follows("coupler-current"))


def _coupler(look: Look, code: str, kind: str, parts: list[NetPart]) -> PartLine:
    path = f"coupler.{kind}."
    last = max(part.number for part in parts)
    inlets = look.given(path + "inputs") or Value(float(look.inlets(int(kind))), "", "assumed coupler.inputs")
    carries = look.step(f"coupler.{last}.current_A")
    return PartLine(
        "array",
        code,
        len(parts),
        marks=tuple(part.mark for part in parts),
        ratings=(
            Rating("inlets", inlets),
            *look.rating("current", path + "rating", f"coupler.{last}.current_A"),
            *((Rating("carries", carries),) if carries else ()),
            *look.rating("voltage", path + "voltage_rating", COLD),
        ),
        follows=look.follows("coupler-current", *(f"coupler.{part.number}.current_A" for part in parts)),
        needs=look.missing(path + "inputs", path + "rating", path + "voltage_rating"),
    )


def _combiner(look: Look) -> Iterable[PartLine]:
    if not look.combined:
        return
    spare = look.step("spare_circuits")
    yield PartLine(
        "array",
        "combiner",
        1,
        marks=("combiner",),
        ratings=(
            *look.rating("circuits", "combiner.circuits", "string_count"),
            *((Rating("spare", spare),) if spare and spare.number > 0 else ()),
            *look.rating("bar", "combiner.bar_rating", DESIGN),
            *look.rating("voltage", "combiner.voltage_rating", COLD),
        ),
        follows=look.follows("combiner-circuits", "combiner-bar", "cold-voltage-parts", DESIGN),
        needs=look.missing("combiner.circuits", "combiner.bar_rating", "combiner.voltage_rating"),
    )


def _breaker(look: Look) -> Iterable[PartLine]:
    if not look.breaker:
        return
    yield PartLine(
        "array",
        "breaker",
        1,
        marks=("breaker",),
        ratings=(
            *look.known("current", "combiner.breaker"),
            *look.rating("voltage", "combiner.voltage_rating", COLD),
        ),
        follows=look.follows("breaker-rating", "cold-voltage-parts", DESIGN),
        needs=look.missing("combiner.voltage_rating"),
        notes=(Remark("polarity"),),
    )
