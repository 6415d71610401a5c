"""Templates that print quickly print what the engine's own would, and stop where a template asks for what is not there.

What stands outside the project is the engine's own way to make a text safe: markupsafe's ``escape``.
"""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from jinja2 import UndefinedError
from markupsafe import Markup, escape

from calc.model.assessment import Value
from calc.render.as_html import environment
from calc.render.quick import told

VOLTS = Value(22.4, "V", "given module.voc")
texts = st.text() | st.text("<>&\"'ab ")


class Word(str):
    """A text of a kind of its own."""

    __slots__ = ()


class Sign:
    """Something that says itself how it stands in a page."""

    def __html__(self):
        """As it is in a page."""
        return "<b>!</b>"


values = st.one_of(
    texts,
    texts.map(Markup),
    texts.map(escape),
    texts.map(Word),
    st.integers(),
    st.floats(),
    st.booleans(),
    st.none(),
    st.lists(texts, max_size=2),
    st.builds(Sign),
)


@given(values)
def test_a_value_is_told_as_the_engine_itself_escapes_it(value):
    """Any text, safe text, number or thing becomes the very text that escape makes of it."""
    assert str(told(value)) == str(escape(value))
    assert isinstance(told(value), str)


@given(texts)
def test_a_page_shows_a_text_as_it_was_written(text):
    """Printed by a template, a text has no sign left that could begin markup, and a safe one stays as it is."""
    template = environment().from_string("<i>{{ plain }}{{ safe }}</i>")

    assert template.render(plain=text, safe=Markup(text)) == f"<i>{escape(text)}{text}</i>"


@pytest.mark.parametrize(
    "text", ["{{ volts.amperes }}", "{{ volts.value.digits }}", "{{ volts.unit.amperes() }}"]
)
def test_an_attribute_that_is_not_there_is_refused(text):
    """A template that names an attribute a value does not have is a fault of ours, not an empty place."""
    with pytest.raises(AttributeError, match=r"has no attribute '(amperes|digits)'$"):
        environment().from_string(text).render(volts=VOLTS)


@pytest.mark.parametrize(
    "text", ["{{ watts }}", "{{ watts.value }}", "{{ watts() }}", "{% if watts %}{% endif %}"]
)
def test_a_name_that_is_not_there_is_refused(text):
    """A template that uses a name nobody gave is a fault of ours, whatever it does with it."""
    with pytest.raises(UndefinedError, match=r"^'watts' is undefined$"):
        environment().from_string(text).render(volts=VOLTS)


def test_an_attribute_and_an_entry_that_are_there_are_printed():
    """A field of a record is named by a dot, an entry of a mapping by brackets."""
    template = environment().from_string('{{ volts.value }} {{ volts.unit }} {{ parts["unit"] }}')

    assert template.render(volts=VOLTS, parts={"unit": "A"}) == "22.4 V A"
