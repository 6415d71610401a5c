"""Lessons: a numbered page under ``guide/`` gets its live figure, its numbers, its mistake and its card.

Numbers stand in the text as ``{{ … }}`` (see lesson_codes). Larger parts are lines: ``<!-- lesson: asks -->``
for the opening question, then ``figure``, ``mistake``, ``working KEY``, ``card`` and ``card ends``, and ``list`` on the
first page of the guide. A code or a part that does not exist stops the build with the page and the line.
"""

import re
from collections.abc import Callable, Mapping

from coursebook import MISTAKE, CodeError, Lesson, load_lessons, near
from lesson_codes import fill
from mkdocs.config.defaults import MkDocsConfig
from mkdocs.exceptions import PluginError
from mkdocs.structure.files import Files
from mkdocs.structure.pages import Page

from calc import Refused, as_html, load_book
from calc.render.as_form import Bench
from calc.render.as_html import FRAGMENTS, environment
from calc.render.as_lesson import as_lesson, as_mistake, as_working, in_lesson
from calc.render.catalogue import load_words
from calc.sections import SECTIONS, section_html

FIRST = "guide/index.md"
GUIDE = "Guide"
HOME = "../../"
LINE = re.compile(r"^<!--\s*lesson\b(?P<rest>.*?)-->\s*$")
LINK = re.compile(r"</?a\b[^>]*>")
CALL = re.compile(r":\s*(?P<name>[a-z]+)(?: (?P<rest>\S.*?))?\s*")
BOX = '<div class="wide" data-lesson="{number}"></div>'


def on_config(config: MkDocsConfig) -> MkDocsConfig:
    """Put the lessons into the menu, in the order of their numbers."""
    load_lessons.cache_clear()
    pages: list[object] = [
        {"The lessons": FIRST},
        *({one.title: one.page} for one in load_lessons().values()),
    ]
    config.nav = [
        {GUIDE: pages} if isinstance(entry, dict) and entry.get(GUIDE) == FIRST else entry
        for entry in config.nav or []
    ]
    return config


def on_page_markdown(markdown: str, page: Page, config: MkDocsConfig, files: Files) -> str | None:
    """Replace every code and every part; parts become boxes that are filled once Markdown is done."""
    lesson = load_lessons().get(page.file.src_uri)
    if lesson is None and page.file.src_uri != FIRST:
        return None
    boxes: list[str] = []
    lines = markdown.split("\n")
    before = (page.file.content_string.count("\n") + 1) - len(lines)
    for place, line in enumerate(lines):
        try:
            lines[place] = _line(line, lesson, boxes)
        except CodeError as problem:
            raise PluginError(f"{page.file.src_path}, line {before + place + 1}: {problem}") from None
    page.meta["lesson"] = boxes
    if lesson is not None:
        page.meta["template"] = "lesson.html"
    return "\n".join(lines)


def on_page_content(html: str, page: Page, config: MkDocsConfig, files: Files) -> str:
    """Fill the boxes, and say above a lesson which one it is."""
    for number, content in enumerate(page.meta.pop("lesson", [])):
        html = html.replace(BOX.format(number=number), content, 1)
    lesson = load_lessons().get(page.file.src_uri)
    if lesson is None:
        return html
    where = load_words()("guide.lesson", number=lesson.number, last=len(load_lessons()))
    return f'<p class="kicker">{where}</p>\n{html}'


def _line(line: str, lesson: Lesson | None, boxes: list[str]) -> str:
    found = LINE.match(line)
    if found is None:
        return line if lesson is None else fill(line, lesson)
    call = CALL.fullmatch(found["rest"])
    parts = PARTS if lesson is not None else {}
    if lesson is None and call is not None and call["name"] == "list":
        return _box(_list(), boxes)
    if call is None or lesson is None or call["name"] not in parts:
        raise CodeError(
            f"a lesson has no part {found['rest'].strip(' :')!r}; wanted one of {', '.join(PARTS)}"
        )
    return parts[call["name"]](lesson, call["rest"] or "", boxes)


def _box(html: str, boxes: list[str]) -> str:
    boxes.append(html)
    return BOX.format(number=len(boxes) - 1)


def _asks(lesson: Lesson, rest: str, boxes: list[str]) -> str:
    return f"{fill(lesson.asks, lesson)}\n{{: .lede .asks }}"


def _figure(lesson: Lesson, rest: str, boxes: list[str]) -> str:
    bench = Bench(lesson.name, lesson.file, HOME)
    drawings = [_drawing(name, lesson) for name in lesson.plan.drawings]
    return _box(as_lesson(lesson.assessment, lesson.plan, bench, drawings), boxes)


def _drawing(name: str, lesson: Lesson) -> str:
    """A drawing or a section of the report, by its name there."""
    if name in FRAGMENTS:
        return as_html(lesson.assessment, home=HOME, parts=(name,))[name]
    if name not in SECTIONS:
        raise CodeError(f"a report has no part {name!r}; it has {', '.join((*FRAGMENTS, *SECTIONS))}")
    book = load_book(lesson.assessment.rules)
    return in_lesson(section_html(name, lesson.assessment, book, home=HOME), lesson.plan)


def _mistake(lesson: Lesson, rest: str, boxes: list[str]) -> str:
    other = lesson.others[MISTAKE]
    if isinstance(other, Refused):
        raise CodeError("the mistake cannot be read as a design, so no finding can fail")
    return _box(as_mistake(lesson.assessment, other, lesson.failing), boxes)


def _working(lesson: Lesson, rest: str, boxes: list[str]) -> str:
    """The working of a quantity, of the lesson's own design or of another: ``working five: voc_cold_string_V``."""
    name, colon, key = rest.partition(": ")
    one = lesson.others.get(name) if colon else lesson.assessment
    key = key if colon else rest
    if one is None or isinstance(one, Refused) or key not in one.steps:
        known = () if one is None or isinstance(one, Refused) else one.steps
        raise CodeError(f"there is no working of {rest!r}{near(key, known)}")
    return _box(as_working(one, key, "" if colon else lesson.plan.report), boxes)


def _card(lesson: Lesson, rest: str, boxes: list[str]) -> str:
    words = load_words()
    if rest == "ends":
        link = f'<a class="tool" href="#card" data-print="card">{words("guide.card.print")}</a>'
        caution = f'<p class="card-caution">{words("guide.card.caution")}</p>'
        return f'{caution}\n\n</section>\n\n<p class="no-print card-print">{link}</p>'
    return f'<section class="lesson-card" id="card" markdown="1">\n\n<p class="card-of">{lesson.title}</p>\n'


def _list() -> str:
    shown = [
        (one.number, one.title, f"{one.name}/", LINK.sub("", fill(one.asks, one)), one.line)
        for one in load_lessons().values()
    ]
    return environment().get_template("lesson_list.html").render(w=load_words(), lessons=shown)


PARTS: Mapping[str, Callable[[Lesson, str, list[str]], str]] = {
    "asks": _asks,
    "figure": _figure,
    "mistake": _mistake,
    "working": _working,
    "card": _card,
}
