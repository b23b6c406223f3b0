"""Quantiles of Student's t: how far out an interval reaches when the scale itself is uncertain."""

from __future__ import annotations

from functools import lru_cache
from math import atan, copysign, cos, exp, lgamma, pi, sqrt

HALVINGS = 80
"""The quantile is found by halving so often."""

GAUSS = ((0.1834346424956498, 0.3626837833783620), (0.5255324099163290, 0.3137066458778873),
         (0.7966664774136267, 0.2223810344533745), (0.9602898564975363, 0.1012285362903763))  # fmt: skip
"""Places and weights of the Gauss-Legendre rule of eight points (Abramowitz and Stegun, table 25.4)."""

PANELS = 16


@lru_cache(maxsize=512)
def t_quantile(share: float, degrees: float) -> float:
    """Return the value that a Student t of so many degrees of freedom stays below in a share of cases.

    Parameters
    ----------
    share : float
        Between 0 and 1, ends left out.
    degrees : float
        At least 1; need not be whole.

    Raises
    ------
    ValueError
        For a share or degrees outside these.

    Notes
    -----
    With ``t = sqrt(degrees) tan(u)`` the density is a power of the cosine, smooth on a closed interval: it is
    summed by Gauss's rule and the quantile found by halving: good to 1e-7 at one degree and from two on.

    Examples
    --------
    >>> round(t_quantile(0.95, 10), 4), round(t_quantile(0.975, 1), 4), t_quantile(0.5, 3)
    (1.8125, 12.7062, 0.0)
    """
    if not 0 < share < 1 or degrees < 1:
        raise ValueError(f"share {share}, degrees {degrees}: the share lies between 0 and 1, the degrees are 1 or more")
    if share == 0.5:
        return 0.0
    low, high = 0.0, 1.0
    wanted = abs(share - 0.5)
    while _middle(high, degrees) < wanted and high < 1e12:
        high *= 2
    for _ in range(HALVINGS):
        at = (low + high) / 2
        low, high = (at, high) if _middle(at, degrees) < wanted else (low, at)
    return copysign((low + high) / 2, share - 0.5)


def _middle(t: float, degrees: float) -> float:
    """Return how much of a Student t lies from 0 to ``t``."""
    end = atan(t / sqrt(degrees))
    step = end / PANELS
    total = 0.0
    for panel in range(PANELS):
        middle = (panel + 0.5) * step
        for place, weight in GAUSS:
            for angle in (middle - place * step / 2, middle + place * step / 2):
                total += weight * cos(angle) ** (degrees - 1)
    norm = exp(lgamma((degrees + 1) / 2) - lgamma(degrees / 2)) / sqrt(pi)
    return norm * total * step / 2
