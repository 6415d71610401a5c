"""What shade and single faults leave, as text for a terminal 80 columns wide."""

from collections.abc import Iterator

from calc.model.faults import FaultCase, FaultLayout, FaultReport
from calc.render.catalogue import Words, load_words
from calc.render.columns import WIDTH, finished, foot, heading, listed, section, wrap
from calc.render.drawings.plot import watts
from calc.render.faults.sentences import (
    all_cases,
    case_name,
    conditions,
    layout_name,
    layout_sign,
    left,
    missing,
    not_counted,
    own_reason,
    percent,
    reason_for_all,
    reverse_says,
    saying_says,
    says,
)
from calc.render.numbers import NO_BREAK

INDENT = "    "
CELL = 14
OWN = ">"


def as_faults_text(
    report: FaultReport,
    name: str = "",
    *,
    system: str = "us",
    words: Words | None = None,
    ascii_only: bool = False,
) -> str:
    """The power each case leaves, layouts side by side, then why, case by case, for the design's own layout.

    Args:
        report: what was worked out by ``calc.plan.faults.faults_of``.
        name: what to call the design when its file has no title.
        system: ``us`` or ``metric``.
        words: the word catalogue; English when left out.
        ascii_only: spell everything in ASCII, for a terminal that knows no more.
    """
    words = words or load_words()
    title = f"{report.design.text('title') or name}: {words('faults.title')}".removeprefix(": ")
    blocks = [heading(title), wrap(words("faults.caution"))]
    if report.own is None:
        blocks.append(wrap(missing(report, words)))
    else:
        blocks += [
            wrap(conditions(report, words, system)),
            section(words("faults.table"), _table(report, words, system)),
            section(words("faults.sayings"), _sayings(report, report.own, words)),
            section(words("faults.details"), list(_cases(report.own, words, system))),
            section(words("faults.assumed"), _assumed(report)),
            section(words("faults.not-counted"), listed(not_counted(report, words))),
        ]
    blocks += foot(words, report.rules, report.core, report.rules_hash)
    return finished(blocks, ascii_only=ascii_only)


def _table(report: FaultReport, words: Words, system: str) -> list[str]:
    """Blocks of a few layouts each; a row for every case that one of them has."""
    lines = wrap(words("faults.key"))
    longest = max((len(name) for name in all_cases(report.layouts, words).values()), default=0)
    beside = max((WIDTH - longest - 1) // CELL, 1)
    for start in range(0, len(report.layouts), beside):
        lines += ["", *_block(report.layouts[start : start + beside], words)]
    notes = [
        f"{layout_sign(layout, words)}: {says(kind, remark, words, system)}"
        for layout in report.layouts
        for kind, remarks in (("danger", layout.cautions), ("remark", layout.remarks))
        for remark in remarks
    ]
    own = [f"{OWN} {words('faults.own')}"] if len(report.layouts) > 1 else []
    return [*lines, "", *own, *(line for note in notes for line in wrap(note, "", "  "))]


def _block(layouts: tuple[FaultLayout, ...], words: Words) -> list[str]:
    charging = [layout for layout in layouts if layout.healthy.power_W]
    names = all_cases(charging, words)
    heads = [f"{OWN if layout.own else ''} {layout_sign(layout, words)}" for layout in layouts]
    whole = [watts(layout.healthy.power_W) for layout in layouts]
    rows = [("", heads), (words("faults.healthy"), whole)]
    rows += [(name, [_cell(layout, wanted) for layout in layouts]) for wanted, name in names.items()]
    room = WIDTH - CELL * len(layouts)
    return [
        (f"{name:<{room}}" + "".join(f"{cell:>{CELL}}" for cell in cells)).rstrip() for name, cells in rows
    ]


def _cell(layout: FaultLayout, wanted: str) -> str:
    case = next((one for one in layout.cases if one.id == wanted), None)
    if case is None or case.left.share is None:
        return "-"
    share = percent(case.left.share)
    if case.stays is None:
        return share
    return f"{share} ({percent(case.stays.share).removesuffix(NO_BREAK + '%')})"


def _sayings(report: FaultReport, own: FaultLayout, words: Words) -> list[str]:
    said = (" ".join(saying_says(saying, own, words)) for saying in report.sayings)
    return [line for one in said for line in wrap(one, "- ", "  ")]


def _cases(own: FaultLayout, words: Words, system: str) -> Iterator[str]:
    yield from wrap(f"{_capital(layout_name(own, words))}: {watts(own.healthy.power_W)}.")
    for_all = reason_for_all(own, words, system)
    if for_all:
        yield from wrap(for_all)
    for case in own.cases:
        yield ""
        yield from wrap(f"{_capital(case_name(case, words))}: {left(case.left)}")
        for line in _told(case, words, system):
            yield from wrap(line, INDENT, INDENT)


def _told(case: FaultCase, words: Words, system: str) -> Iterator[str]:
    reason = own_reason(case, words, system)
    if reason:
        yield reason
    for remark in case.remarks:
        yield says("remark", remark, words, system)
    if case.reverse is not None and case.light_lost is None:
        yield reverse_says(case.reverse, words, system)
    for danger in case.cautions:
        yield f"{words('faults.danger-word').upper()} {says('danger', danger, words, system)}"


def _assumed(report: FaultReport) -> list[str]:
    return [
        line
        for one in report.assumptions
        for line in wrap(f"{one.path} = {one.value}. {one.why}", "- ", "  ")
    ]


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]
