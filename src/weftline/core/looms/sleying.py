"""A warp in the reed: the order of ends, how true it is to the sett, and in which dents each strip stands."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from math import floor
from typing import TYPE_CHECKING

from weftline.core.looms.densities import DensityError
from weftline.core.looms.reed import (
    LONGEST,
    SHORT,
    Sley,
    doubled_edges,
    first_dent,
    left_of_middle,
    reach,
    sley_of,
    stand,
)

if TYPE_CHECKING:
    from collections.abc import Sequence

MOST_ENDS = 4000
MOST_DOUBLED = 20
MOST_EMPTY = 200
"""A sett so open that more dents stay empty between two ends is a slip of the pen."""


@dataclass(frozen=True, slots=True)
class StripInReed:
    """One strip in the reed.

    Parameters
    ----------
    name : str
    ends : int
        Working ends, without those that double an edge.
    edge_ends : int
        Ends that double its outermost dents, both sides together.
    dents : int
        How many it reaches over.
    left_of_middle : int
        Its first dent, counted leftwards from the middle of the reed; 0 or less lies right of it.
    first_dent, last_dent : int or None
        Counted from 1 at the left end of the reed, where its width is known.
    width_cm : Fraction
        ``ends`` at the sett that the order really gives.
    spread : tuple of int
        Ends in each of its dents, edges doubled where wanted.
    """

    name: str
    ends: int
    edge_ends: int
    dents: int
    left_of_middle: int
    first_dent: int | None
    last_dent: int | None
    width_cm: Fraction
    spread: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Sleying:
    """How a warp is sleyed.

    Parameters
    ----------
    sley : Sley
        The order of ends.
    wanted_per_cm, actual_per_cm : Fraction
        The sett asked for and the one that the order gives.
    dents_per_cm : Fraction
        Of the reed.
    reed_dents : int or None
        Dents of the whole reed, where its width is known.
    strips : tuple of StripInReed
        Empty where only the order was asked for.
    """

    sley: Sley
    wanted_per_cm: Fraction
    actual_per_cm: Fraction
    dents_per_cm: Fraction
    reed_dents: int | None
    strips: tuple[StripInReed, ...] = ()

    @property
    def deviation(self) -> float:
        """How much closer the actual sett is than the one asked for, as a share of it."""
        return float(self.actual_per_cm / self.wanted_per_cm - 1)


@dataclass(frozen=True, slots=True)
class StripWanted:
    """A strip that is to stand in the reed: its name, its working ends and the empty cm after it."""

    name: str
    ends: int
    gap_after_cm: Fraction = Fraction(0)


def sleying(
    sett_per_cm: Fraction,
    dents_per_cm: Fraction,
    strips: Sequence[StripWanted] = (),
    doubled: int = 0,
    reed_cm: Fraction | None = None,
    longest: int = LONGEST,
) -> Sleying:
    """Return how a warp is sleyed, its strips centred in the reed.

    Parameters
    ----------
    sett_per_cm, dents_per_cm : Fraction
        Exact.
    strips : sequence of StripWanted
        From the left.
    doubled : int
        Outermost filled dents at each side of each strip that take twice their ends.
    reed_cm : Fraction, optional
        Width of the reed.
    longest : int
        Dents that an order may take before it comes again; the nearest one takes at most 4 unless this is set lower.

    Raises
    ------
    DensityError
        When the sett does not fit the reed, or the strips do not fit its width.

    Examples
    --------
    >>> found = sleying(Fraction(6) / Fraction("2.54"), Fraction(8) / Fraction("2.54"))
    >>> found.sley.order, float(found.actual_per_cm * Fraction("2.54")), found.deviation
    ((1, 1, 1, 0), 6.0, 0.0)
    """
    _refuse(sett_per_cm / dents_per_cm, strips, doubled, longest)
    sley = sley_of(sett_per_cm, dents_per_cm * 10, longest, min(SHORT, longest))
    actual = sley.per_dent * dents_per_cm
    stands = stand(sley, [one.ends for one in strips], [round(one.gap_after_cm * dents_per_cm) for one in strips])
    span, reed_dents = reach(stands), None if reed_cm is None else floor(reed_cm * dents_per_cm)
    first = None if reed_dents is None else first_dent(span, reed_dents)
    if reed_dents is not None and first is None:
        raise DensityError(
            f"the warp takes {span} dents and a reed of {float(reed_cm or 0):.4g} cm has {reed_dents}; "
            "use fewer ends, a closer sett or a finer reed."
        )
    placed = []
    for wanted, one in zip(strips, stands, strict=True):
        plain = sley.spread(one.ends)
        spread = doubled_edges(plain, doubled)
        placed.append(
            StripInReed(
                wanted.name,
                one.ends,
                sum(spread) - one.ends,
                one.dents,
                left_of_middle(span) - one.foot,
                None if first is None else first + one.foot,
                None if first is None else first + one.foot + one.dents - 1,
                one.ends / actual,
                spread,
            )
        )
    return Sleying(sley, sett_per_cm, actual, dents_per_cm, reed_dents, tuple(placed))


def ends_for_width(width_cm: Fraction, sett_per_cm: Fraction) -> int:
    """Return how many ends stand in a width, to the nearest whole one.

    Examples
    --------
    >>> ends_for_width(Fraction(82), Fraction(3)), ends_for_width(Fraction("53.34"), 4 / Fraction("2.54"))
    (246, 84)
    """
    return max(1, floor(width_cm * sett_per_cm + Fraction(1, 2)))


def _refuse(per_dent: Fraction, strips: Sequence[StripWanted], doubled: int, longest: int) -> None:
    if per_dent > MOST_EMPTY or per_dent * MOST_EMPTY < 1:
        raise DensityError(
            f"that sett puts {float(per_dent):.3g} ends in a dent; choose a reed that is nearer to it, and look at the units."
        )
    if any(not 1 <= one.ends <= MOST_ENDS for one in strips) or sum(one.ends for one in strips) > MOST_ENDS:
        raise DensityError(f"a warp has 1 to {MOST_ENDS:,} ends, this one {sum(one.ends for one in strips):,}.")
    if not 0 <= doubled <= MOST_DOUBLED:
        raise DensityError(f"{doubled} dents cannot be doubled at each edge; give 0 to {MOST_DOUBLED}.")
    if not 1 <= longest <= 100:
        raise DensityError(f"an order of {longest} dents is none; give 1 to 100.")
