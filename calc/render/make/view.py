"""The list of parts, the order of work and the labels as a report needs them: plain records of words and links."""

from dataclasses import dataclass

from calc.model.parts import Label, Order, PartLine, Parts, Reading, Task
from calc.render.catalogue import Words
from calc.render.make.couplers import HalvesView, WayRow, couplers_say, halves_view, way_rows
from calc.render.make.says import follow_link, name_of, needs_say, says, spans, what_says
from calc.render.numbers import show_text
from calc.render.view import Link


@dataclass(frozen=True, slots=True)
class PartRow:
    """One line of the list."""

    count: str
    name: str
    called: str
    marks: str
    what: tuple[str, ...]
    notes: tuple[str, ...]
    needs: str
    links: tuple[Link, ...]


@dataclass(frozen=True, slots=True)
class PartGroup:
    """Lines under one heading."""

    title: str
    rows: tuple[PartRow, ...]


@dataclass(frozen=True, slots=True)
class PartsView:
    """The whole list with the halves and the ways to join; ``warning`` is what the verdict asks first."""

    warning: str
    groups: tuple[PartGroup, ...]
    halves: HalvesView
    ways: tuple[WayRow, ...]
    said: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class TaskView:
    """One step: its number, anchor, acts, why it stands here, what is live, where to stop, what a meter should show."""

    number: int
    anchor: str
    name: str
    does: tuple[str, ...]
    why: str
    live: str
    stops: tuple[str, ...]
    readings: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class LabelView:
    """One label: how many, its lines, where it goes, the rule."""

    count: str
    lines: tuple[str, ...]
    where: str
    rule: str


@dataclass(frozen=True, slots=True)
class OrderView:
    """The order of work."""

    cautions: tuple[str, ...]
    up: tuple[TaskView, ...]
    down: tuple[TaskView, ...]
    labels: tuple[LabelView, ...]


def parts_view(parts: Parts, words: Words, system: str = "us") -> PartsView:
    """Gather what the list of parts prints.

    Args:
        parts: as made by ``calc.make.parts.parts_of``.
        words: the word catalogue.
        system: ``us`` or ``metric``.
    """
    groups: dict[str, list[PartRow]] = {}
    for line in parts.lines:
        groups.setdefault(line.group, []).append(part_row(line, words, system))
    return PartsView(
        warning=words.find(f"make.verdict.{parts.about.verdict}") or "",
        groups=tuple(PartGroup(words(f"make.group.{key}"), tuple(rows)) for key, rows in groups.items()),
        halves=halves_view(parts, words),
        ways=way_rows(parts.plans, words, system),
        said=tuple(couplers_say(parts.plans, words, system)),
    )


def part_row(line: PartLine, words: Words, system: str = "us") -> PartRow:
    """One line of the list in words."""
    links = {link.text: link for link in (follow_link(origin, words) for origin in line.follows)}
    return PartRow(
        count=words("make.parts.measure") if line.count is None else str(line.count),
        name=name_of(line, words),
        called=line.called,
        marks=spans(line.marks, words),
        what=tuple(what_says(line, words, system)),
        notes=tuple(says("make.note", note, words, system) for note in line.notes),
        needs=needs_say(line.needs, words),
        links=tuple(links.values()),
    )


def order_view(order: Order, words: Words, system: str = "us") -> OrderView:
    """Gather what the order of work prints.

    Args:
        order: as made by ``calc.make.order.order_of``.
        words: the word catalogue.
        system: ``us`` or ``metric``.
    """
    return OrderView(
        cautions=tuple(says("make.caution", one, words, system) for one in order.cautions),
        up=_tasks(order.up, words, system),
        down=_tasks(order.down, words, system),
        labels=tuple(label_view(label, words, system) for label in order.labels),
    )


def _tasks(tasks: tuple[Task, ...], words: Words, system: str) -> tuple[TaskView, ...]:
    return tuple(
        TaskView(
            number=number,
            anchor=f"task-{task.code}",
            name=words(f"make.task.{task.code}.name"),
            does=tuple(says("make.do", one, words, system) for one in task.does),
            why=words(f"make.task.{task.code}.why"),
            live=says("make.live", task.live, words, system),
            stops=tuple(says("make.stop", one, words, system) for one in task.stops),
            readings=tuple(_reading(one, words, system) for one in task.readings),
        )
        for number, task in enumerate(tasks, 1)
    )


def _reading(reading: Reading, words: Words, system: str) -> str:
    count = "one" if reading.modules == 1 else "more"
    values = {
        "marks": spans(reading.marks, words),
        "modules": words(f"make.order.reading-modules.{count}", number=reading.modules),
        "stc": show_text(reading.stc_V, "V", system=system),
    }
    if reading.hot_V is None or reading.cold_V is None:
        return words("make.order.reading", **values)
    hot, cold = (show_text(value, "V", system=system) for value in (reading.hot_V, reading.cold_V))
    return words("make.order.reading-band", **values, hot=hot, cold=cold)


def label_view(label: Label, words: Words, system: str = "us") -> LabelView:
    """One label in words."""
    values = {
        name: show_text(value.number, value.unit, system=system) for name, value in label.values.items()
    }
    return LabelView(
        count=words("make.labels.measure") if label.count is None else str(label.count),
        lines=tuple(says("make.label.line", one, words, system) for one in label.lines),
        where=words(f"make.label.where.{label.code}", **values),
        rule=words("make.labels.standing", clause=label.clause, standing=label.standing)
        if label.clause
        else words("make.labels.no-rule"),
    )
