"""What a page has been sent, so that an answer brings only what is new to it."""

from collections import OrderedDict
from collections.abc import Mapping

from calc.render.printed import Printed

REMEMBERED = 16
"""Answers whose parts are remembered; a page that took over an older one is sent everything."""

Parts = Mapping[str, Printed]


class Sent:
    """The parts that a page has after each of the last answers."""

    def __init__(self) -> None:
        """Begin with nothing sent."""
        self._number = 0
        self._sent: OrderedDict[int, Parts] = OrderedDict()

    def there(self, number: int) -> Parts:
        """The parts of a page that took over the answer with this number; none when that is not remembered."""
        return self._sent.get(number, {})

    def news(self, there: Parts, parts: Parts) -> dict[str, object]:
        """What of ``parts`` is new to a page that shows ``there``, and this answer's number."""
        self._number += 1
        self._sent[self._number] = {**there, **parts}
        if len(self._sent) > REMEMBERED:
            self._sent.popitem(last=False)
        fragments: dict[str, str] = {}
        pieces: dict[str, str] = {}
        for name, printed in parts.items():
            whole, changed = printed.news(there.get(name))
            pieces |= changed
            if whole is not None:
                fragments[name] = whole
        return {"number": self._number, "fragments": fragments, "pieces": pieces}
