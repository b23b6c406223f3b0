"""How sure a count is: from its scatter when counted again, and from reading to the nearest half or whole."""

from __future__ import annotations

from dataclasses import dataclass
from math import hypot, sqrt
from typing import TYPE_CHECKING

from weftline.core.learning.spreads import HALF, RULER_MM
from weftline.core.learning.student import t_quantile

if TYPE_CHECKING:
    from collections.abc import Sequence


@dataclass(frozen=True, slots=True)
class Counted:
    """A mean of counts with how sure it is.

    Parameters
    ----------
    mean : float
    scatter : float
        Standard deviation of one count about the mean; 0 for a single one.
    unsure : float
        Standard uncertainty of the mean.
    far : float
        Half of the interval that holds the true mean in 95 of 100 cases; ``unsure`` alone for a single count.
    """

    mean: float
    scatter: float
    unsure: float
    far: float


def counted(counts: Sequence[float]) -> Counted:
    """Return the mean of counts of the same thing: ``u = s / sqrt(n)``, ``U = t(0.975, n - 1) u``.

    References
    ----------
    NIST Technical Note 1297, 1994, 5.1 and appendix B.

    Examples
    --------
    >>> found = counted([24, 25, 24, 23, 25])
    >>> round(found.mean, 1), round(found.scatter, 6), round(found.unsure, 6), round(found.far, 6)
    (24.2, 0.83666, 0.374166, 1.038851)
    """
    n = len(counts)
    mean = sum(counts) / n
    if n == 1:
        return Counted(mean, 0.0, HALF, HALF)
    scatter = sqrt(sum((count - mean) ** 2 for count in counts) / (n - 1))
    unsure = scatter / sqrt(n)
    return Counted(mean, scatter, unsure, t_quantile(0.975, n - 1) * unsure)


def half_unsure(over_cm: float) -> float:
    """Return how unsure threads per cm are when read to the nearest one over a length: ``0.5 / (sqrt(3) length)``.

    Examples
    --------
    >>> [round(half_unsure(cm), 5) for cm in (2, 5, 10)]
    [0.14434, 0.05774, 0.02887]
    """
    return 0.5 / (sqrt(3) * over_cm)


def log_unsure(counts: Sequence[float], over_mm: float) -> float:
    """Return how unsure the logarithm of a density is: counts to the nearest one over a length read by a ruler.

    Counts that scatter more than their rounding are believed no better than they agree.

    Examples
    --------
    >>> round(log_unsure([62], 150), 4)
    0.0057
    """
    found = counted(counts)
    rounded = HALF / sqrt(len(counts))
    return hypot(max(found.unsure, rounded) / found.mean, RULER_MM / over_mm)


def ratio_log_unsure(first_mm: float, second_mm: float, each_mm: float) -> float:
    """Return how unsure the logarithm of a ratio of two lengths is, each read to so much."""
    return hypot(each_mm / first_mm, each_mm / second_mm)
