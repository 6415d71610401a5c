"""What a wiring drawing shows, gathered from an assessment: strings, joining, runs, devices, controller, battery."""

from dataclasses import dataclass

from calc.model.assessment import Assessment, Verdict
from calc.render.catalogue import Words
from calc.render.numbers import in_words

COUPLER = "coupler "


@dataclass(frozen=True, slots=True)
class Part:
    """One part of the wiring: its name, its rating on the same line, more in a line each, whether a finding fails."""

    name: str
    rating: str = ""
    details: tuple[str, ...] = ()
    fails: bool = False

    @property
    def title(self) -> str:
        """Name and rating on one line."""
        return f"{self.name} {self.rating}".rstrip()


@dataclass(frozen=True, slots=True)
class Strings:
    """Alike strings: modules in series, how many strings, and their words."""

    series: int
    parallel: int
    part: Part


@dataclass(frozen=True, slots=True)
class Stage:
    """One coupler of each pole: its number, how many strings it has joined, and its words."""

    number: int
    joined: int
    part: Part


@dataclass(frozen=True, slots=True)
class Wiring:
    """All that a wiring drawing shows; what nobody gave is None or empty and is left out."""

    strings: tuple[Strings, ...]
    leads: tuple[Part, ...]
    fuse: Part | None
    stages: tuple[Stage, ...]
    combiner: Part | None
    spare: int
    breaker: Part | None
    runs: tuple[Part, ...]
    disconnect: Part | None
    controller: Part
    cables: tuple[Part, ...]
    device: Part | None
    battery: Part
    ground: Part | None

    @property
    def count(self) -> int:
        """Strings in all."""
        return sum(group.parallel for group in self.strings)


class _Reader:
    """Looks things up in one assessment and puts them into words."""

    def __init__(self, assessment: Assessment, words: Words, system: str) -> None:
        self.design, self.steps, self.words, self.system = assessment.design, assessment.steps, words, system
        failing = [finding.part for finding in assessment.findings if finding.verdict is Verdict.FAILS]
        self.failing = {
            part.partition(",")[0] for part in failing
        }  # "home run, before corrections" is the home run

    def given(self, path: str) -> str | None:
        value = self.design.values.get(path)
        return None if value is None else in_words(self.words, value.value, value.unit, system=self.system)

    def result(self, step: str) -> str | None:
        found = self.steps.get(step)
        return None if found is None else in_words(self.words, found.result, found.unit, system=self.system)

    def part(
        self, key: str, *details: str | None, rating: str = "", finding: str = "", **values: object
    ) -> Part:
        """A part named in the catalogue; ``finding`` is what the findings call it."""
        return self.named(
            self.words(f"drawing.wiring.{key}", **values), *details, rating=rating, finding=finding
        )

    def named(self, name: str, *details: str | None, rating: str = "", finding: str = "") -> Part:
        """A part with its name; a failing one says so."""
        failing = finding in self.failing
        if failing:
            name = self.words("drawing.wiring.failing", name=name)
        return Part(name, rating, tuple(filter(None, details)), failing)

    def say(self, key: str, **values: str | None) -> str | None:
        """A sentence of the catalogue, or None when a value in it is not known."""
        return None if None in values.values() else self.words(f"drawing.wiring.{key}", **values)

    def number(self, path: str, otherwise: int) -> int:
        found = self.design.number(path)
        return otherwise if found is None else int(found)


def wiring_of(assessment: Assessment, words: Words, system: str) -> Wiring:
    """Gather the wiring of an assessment, every part with the words that stand beside it."""
    read = _Reader(assessment, words, system)
    combiner = "spare_circuits" in assessment.steps or read.design.text("array.joining") == "combiner"
    spare = assessment.steps.get("spare_circuits")
    return Wiring(
        strings=_strings(read),
        leads=_runs(read, "string"),
        fuse=_fuse(read),
        stages=() if combiner else _stages(read),
        combiner=_combiner(read) if combiner else None,
        spare=0 if spare is None else max(0, int(spare.result)),
        breaker=_device(read, "breaker", "combiner.breaker"),
        runs=_runs(read, "array"),
        disconnect=_device(read, "disconnect", "disconnect.rating"),
        controller=read.part(
            "controller",
            read.given("controller.label") or read.say("kind", kind=_kind(read)),
            read.say("limit", volts=read.given("controller.max_voltage")),
            finding="controller",
        ),
        cables=_runs(read, "battery"),
        device=_device(read, "device", "battery.device", "battery"),
        battery=read.part("battery", _battery(read)),
        ground=_ground(read),
    )


def _strings(read: _Reader) -> tuple[Strings, ...]:
    groups = range(1, read.design.strings + 1) or (0,)
    found = []
    for group in groups:
        where = f"string.{group}." if group else "array."
        series = read.number(where + "modules_in_series", 1)
        parallel = read.number(where + "strings_in_parallel", 1)
        key = f"strings.{'one' if parallel == 1 else 'many'}-of-{'one' if series == 1 else 'many'}"
        label = read.given(read.design.module_path(group, "label"))
        part = read.part(key, label, parallel=parallel, series=series)
        found.append(Strings(series, parallel, part))
    return tuple(found)


def _stages(read: _Reader) -> tuple[Stage, ...]:
    found: list[Stage] = []
    while (current := read.result(f"coupler.{len(found) + 1}.current_A")) is not None:
        number = len(found) + 1
        joined = int(read.steps[f"coupler.{number}.coupler_strings"].result)
        carries = read.words("drawing.wiring.carries", current=current)
        part = read.part("coupler", rating=carries, finding=f"{COUPLER}{number}", number=number)
        found.append(Stage(number, joined, part))
    return tuple(found)


def _fuse(read: _Reader) -> Part | None:
    fitted = read.steps.get("string_fuse_fitted")
    size = read.result("string_fuse_A")
    if fitted is None or not fitted.result or size is None:
        return None
    return read.part("fuse", rating=read.words("drawing.wiring.each", size=size))


def _combiner(read: _Reader) -> Part:
    spare = read.steps.get("spare_circuits")
    circuits = read.say("circuits", count=read.given("combiner.circuits"))
    free = read.say("spare", count=f"{spare.result:g}") if spare and float(spare.result) > 0 else None
    bar = read.say("bar", rating=read.given("combiner.bar_rating"))
    return read.part("combiner", ", ".join(filter(None, (circuits, free))), bar, finding="combiner")


def _device(read: _Reader, key: str, path: str, part: str = "") -> Part | None:
    rating = read.given(path)
    return None if rating is None else read.part(key, rating=rating, finding=part or key)


def _runs(read: _Reader, carries: str) -> tuple[Part, ...]:
    found = []
    for name in read.design.runs:
        path = f"run.{name}."
        if (read.design.text(path + "carries") or "array") == carries:
            size = read.given(path + "size") or read.say("least", size=read.result(path + "size_least"))
            length = read.given(path + "length")
            sized = read.say("sized", length=length, size=size) or size or length
            sized = " ".join(filter(None, (sized, read.design.text(path + "material")))) or None
            found.append(read.named(name, sized, finding=name))
    return tuple(found)


def _kind(read: _Reader) -> str | None:
    kind = read.design.text("controller.kind")
    return None if kind is None else kind.upper()


def _battery(read: _Reader) -> str | None:
    nominal, chemistry = read.given("battery.nominal"), read.design.text("battery.chemistry")
    kind = None if chemistry is None else read.words.find(f"drawing.wiring.chemistry.{chemistry}")
    return ", ".join(filter(None, (nominal, kind))) or None


def _ground(read: _Reader) -> Part | None:
    size = read.given("grounding.conductor")
    if size is not None:
        return read.part("ground", rating=size, finding="grounding conductor")
    least = read.say("least", size=read.result("ground_least"))
    return None if least is None else read.part("ground", rating=least)


def table(wiring: Wiring) -> tuple[tuple[str, ...], ...]:
    """Part by part from the modules to the battery, as the table beside the drawing."""
    order = [group.part for group in wiring.strings]
    order += [*wiring.leads, *filter(None, (wiring.fuse,)), *(stage.part for stage in wiring.stages)]
    order += [*filter(None, (wiring.combiner, wiring.breaker)), *wiring.runs]
    order += [*filter(None, (wiring.disconnect, wiring.controller)), *wiring.cables]
    order += [*filter(None, (wiring.device, wiring.battery, wiring.ground))]
    return tuple((part.name, "; ".join(filter(None, (part.rating, *part.details)))) for part in order)
