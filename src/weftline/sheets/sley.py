"""Sleying: how many ends in each dent, spread evenly, and how far that reaches."""

from __future__ import annotations

import math
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise

LONGEST = 12
"""Dents after which an exact order of ends may come again; a longer one is no help at the reed."""

SHORT = 4
"""Dents of the nearest order, where no exact one is short enough."""


@dataclass(frozen=True, slots=True)
class Sley:
    """How ends are spread in a reed.

    Parameters
    ----------
    per_dent : Fraction
        Ends in a dent, on average.
    is_exact : bool
        Whether that is what the sett asks for.
    """

    per_dent: Fraction
    is_exact: bool

    @property
    def order(self) -> tuple[int, ...]:
        """Ends in each dent, again and again."""
        tops = [math.ceil(self.per_dent * dent) for dent in range(self.per_dent.denominator + 1)]
        return tuple(after - before for before, after in pairwise(tops))

    def dents(self, ends: int) -> int:
        """Return how many dents so many ends reach over, counted from the start of the order."""
        return math.floor((ends - 1) / self.per_dent) + 1 if ends else 0


def sley_of(sett_per_cm: float, dents_per_10cm: float) -> Sley:
    """Return the sley for a sett in a reed.

    Examples
    --------
    >>> sley_of(2.4, 30).order, sley_of(3.0, 20).order
    ((1, 1, 1, 1, 0), (2, 1))
    """
    wanted = sett_per_cm * 10 / dents_per_10cm
    near = Fraction(wanted).limit_denominator(LONGEST)
    if near > 0 and math.isclose(float(near), wanted, rel_tol=1e-6):
        return Sley(near, True)
    near = Fraction(wanted).limit_denominator(SHORT)
    return Sley(near if near > 0 else Fraction(1, max(1, round(1 / wanted))), False)
