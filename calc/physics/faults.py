"""What healthy strings push into one that cannot hold their voltage, when the controller takes nothing."""

from math import isfinite

from calc.physics.arrays import Array


def pushed_back(array: Array, place: int, held_V: float | None = None) -> float:
    """How much current is pushed back into each string of one kind? In A.

    With nothing connected the strings' currents cancel, and a string that is weaker than the others takes what they
    give. Where a battery can feed back through the controller it holds the array at its own voltage, if that is higher.
    Into a dead short it would push all it has, which no curve tells: then only what the strings push is given.

    Args:
        array: all strings.
        place: of the kind asked about.
        held_V: voltage in V at which a battery holds the array through the controller; None where it cannot.
    """
    from_strings_A = max(0.0, -array.currents(array.open)[place])
    if held_V is None or held_V <= array.open.joint_V:
        return from_strings_A
    from_battery_A = -array.kinds[place][0].current(held_V)
    return from_battery_A if isfinite(from_battery_A) else from_strings_A


def through_diodes(array: Array, place: int) -> float:
    """How much of the current through one string of a kind goes through its bypass diodes? In A, at open circuit.

    The cells carry what they can, and the diodes what is left.
    """
    string, current_A = array.kinds[place][0], array.currents(array.open)[place]
    return max([0.0, *(abs(current_A) - abs(part.turns_at) for part in string.parts if part.flat(current_A))])
