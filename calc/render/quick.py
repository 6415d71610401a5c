"""Templates that print quickly: what a template engine for everybody asks of each word, and these templates never need.

A report asks some four thousand times for an attribute, as often for a safe text, and a thousand times for a call. The
engine's own ways are right for templates from anywhere. Ours name attributes that are there (an entry of a mapping is
written with brackets), call nothing that wants to know where it is called from, and put their output together at once.
"""

import re
from typing import Any, cast

from jinja2 import Environment
from jinja2.compiler import CodeGenerator, Frame
from jinja2.nodes import Expr
from jinja2.runtime import Context
from markupsafe import Markup, escape

unsafe = re.compile("[&<>\"']").search


def told(value: object) -> str:
    """A value as text of a page: as it is where it was made safe on purpose or is harmless, else escaped."""
    kind = type(value)
    if kind is Markup or (kind is str and unsafe(cast("str", value)) is None):
        return cast("str", value)
    return escape(value)


class QuickCode(CodeGenerator):
    """Escapes by ``told``, which makes no object to say that a piece of the output is safe: it is joined at once."""

    def _output_child_pre(self, node: Expr, frame: Frame, finalize: Any) -> None:  # noqa: ARG002 - as it is called
        self.write("environment.told(")


class QuickContext(Context):
    """Calls what it is asked to call."""

    def call(self, called: Any, /, *args: Any, **named: Any) -> Any:
        """Call it; where in a loop that was is not for the one who is called."""
        named.pop("_loop_vars", None)
        named.pop("_block_vars", None)
        return called(*args, **named)


class QuickEnvironment(Environment):
    """An environment in which every output is escaped by ``told``, and an attribute that is not there is a fault."""

    code_generator_class = QuickCode
    context_class = QuickContext
    told = staticmethod(told)
    getattr = staticmethod(getattr)  # type: ignore[assignment]
