"""What a wiring drawing part by part shows, gathered from a list of parts: rows of modules, stages, blocks below."""

from dataclasses import dataclass, replace

from calc.model.parts import MINUS, PLUS, CouplerPlan, NetPart, PartLine, Parts, PlanStage
from calc.render.catalogue import Words
from calc.render.make.says import name_of, needs_say, rating_says, spans
from calc.render.numbers import in_words, show_text

MOST, KEPT = 8, 3
"""More strings (or modules in one) than MOST are drawn as the first KEPT and the last."""
LISTED = 4
"""More stages than this are listed as the first two and the last."""
CABLE, SWITCH, BOX, FUSE, PLAIN, TERMINALS = "cable", "switch", "box", "fuse", "plain", "terminals"
LOOKS = {
    "array-lead": PLAIN,
    "link": PLAIN,
    "battery-cable": PLAIN,
    "battery-link": PLAIN,
    "junction": TERMINALS,
    "breaker": SWITCH,
    "run": CABLE,
    "disconnect": SWITCH,
    "controller": BOX,
    "battery-device": FUSE,
    "battery": BOX,
}
ONE_SIDED = ("breaker", "battery")
"""A breaker opens one pole; at a battery nothing goes on."""
BEFORE = ("string-run", "fuse-holder")
"""Parts that belong to one string."""
LEFT_OUT = ("voc", "isc", "system-voltage", "insulation", "laid", "input", "output", "carries", "terminals")
"""Ratings that stand in the list only: the drawing has room for what must not be mistaken."""


@dataclass(frozen=True, slots=True)
class Row:
    """One string: its mark, how many modules, what kind; without a mark, the words for those left out."""

    mark: str
    series: int
    says: str


@dataclass(frozen=True, slots=True)
class Block:
    """One part below the array: how it is drawn, which poles it opens, its name, its ratings."""

    look: str
    name: str
    details: tuple[str, ...]
    both: bool = True


@dataclass(frozen=True, slots=True)
class Detail:
    """All that the drawing shows, with the same parts as a table; ``inside`` says that fuses sit in the combiner."""

    rows: tuple[Row, ...]
    fused: bool
    stages: tuple[PlanStage, ...]
    combiner: Block | None
    circuits: int
    strings: int
    spare_says: str
    inside: bool
    notes: tuple[str, ...]
    blocks: tuple[Block, ...]
    ground: str
    table: tuple[tuple[str, str], ...]


def detail_of(parts: Parts, words: Words, system: str) -> Detail:
    """Gather the drawing of a list of parts."""
    read = _Reader(parts, words, system)
    own = next((plan for plan in parts.plans.plans if plan.own), None)
    rows = read.rows(own)
    shown = {row.mark for row in rows}
    combiner = parts.net.parts.get("combiner")
    return Detail(
        rows=rows,
        fused=bool(parts.net.of_code("fuse-holder")),
        stages=tuple(stage for stage in (own.stages if own else ()) if shown.intersection(stage.takes)),
        combiner=None if combiner is None else read.block(combiner, BOX),
        circuits=0
        if combiner is None
        else sum(port.name.startswith("circuit") for port in combiner.ports) // 2,
        strings=len(parts.net.of_code("string")),
        spare_says=read.spare(),
        inside=combiner is not None and any(line.code == "fuse" for line in parts.lines),
        notes=tuple(read.notes(own)),
        blocks=tuple(read.blocks()),
        ground=read.ground(),
        table=tuple(read.table()),
    )


class _Reader:
    """Looks up lines of a list by what stands in its net."""

    def __init__(self, parts: Parts, words: Words, system: str) -> None:
        self.parts, self.words, self.system = parts, words, system
        self.lines = {(line.code, mark): line for line in parts.lines for mark in line.marks}
        self.runs = {line.called: line for line in parts.lines if line.code == "run"}

    def rows(self, own: CouplerPlan | None) -> tuple[Row, ...]:
        """Strings in the order in which they are joined; too many are drawn as a few."""
        marks = [mark for stage in own.stages for mark in stage.takes] if own else []
        order = marks or [part.mark for part in self.parts.net.of_code("string")]
        rows = [self._row(mark) for mark in order]
        if len(rows) <= MOST:
            return tuple(rows)
        between = order[KEPT:-1]
        says = self.words("make.detail.left-out", first=between[0], last=between[-1])
        return (*rows[:KEPT], Row("", 0, says), rows[-1])

    def _row(self, mark: str) -> Row:
        series = self.parts.net.parts[mark].inside + 1
        label = self.lines["module", mark].called
        kind = "one" if series == 1 else "more"
        label = label or self.words(f"make.order.reading-modules.{kind}", number=series)
        return Row(mark, series, f"{mark}: {label}")

    def line_of(self, part: NetPart) -> PartLine | None:
        """The line of the list that counts a part of the net."""
        return self.runs.get(part.of) if part.code == "run" else self.lines.get((part.code, part.mark))

    def name(self, line: PartLine) -> str:
        """A part's name as in the list, with its marks where several are alike."""
        if line.code == "run":
            return line.called
        name, marks = name_of(line, self.words), spans(line.marks, self.words)
        return name if marks in (name, "battery device", line.code) else f"{name} {marks}"

    def block(self, part: NetPart, look: str, marks: tuple[str, ...] = ()) -> Block:
        """One part as a block; of a line that counts several pairs only the ``marks`` meant here."""
        line = self.line_of(part)
        if line is None:
            raise ValueError(f"{part.mark} stands in no line of the list")
        details = self._run(line) if line.code == "run" else self._ratings(line)
        name = self.name(replace(line, marks=marks) if marks and line.code != "run" else line)
        return Block(look, name, tuple(details), both=part.code not in ONE_SIDED)

    def _ratings(self, line: PartLine) -> list[str]:
        said = [rating_says(one, self.words, self.system) for one in line.ratings if one.code not in LEFT_OUT]
        called = [line.called] if line.called else []
        needs = [self.words("make.parts.not-said")] if line.needs and not said else []
        return [text for text in (*called, ", ".join(said), *needs) if text]

    def _run(self, line: PartLine) -> list[str]:
        words, length = self.words, line.length
        found = {one.code: rating_says(one, words, self.system) for one in line.ratings}
        size = " ".join(filter(None, (found.get("size"), found.get("material"))))
        each = None if length is None or length.each_m is None else length.each_m
        if not found.get("size"):
            size = words("make.detail.unsized")
        if each is None:
            return [size, words("make.detail.unmeasured")]
        shown = show_text(each, "m", system=self.system)
        if not found.get("size"):
            return [size, shown]
        return [words("make.detail.run", length=shown, size=size)]

    def blocks(self) -> list[Block]:
        """Every part below the joined array in the order in which the current meets it, pairs of conductors once."""
        found = []
        for part in self._onward():
            pair = _pair(part.mark)
            marks = tuple(one.mark for one in self.parts.net.of_code(part.code) if _pair(one.mark) == pair)
            found.append(self.block(part, LOOKS[part.code], marks))
        return found

    def _onward(self) -> list[NetPart]:
        """The parts that the plus conductor meets from the joined array to the battery."""
        net, found = self.parts.net, list[NetPart]()
        place: tuple[str, str] | None = self._joined()
        while place is not None and (met := net.joined_to(place)) is not None:
            part = net.parts[met[0]]
            found.append(part)
            beyond = [port.name for port in part.ports if port.pole == PLUS and port.name != met[1]]
            place = (part.mark, beyond[0]) if beyond else None
        return found

    def _joined(self) -> tuple[str, str]:
        """Where the plus of all strings is one: out of the combiner, the last coupler, or the only string."""
        net = self.parts.net
        if "combiner" in net.parts:
            return ("combiner", f"out {PLUS}")
        couplers = [part.mark for part in net.of_code("coupler") if part.mark.endswith(PLUS)]
        if couplers:
            return (couplers[-1], "out")
        place = net.of_code("string")[0].mark, PLUS
        while (met := net.joined_to(place)) is not None and net.parts[met[0]].code in BEFORE:
            place = (met[0], next(port.name for port in net.parts[met[0]].ports if port.name != met[1]))
        return place

    def notes(self, own: CouplerPlan | None) -> list[str]:
        """Lines below the strings: their runs and leads, fuses, couplers stage by stage."""
        words, found = self.words, []
        for line in self.parts.lines:
            if line.code == "string-lead":
                found.append(self.name(line))
            elif line.code == "run" and any(
                part.of == line.called for part in self.parts.net.of_code("string-run")
            ):
                found.append(": ".join((line.called, *self._run(line))))
            elif line.code == "fuse":
                said = ", ".join(rating_says(one, words, self.system) for one in line.ratings)
                found.append(f"{self.name(line)}: {said}")
        return found + self._stages(own)

    def _stages(self, own: CouplerPlan | None) -> list[str]:
        words = self.words
        if own is None:
            return []
        names = [f"C{stage.number}" for stage in own.stages]
        said = [
            words(
                "make.detail.carries",
                coupler=f"C{stage.number}",
                current=in_words(words, stage.current_A, "A", system=self.system),
            )
            for stage in own.stages
        ]
        if len(said) > LISTED:
            said = [*said[:2], "…", said[-1]]
        return [words("make.detail.couplers", marks=spans(names, words)), *said]

    def spare(self) -> str:
        """The combiner's spare circuits in a word or two."""
        combiner = self.parts.net.parts.get("combiner")
        ports = combiner.ports if combiner else ()
        return self.words("make.detail.spare", count=sum(port.spare for port in ports) // 2)

    def ground(self) -> str:
        """The equipment ground in a line."""
        line = self.lines["ground", "ground"]
        size = ", ".join(rating_says(one, self.words, self.system) for one in line.ratings)
        return self.words("make.detail.frames", size=size) if size else self.words("make.detail.frames-plain")

    def table(self) -> list[tuple[str, str]]:
        """Every line of the list that has a name on the drawing."""
        found = []
        for line in self.parts.lines:
            if line.marks:
                said = self._run(line) if line.code == "run" else self._ratings(line)
                found.append((self.name(line), "; ".join(said) or needs_say(line.needs, self.words)))
        return found


def _pair(mark: str) -> str:
    """A conductor's mark without its pole."""
    return mark.removesuffix(PLUS).removesuffix(MINUS)
