"""One root finder for every place where no explicit answer exists."""

from collections.abc import Callable

_MOST_STEPS = 200

_RELATIVE = 1e-15
"""Share of its size to which a root is found: a few steps between neighbouring floats."""

_HALF = 0.5


def bracketed_root(
    f: Callable[[float], float], low: float, high: float, ends: tuple[float, float] | None = None
) -> float:
    """Where between low and high does f change sign?

    Inverse quadratic interpolation where the last three points allow it, halving where they do not, so that it can
    neither leave the bracket nor stall.

    Cites:
        Chandrupatla 1997, doi:10.1016/s0965-9978(96)00051-8 (the rule; from memory)

    Args:
        f: a function of one float.
        low: one end, where f has the other sign than at high, or is 0.
        high: the other end.
        ends: f at low and at high, where they are known already.

    Refuses (ValueError) when f has the same sign at both ends: a fault of ours, never of a reader.
    """
    fb, fa = (f(low), f(high)) if ends is None else ends
    a, b = high, low
    if fa == 0.0 or fb == 0.0:
        return a if fa == 0.0 else b
    if (fa > 0.0) == (fb > 0.0):
        raise ValueError(f"no change of sign between {low!r} ({fb!r}) and {high!r} ({fa!r})")
    share = _HALF
    for _ in range(_MOST_STEPS):
        new = a + share * (b - a)
        f_new = f(new)
        if (f_new > 0.0) == (fa > 0.0):
            c, fc = a, fa
        else:
            c, b, fc, fb = b, a, fb, fa
        a, fa = new, f_new
        best = a if abs(fa) < abs(fb) else b
        room = _RELATIVE * abs(best) / abs(b - a) if b != a else 1.0
        if room > _HALF or fa == 0.0:
            break
        share = min(max(_next_share(a, b, c, fa, fb, fc), room), 1.0 - room)
    return best


def _next_share(a: float, b: float, c: float, fa: float, fb: float, fc: float) -> float:
    """How far from a towards b to try next, as a share of the bracket."""
    xi, phi = (a - b) / (c - b), (fa - fb) / (fc - fb)
    if not (phi * phi < xi and (1.0 - phi) * (1.0 - phi) < 1.0 - xi):
        return _HALF
    return fa / (fb - fa) * fc / (fb - fc) + (c - a) / (b - a) * fa / (fc - fa) * fb / (fc - fb)
