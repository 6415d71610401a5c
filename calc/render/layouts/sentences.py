"""What layouts, limits and moves come to, in sentences of the word catalogue, for every renderer alike."""

from collections.abc import Iterable

from calc.model.assessment import Verdict
from calc.model.layouts import (
    CODE_BROKEN,
    NOTHING_FAILS,
    WITH_WIRE,
    Key,
    LayoutReport,
    LimitReport,
    MoveReport,
    Tried,
)
from calc.render.catalogue import Words
from calc.render.fields import field_label
from calc.render.layouts.figures import column_text, layout_name, percent, reach_text, shift_text, wires
from calc.render.numbers import in_words


def finding_name(key: Key, words: Words) -> str:
    """A finding's name with the part it is about, where the name does not say it: Current through a run (home run)."""
    name = words(f"finding.{key[0]}.name")
    return f"{name} ({key[1]})" if key[1].lower() not in name.lower() else name


def labels(paths: Iterable[str], words: Words) -> str:
    """Inputs by their labels."""
    return ", ".join(field_label(path, words) for path in paths)


def check_says(layout: Tried, words: Words) -> str:
    """The verdict of a layout, and the limit that gives way first."""
    verdict, more = words(f"verdict.{layout.verdict}"), gives_way(layout, words)
    return f"{verdict}: {more}" if more else verdict


def gives_way(layout: Tried, words: Words) -> str:
    """What fails in a layout, and with which wire it would not; else the limit with the least room."""
    if layout.failing:
        name = finding_name(layout.gives_way, words)
        return (
            words("layouts.mended", name=name, instead=mended(layout, words))
            if mended(layout, words)
            else name
        )
    if layout.room is None:
        return ""
    name = finding_name(layout.gives_way, words)
    return words("layouts.room", name=name, room=percent(layout.room))


def mended(layout: Tried, words: Words) -> str:
    """With which wire a layout would hold, where its own is too thin; empty otherwise."""
    if layout.columns["harm"] != WITH_WIRE:
        return ""
    return words("layouts.wire-instead", wire=wires(layout, words))


def state(layout: Tried) -> str:
    """Which mark a layout has: its verdict's, or that it holds with other wire."""
    harm = layout.columns["harm"] or NOTHING_FAILS
    if harm > WITH_WIRE:
        return "fails"
    if harm == WITH_WIRE:
        return "wire"
    return {Verdict.TIGHT: "tight", Verdict.NEEDS_INPUT: "asks"}.get(layout.verdict, "holds")


def summary(report: LayoutReport, words: Words, system: str = "us") -> tuple[str, ...]:
    """Which layout comes first, why, what the second does better, and where the design's own stands."""
    first = report.layouts[0]
    name = layout_name(first, words)
    if report.unfinished:
        done, whole = report.unfinished
        return (words("layouts.says.so-far", done=done, whole=whole),)
    if not first.series:
        return (words("layouts.says.unlike"), *_always(report, words))
    if report.reason is None:
        return (words("layouts.says.one", first=name), *_always(report, words))
    said = [
        words("layouts.says.best", count=len(report.layouts), first=name),
        _because(report, words, system),
        _better(report, words, system),
        _own(report, words),
    ]
    return (*said, *_always(report, words))


def _own(report: LayoutReport, words: Words) -> str:
    place = report.layouts.index(report.own) + 1
    if place == 1:
        return words("layouts.says.own-first")
    return words("layouts.says.own-place", own=layout_name(report.own, words), place=place)


def _because(report: LayoutReport, words: Words, system: str) -> str:
    """The column that put the first before the second."""
    first, second = report.layouts[:2]
    by = report.reason.by if report.reason else ""
    name = layout_name(second, words)
    if not by:
        return words("layouts.because.nothing", second=name)
    if by == "harm":
        return _harm(first, second, words)
    if second.columns[by] is None:
        return words("layouts.because.unknown", second=name, name=words(f"layouts.column.{by}"))
    here, there = (column_text(one, by, words, system) for one in (first, second))
    return words(f"layouts.because.{by}", second=name, here=here, there=there)


def _harm(first: Tried, second: Tried, words: Words) -> str:
    harm = int(first.columns["harm"] or NOTHING_FAILS)
    values = {
        "second": layout_name(second, words),
        "name": finding_name(second.gives_way, words),
        "own": finding_name(first.gives_way, words),
        "wire": wires(first, words),
    }
    if harm == NOTHING_FAILS and second.columns["harm"] == WITH_WIRE:
        return words("layouts.because.harm-0-wire", **values)
    return words(f"layouts.because.harm-{min(max(harm, NOTHING_FAILS), CODE_BROKEN)}", **values)


def _better(report: LayoutReport, words: Words, system: str) -> str:
    """Every column in which the second is better, with both values, unless they are the same in print."""
    first, second = report.layouts[:2]
    both = {
        code: (column_text(second, code, words, system), column_text(first, code, words, system))
        for code in (report.reason.better if report.reason else ())
        if code != "tight"
    }
    told = [
        words("layouts.says.against", name=words(f"layouts.column.{code}"), there=there, here=here)
        for code, (there, here) in both.items()
        if there != here
    ]
    told += [words("layouts.column.tight")] if report.reason and "tight" in report.reason.better else []
    name = layout_name(second, words)
    if not told:
        return words("layouts.says.better-none", second=name)
    return words("layouts.says.better", second=name, list=", ".join(told))


def _always(report: LayoutReport, words: Words) -> list[str]:
    """What goes with any number of layouts."""
    said = []
    if report.everywhere and report.layouts[1:]:
        names = ", ".join(finding_name(key, words) for key in report.everywhere)
        said.append(words("layouts.says.everywhere", names=names))
    if report.left_out:
        values = {"modules": report.modules, "number": report.left_out}
        said.append(words(f"layouts.says.{'left-out-asked' if report.asked else 'left-out'}", **values))
    sizes = _unpriced(report, words)
    if sizes:
        said.append(words("layouts.says.unpriced", sizes=", ".join(sizes)))
    if report.left_off:
        said.append(words("layouts.says.left-off", number=report.left_off))
    if report.no_curve:
        said.append(words("day.reason.no-curve"))
    if report.day_needs:
        said.append(words("layouts.says.needs-day", needs=labels(report.day_needs, words)))
    if report.fault_needs:
        said.append(words("layouts.says.needs-faults", needs=labels(report.fault_needs, words)))
    return said


def _unpriced(report: LayoutReport, words: Words) -> tuple[str, ...]:
    """The sizes that some layout needs and that have no price, where any has one."""
    wires = [wire for layout in report.layouts for wire in layout.wires if wire.metres is not None]
    if all(wire.cost is None for wire in wires):
        return ()
    sizes = (wire.size for wire in wires if wire.size is not None and wire.cost is None)
    return tuple(in_words(words, size, "size") for size in dict.fromkeys(sizes))


def notes(words: Words) -> tuple[str, ...]:
    """What the columns mean and how they decide."""
    return tuple(words(f"layouts.{key}") for key in ("order", "wire-note", "fault-note", "parts-note"))


def limit_notes(report: LimitReport, words: Words) -> tuple[str, ...]:
    """What was left aside when limits were solved for."""
    said = [words("limits.caution")]
    solved = [limit for limit in report.limits if limit.value is not None]
    fixed = [key for key in solved[0].open if all(key in one.open for one in solved)] if solved else []
    if fixed:
        said.append(words("limits.open", names=", ".join(finding_name(key, words) for key in fixed)))
    if report.unlike:
        said.append(words("limits.unlike"))
    return tuple(said)


def moves_say(report: MoveReport, words: Words, system: str = "us") -> tuple[str, ...]:
    """Which input moves the verdict first."""
    said = [words("moves.already")] if report.verdict is Verdict.FAILS else []
    first = report.moves[0] if report.moves else None
    if first is None or first.reach is None:
        return (*said, words("moves.none", widest=reach_text(report.widest, system)))
    shift = shift_text(first, words, system)
    values = {
        "name": words(f"moves.name.{first.code}", part=first.part),
        "shift": shift[:1].upper() + shift[1:],
        "finding": finding_name(first.because, words),
        "reach": reach_text(first.reach, system),
    }
    return (*said, words("moves.first" if first.reach > 1.0 else "moves.first-near", **values))
