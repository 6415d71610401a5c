"""Where volts stand on a ladder: linear where the string is, slots beyond a break for bounds far off."""

from dataclasses import dataclass, field

from calc.render.drawings.rungs import Bound, Window

HEAD = 36.0  # below the two headings
PLOT = 236.0  # the part of the rails that has a scale
ZONE = 30.0  # hatched, beyond a bound
BREAK, SLOT = 34.0, 42.0  # a break in the rails; room for one bound beyond it
NEAR = 0.8  # a bound nearer than this many times the string's own span keeps the scale
FLAT = 0.1  # a string of one voltage gets a scale of this share of it
BEYOND = 3  # bounds shown beyond a break; the table has them all


@dataclass(slots=True)
class Scale:
    """Heights of voltages; ``breaks`` are the middles of the breaks in the rails."""

    low: float
    high: float
    top: float
    end: float = 0.0
    slots: dict[float, float] = field(default_factory=dict)
    breaks: list[float] = field(default_factory=list)

    @property
    def bottom(self) -> float:
        """The lower end of the part that has a scale."""
        return self.top + PLOT

    def y(self, volts: float) -> float:
        """Height at which a voltage stands."""
        if volts in self.slots:
            return self.slots[volts]
        return self.bottom - PLOT * (volts - self.low) / (self.high - self.low)

    def shows(self, bound: Bound) -> bool:
        """Whether a bound has a place on the ladder."""
        return bound.volts in self.slots or self.low <= bound.volts <= self.high


def choose(shown: Window) -> Scale:
    """Choose which voltages keep the scale, and give slots to the bounds beyond them."""
    lowest, highest = shown.rungs[0].volts, shown.rungs[-1].volts
    span = max(highest - lowest, FLAT * highest)
    near = [b.volts for b in shown.uppers if b.volts <= highest + NEAR * span]
    near += [b.volts for b in shown.lowers if b.volts >= lowest - NEAR * span]
    low, high = min(lowest, *near, highest), max(highest, *near, lowest)
    if high - low < FLAT * highest:
        low = high - FLAT * highest
    over = [b.volts for b in shown.uppers if b.volts > high][:BEYOND]
    under = [b.volts for b in shown.lowers if b.volts < low][:BEYOND]
    scale = Scale(low, high, HEAD + (BREAK + SLOT * (len(over) - 0.5) if over else ZONE))
    scale.end = scale.bottom + (BREAK + SLOT * (len(under) - 0.5) if under else ZONE)
    scale.slots = {volts: scale.top - BREAK - SLOT * place for place, volts in enumerate(over)}
    scale.slots |= {volts: scale.bottom + BREAK + SLOT * place for place, volts in enumerate(under)}
    scale.breaks = [scale.top - BREAK / 2] * bool(over) + [scale.bottom + BREAK / 2] * bool(under)
    return scale
