"""The reed: how many ends in each dent, spread evenly, how far they reach, and in which dent to begin."""

from __future__ import annotations

import math
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Sequence

LONGEST = 12
"""Dents after which an exact order of ends may come again; a longer one is no help at the reed."""

SHORT = 4
"""Dents of the nearest order, where no exact one is short enough."""

CM_PER_INCH = Fraction(254, 100)


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
        """Ends in each dent, again and again: as even as whole ends can be, the fuller dents first."""
        return self.first(self.per_dent.denominator)

    def first(self, dents: int) -> tuple[int, ...]:
        """Return the ends in each of the first so many dents."""
        tops = [math.ceil(self.per_dent * dent) for dent in range(dents + 1)]
        return tuple(after - before for before, after in pairwise(tops))

    def dents(self, ends: int) -> int:
        """Return how many dents so many ends reach over, counted from the start of the order."""
        return math.floor((ends - 1) / self.per_dent) + 1 if ends else 0

    def spread(self, ends: int) -> tuple[int, ...]:
        """Return the ends in each dent of a strip; the last dent takes what is left.

        Examples
        --------
        >>> Sley(Fraction(4, 3), True).spread(7)
        (2, 1, 1, 2, 1)
        """
        found = list(self.first(self.dents(ends)))
        if found:
            found[-1] -= sum(found) - ends
        return tuple(found)


def sley_of(
    sett_per_cm: float | Fraction, dents_per_10cm: float | Fraction, longest: int = LONGEST, short: int = SHORT
) -> Sley:
    """Return the sley for a sett in a reed: the shortest order that is exact, or the nearest short one.

    Parameters
    ----------
    sett_per_cm, dents_per_10cm : float or Fraction
        Above 0.
    longest, short : int
        Dents that an exact order, and that the nearest order may take.

    Examples
    --------
    >>> sley_of(2.4, 30).order, sley_of(3.0, 20).order
    ((1, 1, 1, 1, 0), (2, 1))
    """
    exact = Fraction(sett_per_cm) * 10 / Fraction(dents_per_10cm)
    wanted = float(exact)
    near = exact.limit_denominator(longest)
    if near > 0 and math.isclose(float(near), wanted, rel_tol=1e-6):
        return Sley(near, True)
    near = exact.limit_denominator(short)
    return Sley(near if near > 0 else Fraction(1, max(1, round(1 / exact))), False)


@dataclass(frozen=True, slots=True)
class Stand:
    """Where a strip stands in the reed.

    Parameters
    ----------
    ends : int
        Working ends.
    foot : int
        Dents from the first dent that is used to the strip's own first dent.
    dents : int
        How many it reaches over.
    """

    ends: int
    foot: int
    dents: int


def stand(sley: Sley, ends: Sequence[int], gaps: Sequence[int] = ()) -> tuple[Stand, ...]:
    """Return where each strip stands.

    Parameters
    ----------
    ends : sequence of int
        Of each strip, from the left.
    gaps : sequence of int
        Empty dents between them.

    Examples
    --------
    >>> [one.foot for one in stand(sley_of(2.4, 30), [12, 12], [3])]
    [0, 17]
    """
    found, at = [], 0
    for place, number in enumerate(ends):
        dents = sley.dents(number)
        found.append(Stand(number, at, dents))
        at += dents + (gaps[place] if place < len(gaps) else 0)
    return tuple(found)


def reach(stands: Sequence[Stand]) -> int:
    """Return how many dents all strips reach over with the gaps between them."""
    return stands[-1].foot + stands[-1].dents if stands else 0


def left_of_middle(span: int) -> int:
    """Return which dent left of the middle of the reed the first end goes into: the half, the larger one.

    Examples
    --------
    >>> left_of_middle(84), left_of_middle(7)
    (42, 4)
    """
    return -(-span // 2)


def first_dent(span: int, reed_dents: int) -> int | None:
    """Return the dent of the first end, counted from 1 at the left end of the reed; None if it is too short.

    Examples
    --------
    >>> first_dent(84, 200), first_dent(7, 20), first_dent(21, 20)
    (59, 7, None)
    """
    spare = reed_dents - span
    return spare // 2 + 1 if spare >= 0 else None


def doubled_edges(spread: Sequence[int], dents: int) -> tuple[int, ...]:
    """Return a strip's ends in each dent with so many outermost filled dents at each side doubled.

    Examples
    --------
    >>> doubled_edges((1, 0, 1, 1, 0, 1), 2)
    (2, 0, 2, 2, 0, 2)
    """
    filled = [place for place, ends in enumerate(spread) if ends]
    outer = set(filled[:dents]) | set(filled[max(0, len(filled) - dents) :] if dents else ())
    return tuple(ends * (2 if place in outer else 1) for place, ends in enumerate(spread))
