"""The Lambert W function of an exponential, for the explicit form of the single-diode equation."""

from math import exp, log

_TINY, _LOW, _HIGH = -37.0, -2.0, 4.0
"""Where the exponential alone is exact to the last bit, and where the starting value changes its form."""

_CLOSE = 1e-4
"""How close the starting value must be for one step to be enough: what a step leaves is its fourth power."""


def lambert_w_exp(x: float) -> float:
    """The number w with w + ln w = x, that is W(eˣ), without ever forming eˣ for a large x.

    In a cold or well-shunted module the argument of W overflows a float; its logarithm does not. A starting value in
    three ranges of x is followed by one or two steps of a fourth-order rule, which leave a few units in the last place.

    Cites:
        Fritsch, Shafer, Crowley 1973, algorithm 443 (the step; from memory)
        Lawrence, Corless, Jeffrey 2012, doi:10.1145/2168773.2168779 (the ranges; from memory)

    Args:
        x: the logarithm of W's argument, without unit, below 1e100 in size.
    """
    if x < _TINY:
        return exp(x)
    if x < _LOW:
        power = exp(x)
        w = power * (1.0 - power * (1.0 - 1.5 * power))
    elif x < _HIGH:
        d = x - 1.0
        w = 1.0 + d * (0.5 + d * (1.0 / 16.0 - d * (1.0 / 192.0 + d / 3072.0)))
    else:
        log_x = log(x)
        w = x - log_x + log_x / x
    for _ in range(2):
        r = x - w - log(w)
        u = 1.0 + w
        q = 2.0 * u * (u + 2.0 * r / 3.0)
        w *= 1.0 + (r / u) * (q - r) / (q - 2.0 * r)
        if -_CLOSE < r < _CLOSE:
            break
    return w
