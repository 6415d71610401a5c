"""How the parts of a design are wired: which port of which part meets which, from the modules to the battery."""

from collections.abc import Mapping
from types import MappingProxyType

from calc.derive.parts import run_part, runs_carrying
from calc.make.look import Look
from calc.model.parts import (
    BARE,
    HALF_OF,
    MATES,
    MINUS,
    PLUS,
    POLES,
    SCREW,
    Joint,
    Net,
    NetPart,
    Port,
)

Place = tuple[str, str]
Ends = dict[str, Place]
GROUND = "ground"
FREE_AIR = "free air"


class Wires:
    """A net in the making."""

    def __init__(self) -> None:
        """Begin with nothing."""
        self.parts: dict[str, NetPart] = {}
        self.joints: list[Joint] = []
        self._kinds: dict[Place, str] = {}
        self._counted: dict[str, int] = {}

    def add(self, mark: str, code: str, *ports: Port, of: str = "", number: int = 0, inside: int = 0) -> None:
        """Put a part in."""
        self.parts[mark] = NetPart(mark, code, ports, of, number, inside)
        self._kinds.update({(mark, port.name): port.kind for port in ports})

    def join(self, one: Place, other: Place) -> None:
        """Bring two ports together."""
        self.joints.append(Joint(one, other))

    def kind(self, place: Place) -> str:
        """The kind of a port."""
        return self._kinds[place]

    def next_mark(self, letter: str) -> str:
        """The next mark of a letter: J1, J2…"""
        self._counted[letter] = self._counted.get(letter, 0) + 1
        return f"{letter}{self._counted[letter]}"

    def conductor(
        self, mark: str, code: str, pole: str, kinds: tuple[str, str], start: Place, of: str = ""
    ) -> Place:
        """Lay a conductor from ``start``, its ends of ``kinds``; return its far end."""
        near, far = kinds
        self.add(mark, code, Port("near", pole, near), Port("far", pole, far), of=of)
        self.join(start, (mark, "near"))
        return (mark, "far")

    def box(self, mark: str, code: str, names: Mapping[str, tuple[str, str]]) -> None:
        """A part with terminals: by pole the names of those toward the array and toward the battery."""
        ports = [
            Port(name, pole, SCREW) for pole, both in names.items() for name in dict.fromkeys(both) if name
        ]
        self.add(mark, code, *ports)


def net_of(look: Look) -> Net:
    """How is a design wired, port by port?

    Decides by the design's own joining: module leads plug into fuse holders and couplers stage by stage, or go to a
    combiner's terminals; then runs, switches, controller and battery in the order in which the current meets them.
    Where plug-in halves meet a run that lies in conduit or earth, a box with terminals stands between.
    """
    wires = Wires()
    ends = [_string(wires, look, number) for number in range(len(look.strings))]
    join = _combiner if look.combined else _fused_and_coupled
    out = join(wires, look, ends)
    out = _breaker(wires, look, out)
    for name in runs_carrying(look.design, "array"):
        out = _run(wires, look, name, out)
    if look.disconnect:
        names = {pole: (f"array {pole}", f"controller {pole}") for pole in POLES}
        wires.box("disconnect", "disconnect", names)
        out = _through(wires, out, "disconnect", names)
    both = {pole: (f"array {pole}", f"battery {pole}") for pole in POLES}
    wires.box("controller", "controller", both)
    _battery(wires, look, _through(wires, out, "controller", both))
    _ground(wires)
    return Net(MappingProxyType(wires.parts), tuple(wires.joints))


def _string(wires: Wires, look: Look, place: int) -> Ends:
    """One string and the runs that carry it alone: its two ends."""
    one = look.strings[place]
    halves = [Port(pole, pole, HALF_OF[pole]) for pole in POLES]
    wires.add(one.mark, "string", *halves, of=one.group.part, number=one.number, inside=one.series - 1)
    ends = {pole: (one.mark, pole) for pole in POLES}
    plugged = not look.combined
    for number, name in enumerate(runs_carrying(look.design, "string"), 1):
        last = number == len(runs_carrying(look.design, "string"))
        for pole in POLES:
            near = MATES[wires.kind(ends[pole])]
            far = HALF_OF[pole] if plugged or not last else BARE
            mark = f"R{look.design.runs.index(name) + 1}.{one.mark}{pole}"
            ends[pole] = wires.conductor(mark, "string-run", pole, (near, far), ends[pole], of=name)
    return ends


def _fused_and_coupled(wires: Wires, look: Look, ends: list[Ends]) -> Ends:
    """Fuse holders in the plus leads, then the chain of couplers on each pole."""
    if look.fuse_inline:
        for one, end in zip(look.strings, ends, strict=True):
            mark = f"F{one.number}"
            inlet, outlet = Port("in", PLUS, MATES[HALF_OF[PLUS]]), Port("out", PLUS, HALF_OF[PLUS])
            wires.add(mark, "fuse-holder", inlet, outlet, number=one.number)
            wires.join(end[PLUS], (mark, "in"))
            end[PLUS] = (mark, "out")
    if not look.stages:
        return ends[0]
    return {pole: _chain(wires, look, ends, pole) for pole in POLES}


def _chain(wires: Wires, look: Look, ends: list[Ends], pole: str) -> Place:
    """The couplers of one pole: each takes the sum so far and fills its other inlets; what is left is capped."""
    waiting = [ends[one.number - 1][pole] for one in look.joined_in_order()]
    inlet, outlet = MATES[HALF_OF[pole]], HALF_OF[pole]
    out: Place | None = None
    joined = 0
    for stage in look.stages:
        mark, inlets = f"C{stage.number}{pole}", look.inlets(stage.coupler)
        names = [f"in {place}" for place in range(1, inlets + 1)]
        wires.add(
            mark,
            "coupler",
            *(Port(name, pole, inlet) for name in names),
            Port("out", pole, outlet),
            number=stage.number,
            of=str(stage.coupler),
        )
        coming = ([out] if out else []) + waiting[joined : stage.joined]
        for name, place in zip(names, coming, strict=False):
            wires.join(place, (mark, name))
        for name in names[len(coming) :]:
            cap = f"cap {mark} {name}"
            wires.add(cap, "cap", Port("cap", pole, outlet), number=stage.number)
            wires.join((cap, "cap"), (mark, name))
        joined, out = stage.joined, (mark, "out")
    if out is None:
        raise ValueError("there is no stage in the chain of couplers")
    return out


def _combiner(wires: Wires, look: Look, ends: list[Ends]) -> Ends:
    """A pair of terminals for each string and each spare circuit, and a pair for what goes on."""
    circuits = int(look.design.number("combiner.circuits") or len(ends))
    ports = [
        Port(f"circuit {number} {pole}", pole, SCREW, spare=number > len(ends))
        for number in range(1, max(circuits, len(ends)) + 1)
        for pole in POLES
    ]
    wires.add("combiner", "combiner", *ports, *(Port(f"out {pole}", pole, SCREW) for pole in POLES))
    for one, end in zip(look.strings, ends, strict=True):
        for pole in POLES:
            start = end[pole]
            if wires.kind(start) != BARE:
                kinds = (MATES[wires.kind(start)], BARE)
                start = wires.conductor(f"L{one.number}{pole}", "string-lead", pole, kinds, start)
            wires.join(start, ("combiner", f"circuit {one.number} {pole}"))
    return {pole: ("combiner", f"out {pole}") for pole in POLES}


def _breaker(wires: Wires, look: Look, out: Ends) -> Ends:
    """The array breaker in the plus conductor; outside a combiner its box passes the minus conductor on."""
    if not look.breaker:
        return out
    names = {PLUS: (f"array {PLUS}", f"controller {PLUS}")}
    if not look.combined:
        names[MINUS] = (f"array {MINUS}", f"controller {MINUS}")
    wires.box("breaker", "breaker", names)
    return {**out, **_through(wires, out, "breaker", names)}


def _through(wires: Wires, out: Ends, mark: str, names: Mapping[str, tuple[str, str]]) -> Ends:
    """Bring the open ends to a box's terminals toward the array; return those toward the battery."""
    link = ""
    for pole, (near, _) in names.items():
        start = out[pole]
        kind = wires.kind(start)
        if kind == SCREW:
            link = link or wires.next_mark("W")
            start = wires.conductor(f"{link}{pole}", "link", pole, (BARE, BARE), start)
        elif kind != BARE:
            start = wires.conductor(f"L{pole}", "array-lead", pole, (MATES[kind], BARE), start)
        wires.join(start, (mark, near))
    return {pole: (mark, far) for pole, (_, far) in names.items()}


def _run(wires: Wires, look: Look, name: str, out: Ends) -> Ends:
    """One run, both poles; a box with terminals before it where its wire cannot meet what comes."""
    kinds = {pole: wires.kind(place) for pole, place in out.items()}
    plugged = all(kind not in (SCREW, BARE) for kind in kinds.values())
    open_air = look.design.text(run_part(name) + "routing") == FREE_AIR
    if BARE in kinds.values() or (plugged and not open_air):
        box = wires.next_mark("J")
        names = {pole: (f"in {pole}", f"out {pole}") for pole in POLES}
        wires.box(box, "junction", names)
        out = _through(wires, out, box, names)
    number = look.design.runs.index(name) + 1
    ends = {}
    for pole in POLES:
        near = MATES[wires.kind(out[pole])]
        ends[pole] = wires.conductor(f"R{number}{pole}", "run", pole, (near, BARE), out[pole], of=name)
    return ends


def _battery(wires: Wires, look: Look, out: Ends) -> None:
    """Battery cables, the device in the plus one, and the battery."""
    runs = runs_carrying(look.design, "battery")
    for name in runs:
        out = _run(wires, look, name, out)
    if not runs:
        cables = {}
        for pole in POLES:
            cables[pole] = wires.conductor(f"BC{pole}", "battery-cable", pole, (BARE, BARE), out[pole])
        out = cables
    wires.box("battery device", "battery-device", {PLUS: (f"controller {PLUS}", f"battery {PLUS}")})
    wires.box("battery", "battery", {pole: (pole, pole) for pole in POLES})
    wires.join(out[PLUS], ("battery device", f"controller {PLUS}"))
    far = wires.conductor("BD+", "battery-link", PLUS, (BARE, BARE), ("battery device", f"battery {PLUS}"))
    wires.join(far, ("battery", PLUS))
    wires.join(out[MINUS], ("battery", MINUS))


def _ground(wires: Wires) -> None:
    """The equipment grounding conductor, from the frames to earth."""
    wires.add("frames", "frames", Port("lug", GROUND, SCREW))
    wires.add("earth", "earth", Port("lug", GROUND, SCREW))
    far = wires.conductor("G", "ground", GROUND, (BARE, BARE), ("frames", "lug"))
    wires.join(far, ("earth", "lug"))
