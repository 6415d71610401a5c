"""What a page has been sent, so that an answer brings only the parts that are new to it."""

from collections import OrderedDict

REMEMBERED = 16
"""Answers whose parts are remembered; a page that took over an older one is sent everything."""


class Sent:
    """The parts that a page has after each of the last answers."""

    def __init__(self) -> None:
        """Begin with nothing sent."""
        self._number = 0
        self._sent: OrderedDict[int, dict[str, str]] = OrderedDict()

    def news(self, have: int, parts: dict[str, str]) -> tuple[int, dict[str, str]]:
        """The number of an answer with ``parts`` to a page that took over answer ``have``, and those new to it."""
        there = self._sent.get(have, {})
        self._number += 1
        self._sent[self._number] = there | parts
        if len(self._sent) > REMEMBERED:
            self._sent.popitem(last=False)
        return self._number, {name: text for name, text in parts.items() if there.get(name) != text}
