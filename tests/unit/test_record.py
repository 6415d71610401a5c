"""Records that are quick to make behave as frozen ones where it matters: equality, hash, slots, and a changed copy."""

from dataclasses import fields, replace

import pytest

from calc.model.assessment import Unknown, Value

VOLTS = Value(22.4, "V", "given module.voc")


def test_records_of_alike_values_are_equal_and_hash_alike():
    """Two made from the same values are one key; with any value another, or of another kind, they are not equal."""
    again = Value(22.4, "V", "given module.voc")
    others = [Value(22.5, "V", VOLTS.origin), Value(22.4, "A", VOLTS.origin), Value(22.4, "V", "step x")]

    assert again is not VOLTS
    assert again == VOLTS
    assert hash(again) == hash(VOLTS)
    assert {VOLTS: "kept"}[again] == "kept"
    assert not [other for other in others if other == VOLTS or hash(other) == hash(VOLTS)]
    assert Unknown(("V",)) != VOLTS


def test_a_record_has_room_for_its_fields_alone():
    """It has slots: no dictionary of its own, and no field that was not declared."""
    assert Value.__slots__ == tuple(field.name for field in fields(Value)) == ("value", "unit", "origin")
    assert not hasattr(VOLTS, "__dict__")
    with pytest.raises(AttributeError):
        VOLTS.amperes = 6.3


def test_a_changed_copy_leaves_the_record_as_it_was():
    """With one value another, a copy has all others, and the record has what it had."""
    hot = replace(VOLTS, value=20.1)

    assert hot == Value(20.1, "V", "given module.voc")
    assert VOLTS.value == 22.4
