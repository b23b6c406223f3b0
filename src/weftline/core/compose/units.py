"""Units: what of a strip can come more or less often, borders kept and motifs whole."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Sequence

    from weftline.core.compose.looks import Look
    from weftline.core.piece.values import Band


@dataclass(frozen=True, slots=True)
class Unit:
    """What grows together.

    Parameters
    ----------
    bands : tuple of int
        Places in the strip: of one band, of two that answer each other, or of a run.
    is_run : bool
        Whether the bands come again one after another as copies; else each is repeated where it stands.
    cycle : int
        Bands of one copy of a run.
    now : int
        How often it comes.
    """

    bands: tuple[int, ...]
    is_run: bool = False
    cycle: int = 1
    now: int = 1


def units_of(bands: Sequence[Band], looks: Sequence[Look]) -> tuple[Unit, ...]:
    """Return the units of a strip; empty where nothing in it can be repeated.

    Bands that repeat between the first and the last come first; where the strip is alike from both
    ends, bands that answer each other go together. Where none repeats, a row of bands that comes
    again is continued; else what lies between the borders comes again as a whole. With fewer than
    three bands there is no border, or the lower of the two bands counts as one.
    """
    count = len(bands)
    inner = range(1, count - 1) if count > 2 else range(count)
    repeating = [at for at in inner if bands[at].times > 1 and looks[at].again]
    depth = _border_depth(bands, looks)
    middle = [at for at in repeating if depth <= at < count - depth] or repeating
    if middle:
        return _paired(middle, bands, looks)
    row = _row(bands, looks, depth)
    if row is not None:
        return (row,)
    if count == 2:
        taller = max(range(2), key=lambda at: looks[at].height_mm)
        run = range(taller, taller + 1)
    else:
        run = range(depth, count - depth) if count > 2 else inner
    if len(run) > 1:
        return (Unit(tuple(run), is_run=True, cycle=len(run)),)
    return tuple(_alone(at, bands[at], looks[at]) for at in run)


def _alone(at: int, band: Band, look: Look) -> Unit:
    """Return the unit of a band that comes once: repeated where it stands, or as copies where it would not meet well."""
    repeats = bool(look.again) and not look.meets_itself
    return Unit((at,), is_run=not repeats, now=band.times if repeats else 1)


def _answer(bands: Sequence[Band], looks: Sequence[Look], at: int) -> bool:
    other = len(bands) - 1 - at
    return bands[at].times == bands[other].times and looks[at].answers(looks[other])


def _border_depth(bands: Sequence[Band], looks: Sequence[Look]) -> int:
    """Return how many bands at the foot come again at the head; at least one, and a middle is left."""
    count, depth = len(bands), 0
    while depth < (count - 1) // 2 and _answer(bands, looks, depth):
        depth += 1
    return max(depth, 1 if count > 2 else 0)


def _paired(places: Sequence[int], bands: Sequence[Band], looks: Sequence[Look]) -> tuple[Unit, ...]:
    count = len(bands)
    if not all(_answer(bands, looks, at) for at in range((count + 1) // 2)):
        return tuple(Unit((at,), now=bands[at].times) for at in places)
    pairs = {at: (at, count - 1 - at) if at != count - 1 - at else (at,) for at in places if at <= count - 1 - at}
    return tuple(Unit(pair, now=bands[at].times) for at, pair in pairs.items())


def _row(bands: Sequence[Band], looks: Sequence[Look], depth: int) -> Unit | None:
    """Return the longest row around the middle in which the same bands come at least twice over."""
    count = len(bands)
    for edge in range(depth + 1):
        places = range(edge, count - edge)
        for cycle in range(1, len(places) // 2 + 1):
            if all(_same(bands, looks, at, at + cycle) for at in places[:-cycle]):
                return Unit(tuple(places), is_run=True, cycle=cycle, now=len(places) // cycle)
    return None


def _same(bands: Sequence[Band], looks: Sequence[Look], one: int, other: int) -> bool:
    return bands[one].times == bands[other].times and looks[one].is_like(looks[other])
