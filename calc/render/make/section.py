"""Parts, wiring drawing, order of work and labels as HTML fragments, each a section with a fixed id."""

from collections.abc import Callable, Iterable, Mapping

from calc.model.parts import Order, Parts
from calc.render.as_html import environment
from calc.render.catalogue import load_words
from calc.render.drawings.detail import detail
from calc.render.make.view import order_view, parts_view

FRAGMENTS: Mapping[str, str] = {
    "parts": "parts.html",
    "detail": "wiring_detail.html",
    "order": "order.html",
    "labels": "labels.html",
}


def as_make_html(
    parts: Parts,
    order: Order,
    system: str = "us",
    *,
    language: str = "en",
    home: str = "",
    wanted: Iterable[str] = FRAGMENTS,
) -> dict[str, str]:
    """Print what a design is made of and how it is put up, as fragments by name.

    Args:
        parts: as made by ``calc.make.parts.parts_of``.
        order: as made by ``calc.make.order.order_of``.
        system: ``us`` or ``metric``.
        language: folder of the word catalogue.
        home: the way from the page to the start of the site (``../../``); empty when there is no site around it.
        wanted: the fragments wanted; all of them when left out.
    """
    words = load_words(language)
    asked = frozenset(wanted)
    work = order_view(order, words, system) if asked & {"order", "labels"} else None
    views: dict[str, Callable[[], dict[str, object]]] = {
        "parts": lambda: {"parts": parts_view(parts, words, system)},
        "detail": lambda: {"drawing": detail(parts, words, system)},
        "order": lambda: {"order": work},
        "labels": lambda: {"order": work},
    }
    return {
        name: environment().get_template(file).render(**views[name](), w=words, home=home)
        for name, file in FRAGMENTS.items()
        if name in asked
    }
