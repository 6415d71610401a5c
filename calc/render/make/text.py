"""The list of parts and the order of work as text for a terminal 80 columns wide."""

from calc.model.parts import About, Order, Parts
from calc.render.catalogue import Words, load_words
from calc.render.columns import Blocks, finished, foot, heading, section, wrap
from calc.render.make.view import (
    LabelView,
    OrderView,
    PartRow,
    PartsView,
    TaskView,
    order_view,
    parts_view,
)

COUNT = 10
"""Columns for a count."""
STEP = "    "


def as_parts_text(
    parts: Parts,
    name: str = "",
    *,
    system: str = "us",
    words: Words | None = None,
    ascii_only: bool = False,
) -> str:
    """The list of parts, the connector halves and the ways to join, at 80 columns.

    Args:
        parts: as made by ``calc.make.parts.parts_of``.
        name: what to call the design when its file has no title.
        system: ``us`` or ``metric``.
        words: the word catalogue; English when left out.
        ascii_only: spell everything in ASCII, for a terminal that knows no more.
    """
    words = words or load_words()
    view = parts_view(parts, words, system)
    blocks = [
        *_head(parts.about, words("make.parts.text-title"), name),
        wrap(view.warning) if view.warning else [],
        wrap(words("make.beware")),
        *(section(group.title, [line for row in group.rows for line in _row(row)]) for group in view.groups),
        section(words("make.halves.title"), _halves(view, words)),
        section(words("make.couplers.title"), _ways(view, words)),
        *foot(words, parts.about.rules, parts.about.core, parts.about.rules_hash),
    ]
    return finished(blocks, ascii_only=ascii_only)


def as_order_text(
    order: Order,
    name: str = "",
    *,
    system: str = "us",
    words: Words | None = None,
    ascii_only: bool = False,
) -> str:
    """The order of work, taking down, labels and cautions, at 80 columns; arguments as for ``as_parts_text``."""
    words = words or load_words()
    view = order_view(order, words, system)
    blocks = [
        *_head(order.about, words("make.steps.text-title"), name),
        [line for one in view.cautions for line in wrap(one, "! ", "  ")],
        wrap(words("make.order.intro")),
        section(words("make.order.up"), _tasks(view.up, words)),
        section(words("make.order.down"), [*wrap(words("make.order.down-intro")), *_tasks(view.down, words)]),
        section(words("make.labels.title"), _labels(view, words)),
        *foot(words, order.about.rules, order.about.core, order.about.rules_hash),
    ]
    return finished(blocks, ascii_only=ascii_only)


def _head(about: About, kind: str, name: str) -> Blocks:
    return [heading(about.design.text("title") or name), [kind]]


def _row(row: PartRow) -> list[str]:
    name = f"{row.name}: {row.called}" if row.called else row.name
    marks = f" [{row.marks}]" if row.marks else ""
    pad = " " * COUNT
    lines = wrap(name + marks, f"{row.count:>{COUNT - 2}}  ", pad)
    lines += wrap(", ".join(row.what), pad, pad) if row.what else []
    for note in row.notes:
        lines += wrap(note, pad, pad)
    lines += wrap(row.needs, pad, pad) if row.needs else []
    from_where = ", ".join(link.text for link in row.links)
    return lines + (wrap(from_where, f"{pad}<- ", pad + "   ") if from_where else [])


def _halves(view: PartsView, words: Words) -> list[str]:
    halves = view.halves
    head = (words("make.halves.comes-with"), words("make.halves.plus"), words("make.halves.minus"))
    rows = [head, *((row.name, str(row.plus), str(row.minus)) for row in halves.rows)]
    rows.append((words("make.halves.all"), str(halves.plus), str(halves.minus)))
    first = max(len(row[0]) for row in rows)
    lines = [*wrap(words("make.halves.intro")), ""]
    lines += [
        f"  {name:<{first}}  {plus:>{len(head[1])}}  {minus:>{len(head[2])}}" for name, plus, minus in rows
    ]
    lines += ["", f"  {words('make.halves.by-housing')}: {halves.housing}"]
    lines += [f"  {words('make.halves.by-contact')}: {halves.contact}", ""]
    return [*lines, *wrap(f"{halves.mated} {halves.why}")]


def _ways(view: PartsView, words: Words) -> list[str]:
    lines = wrap(words("make.couplers.intro")) if view.ways else []
    for way in view.ways:
        own = f" ({words('make.couplers.own')})" if way.own else ""
        said = f"{way.name}{own}: {way.parts}. {words('make.couplers.first')}: {way.first}."
        more = f" {way.more[:1].upper()}{way.more[1:]}." if way.more else ""
        lines += wrap(f"{said} {words('make.couplers.verdict')}: {way.verdict}.{more}", "- ", "  ")
    return lines + [line for one in view.said for line in wrap(one)]


def _tasks(tasks: tuple[TaskView, ...], words: Words) -> list[str]:
    lines: list[str] = []
    for task in tasks:
        lines += ["", *wrap(task.name, f"{task.number:>2}. ", STEP)]
        for act in task.does:
            lines += wrap(act, f"{STEP}- ", STEP + "  ")
        if task.readings:
            lines += wrap(f"{words('make.order.expect')}:", STEP, STEP)
            for reading in task.readings:
                lines += wrap(reading, f"{STEP}  ", STEP + "    ")
        lines += wrap(f"{words('make.order.live')}: {task.live}", STEP, STEP + "  ")
        lines += wrap(f"{words('make.order.why')}: {task.why}", STEP, STEP + "  ")
        for stop in task.stops:
            lines += wrap(f"{words('make.order.stop').upper()}: {stop}", STEP, STEP + "  ")
    return lines


def _labels(view: OrderView, words: Words) -> list[str]:
    lines = wrap(words("make.labels.intro"))
    for label in view.labels:
        lines += ["", *_label(label)]
    return lines


def _label(label: LabelView) -> list[str]:
    lines = wrap(f"{label.count} x, {label.where}. {label.rule}", "", STEP)
    return lines + [piece for line in label.lines for piece in wrap(line, f"{STEP}| ", f"{STEP}| ")]
