"""The steps of the work up to the joined, metered array; each is made for one design, or left out."""

from calc.derive.parts import run_part, runs_carrying
from calc.make.look import Look
from calc.make.order_words import about, live, readings, switch
from calc.model.assessment import Remark, Value
from calc.model.parts import Task

MOST_LISTED = 8
"""More couplers or circuits than this are not listed one by one."""


def ready(look: Look) -> Task:
    """People, papers, tools, weather; every part against the list."""
    does = (
        Remark("permit"),
        Remark("instructions"),
        *about(look, "meter-rated", voltage="voc_cold_string_V"),
        Remark("tools"),
        Remark("weather"),
        Remark("match-parts"),
    )
    return Task("ready", does, Remark("nothing"))


def cover(look: Look) -> Task:
    """Modules mounted, bonded, and covered before any lead is touched."""
    return Task("cover", (Remark("mount"), Remark("cover-all"), Remark("frames")), live(look, "covered"))


def series(look: Look) -> Task | None:
    """Modules joined within each string; left out where a string is one module."""
    if all(one.series == 1 for one in look.strings):
        return None
    does = (Remark("link-modules"), Remark("keep-apart"))
    return Task("series", does, live(look, "covered"), (Remark("halves-click"),))


def check(look: Look) -> Task:
    """Sign and voltage of every string alone, one after the other."""
    within = look.book.scalar("alike_strings_within")
    does = (
        Remark("uncover-one"),
        Remark("probe"),
        Remark("minus-sign"),
        *(() if len(look.strings) == 1 else (_alike(look, within.number, within.unit),)),
        Remark("missing-module") if any(one.series > 1 for one in look.strings) else Remark("no-voltage"),
        Remark("cover-again"),
    )
    stop = Remark("each-string") if len(look.strings) > 1 else Remark("the-string")
    return Task("check", does, live(look, "string-alone"), (stop,), readings(look))


def _alike(look: Look, number: float, unit: str) -> Remark:
    return Remark("alike", {"within": Value(number, unit, look.book.scalar("alike_strings_within").origin)})


def label(look: Look) -> Task:
    """Every end named and closed."""
    does = (Remark("name-ends"), Remark("tape-ends"), Remark("put-labels"))
    return Task("label", does, live(look, "covered"))


def open_all(look: Look) -> Task:
    """Fuses out, breaker and disconnect open and locked, before anything is joined."""
    does = [Remark("fuses-out")] if look.fuse_fitted else []
    does.append(Remark(f"lock-{switch(look)}"))
    does.append(Remark("battery-off"))
    stops = (Remark("fuses-stay-out"),) if look.fuse_fitted else (Remark("switch-stays-open"),)
    return Task("open", tuple(does), live(look, "covered"), stops)


def join(look: Look) -> Task | None:
    """The strings brought together, stage by stage or circuit by circuit; left out for one string without combiner."""
    if look.combined:
        does = [Remark("minus-first"), *_circuits(look), Remark("pull-test")]
        return Task("join", tuple(does), live(look, "covered"), (Remark("poles-apart"),))
    if not look.stages and not look.fuse_inline:
        return None
    does = [Remark("holders")] if look.fuse_inline else []
    does += _stages(look)
    stops = (Remark("same-make"), Remark("poles-apart")) if look.stages else (Remark("same-make"),)
    return Task("join", tuple(does), live(look, "covered"), stops)


def _circuits(look: Look) -> list[Remark]:
    if len(look.strings) > MOST_LISTED:
        count = Value(float(len(look.strings)), "", "step string_count")
        return [Remark("circuits-all", {"count": count})]
    return [
        Remark(
            "circuit",
            {
                "string": Value(one.mark, "", "step string_count"),
                "number": Value(float(one.number), "", "step string_count"),
            },
        )
        for one in look.strings
    ]


def _stages(look: Look) -> list[Remark]:
    """What goes into each coupler, each pole alike, with what it will carry."""
    found: list[Remark] = []
    order = [one.mark for one in look.joined_in_order()]
    joined = 0
    for stage in look.stages:
        takes = order[joined : stage.joined]
        coming = ([f"C{stage.number - 1}"] if joined else []) + takes
        joined = stage.joined
        current = look.step(f"coupler.{stage.number}.current_A")
        if current is not None:
            values = {
                "coupler": Value(f"C{stage.number}", "", "step string_count"),
                "inlets": Value(", ".join(coming), "", "step string_count"),
                "current": current,
            }
            found.append(Remark("coupler", values))
    if len(found) > MOST_LISTED:
        return [*found[:2], Remark("and-so-on"), found[-1]]
    return found


def ground(look: Look) -> Task:
    """The grounding conductor, before anything is uncovered."""
    sized = about(look, "ground-size", size="grounding.conductor") or about(
        look, "ground-least", size="ground_least"
    )
    does = (Remark("ground-frames"), *sized, Remark("ground-boxes"))
    return Task("ground", does, live(look, "covered"))


def run(look: Look) -> Task:
    """The long conductors, the controller's end first and the array's end last."""
    does: list[Remark] = []
    for name in (*runs_carrying(look.design, "string"), *runs_carrying(look.design, "array")):
        part = run_part(name)
        values = {
            "name": Value(name, "", f"given {part}name"),
            "length": look.given(part + "length"),
            "size": look.given(part + "size"),
        }
        known = {key: value for key, value in values.items() if value is not None}
        does.append(Remark("lay-run" if len(known) == len(values) else "lay-run-unknown", known))
    if not does:
        does.append(Remark("lay-leads"))
    does += [Remark("mark-ends"), Remark("far-end-first"), Remark("torque"), Remark("ring-out")]
    return Task("run", tuple(does), live(look, "covered"), (Remark(f"still-open-{switch(look)}"),))


def uncover(look: Look) -> Task:
    """All modules in the light, every path still open."""
    where = "fuses" if look.fuse_fitted else switch(look)
    return Task("uncover", (Remark("uncover-all"), Remark("stand-clear")), live(look, f"up-to-{where}"))


def meter(look: Look) -> Task:
    """Every string once more where it now ends, before a fuse goes in or a switch is closed."""
    at = "at-circuits" if look.combined else "at-holders" if look.fuse_inline else "at-switch"
    does = [Remark(at), Remark("same-sign")]
    if look.combined or look.fuse_inline:
        within = look.book.scalar("alike_strings_within")
        does.append(_alike(look, within.number, within.unit))
    else:
        does.append(Remark("one-voltage" if len(look.groups) == 1 else "between"))
    stops = [Remark("reversed")]
    if look.fuse_fitted:
        stops.append(Remark("fuses-after-all"))
    where = "fuses" if look.fuse_fitted else switch(look)
    return Task("meter", tuple(does), live(look, f"up-to-{where}"), tuple(stops), readings(look))


def fuses_in(look: Look) -> Task | None:
    """Fuses in, nothing flowing; then the joined array at the open switch."""
    if not look.fuse_fitted:
        return None
    alike = len(look.groups) == 1
    does = (
        *(() if alike else (Remark("cover-unlike"),)),
        *about(look, "put-fuses" if look.combined else "put-fuses-inline", size="string_fuse_A"),
        Remark("array-at-switch"),
        Remark("one-voltage" if alike else "between"),
    )
    return Task("fuses-in", does, live(look, f"up-to-{switch(look)}"), (Remark("no-flow"),))
