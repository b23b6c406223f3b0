"""Ends: whole repeats of the threading and the balancing end, shared out among the strips."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from dataclasses import dataclass
from functools import lru_cache

from weftline.core.piece.values import MAX_ENDS
from weftline.core.weave.threading import is_balanced, thread


@lru_cache(maxsize=256)
def balanced_rests(repeat: tuple[int, ...], start: int) -> tuple[int, ...]:
    """Return what is left over one repeat in every balanced number of ends that holds a repeat.

    Empty where the threading has no point: then no number of ends reads the same from both sides.

    Examples
    --------
    >>> balanced_rests((1, 2, 3, 2), 1), balanced_rests((1, 2, 3, 2), 2), balanced_rests((1, 2, 3, 4), 1)
    ((1,), (3,), ())
    """
    length = len(repeat)
    ends = thread(repeat, 2 * length, start)
    return tuple(count - length for count in range(length, 2 * length) if is_balanced(ends[:count]))


@lru_cache(maxsize=256)
def fitting_counts(repeat: tuple[int, ...], start: int, now: int) -> tuple[int, ...]:
    """Return every number of ends that a strip may have, rising.

    Parameters
    ----------
    repeat : tuple of int
        Shafts of one repeat.
    start : int
        Place in the repeat of the first end, from 1.
    now : int
        Ends that the strip has. A strip of a repeat or more keeps at least one whole repeat; where
        the threading has no point, the edges stay as they are and whole repeats come and go.

    Examples
    --------
    >>> fitting_counts((1, 2, 3, 2), 1, 37)[:3], fitting_counts((1, 2, 3, 4), 1, 10)[:3]
    ((5, 9, 13), (6, 10, 14))
    """
    length = len(repeat)
    rests = balanced_rests(repeat, start)
    if not rests:
        return tuple(range(length + now % length if now >= length else max(1, now), MAX_ENDS + 1, length))
    whole = [count for count in range(length, MAX_ENDS + 1) if (count - length) % length in rests and count > 1]
    if now >= length and whole:
        return tuple(whole)
    ends = thread(repeat, min(length, MAX_ENDS + 1), start)
    return (*(count for count in range(2, len(ends)) if is_balanced(ends[:count])), *whole)


@dataclass(frozen=True, slots=True)
class StripEnds:
    """A strip's place in the repeat and how many ends it has."""

    start: int
    now: int


def share_ends(
    repeat: tuple[int, ...], strips: tuple[StripEnds, ...], wanted: float, most: int
) -> tuple[int, ...] | None:
    """Return the ends of every strip, together nearest to a number; None where no numbers are few enough.

    Parameters
    ----------
    repeat : tuple of int
    strips : tuple of StripEnds
        Strips that are alike stay alike; each keeps its share of the whole.
    wanted : float
        Ends of all strips together.
    most : int
        More than this they must not be.

    Examples
    --------
    >>> share_ends((1, 2, 3, 2), (StripEnds(1, 41), StripEnds(1, 41)), 100, 4000)
    (49, 49)
    """
    kinds = sorted(set(strips), key=strips.index)
    members = [strips.count(kind) for kind in kinds]
    counts = [fitting_counts(repeat, kind.start, kind.now) for kind in kinds]
    if not all(counts):
        return None
    now = sum(strip.now for strip in strips)
    places = [_nearest(found, wanted * kind.now / now) for found, kind in zip(counts, kinds, strict=True)]

    def total(at: list[int]) -> int:
        return sum(found[place] * many for found, place, many in zip(counts, at, members, strict=True))

    while total(places) > most:
        shares = [found[at] / kind.now if at else -1.0 for found, at, kind in zip(counts, places, kinds, strict=True)]
        widest = max(range(len(shares)), key=shares.__getitem__)
        if shares[widest] < 0:
            return None
        places[widest] -= 1
    while True:
        steps = [
            [*places[:kind], places[kind] + step, *places[kind + 1 :]]
            for kind in range(len(kinds))
            for step in (-1, 1)
            if 0 <= places[kind] + step < len(counts[kind])
        ]
        better = [step for step in steps if total(step) <= most]
        best = min(better, key=lambda step: abs(total(step) - wanted), default=places)
        if abs(total(best) - wanted) >= abs(total(places) - wanted) - 1e-9:
            break
        places = best
    chosen = {kind: found[place] for kind, found, place in zip(kinds, counts, places, strict=True)}
    return tuple(chosen[strip] for strip in strips)


def _nearest(counts: tuple[int, ...], wanted: float) -> int:
    """Return the place of the count nearest to a number; of two, the greater."""
    above = min(bisect_left(counts, wanted), len(counts) - 1)
    below = max(above - 1, 0)
    return below if abs(counts[below] - wanted) < abs(counts[above] - wanted) else above


def at_most(counts: tuple[int, ...], most: float) -> int | None:
    """Return the greatest count that is not above a number."""
    place = bisect_right(counts, most)
    return counts[place - 1] if place else None
