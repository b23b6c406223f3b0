"""Bands to picks: ``*n``, then ``mirror``, then ``times``, then ``resume``.

Way of the data: the written lines become rows of windings (one column a shed); rows become base
picks in the order in which they are thrown; a *copy* is a selection of base picks with the line
that each belongs to; mirroring and repeating only choose and number such selections, so that every
pick still knows its written line and its shed.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from weftline.core.piece.values import MAX_PICKS
from weftline.core.weave.picks import Picks
from weftline.errors import PieceTooLargeError

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from weftline.core.piece.values import Band
    from weftline.core.piece.written import ReadBand


def too_many_picks(path: str, count: int) -> PieceTooLargeError:
    """Return the refusal of a piece with too many picks."""
    return PieceTooLargeError(path, f"a piece has at most {MAX_PICKS:,} picks, this makes {count:,}; repeat less")


@dataclass(frozen=True, eq=False)
class _Base:
    """Every pick of the written lines once, in the order thrown.

    Parameters
    ----------
    line, slot, wound, written : (picks,) int
        Line within the band after ``*n``, shed within the line, winding, index of the written line.
    """

    line: NDArray[np.int32]
    slot: NDArray[np.int16]
    wound: NDArray[np.int32]
    written: NDArray[np.int32]


@dataclass(frozen=True, eq=False)
class _Copy:
    """A selection of base picks: which pick, and a label that is equal exactly within one line."""

    pick: NDArray[np.int64]
    line: NDArray[np.int64]

    def without_first(self, mirror: str) -> _Copy:
        """Return the copy without its first thrown pick, or its first line where lines are mirrored."""
        drop = int(np.searchsorted(self.line != self.line[0], True)) if mirror == "lines" else 1
        return _Copy(self.pick[drop:], self.line[drop:])


def _base(read: ReadBand, path: str) -> _Base:
    times = np.array([line.times for line in read.lines], dtype=np.int64)
    sheds = len(read.sheds)
    lines = int(times.sum())
    if lines > MAX_PICKS:
        raise too_many_picks(path, lines)
    written = np.repeat(np.arange(len(times), dtype=np.int32), times)
    rows = np.array(read.windings, dtype=np.int32)
    back = np.array([line.back for line in read.lines])
    slots = np.arange(sheds, dtype=np.int16)
    order = np.where(back[:, None], slots[::-1], slots)  # (written lines, sheds): slot thrown j-th
    thrown = np.take_along_axis(rows, order.astype(np.int64), axis=1)[written]
    real = thrown >= 0
    line = np.broadcast_to(np.arange(lines, dtype=np.int32)[:, None], thrown.shape)[real]
    return _Base(line, order[written][real], thrown[real], written[line])


def _forth(base: _Base) -> _Copy:
    return _Copy(np.arange(len(base.line)), base.line.astype(np.int64))


def _returning(base: _Base, mirror: str) -> _Copy:
    """Return the base picks coming back: line by line, each as it was, or pick by pick."""
    last = int(base.line[-1])
    if mirror == "picks":
        return _Copy(np.arange(len(base.line))[::-1], (last - base.line[::-1]).astype(np.int64))
    order = np.argsort(last - base.line, kind="stable")
    return _Copy(order, (last - base.line[order]).astype(np.int64))


def _stacked(copies: list[_Copy]) -> _Copy:
    """Return the copies one after the other; lines of different copies stay different lines."""
    feet = np.cumsum([0, *(int(copy.line.max(initial=-1)) + 1 for copy in copies[:-1])])
    return _Copy(
        np.concatenate([copy.pick for copy in copies]),
        np.concatenate([copy.line + foot for copy, foot in zip(copies, feet, strict=True)]),
    )


def _repeated(unit: _Copy, later: _Copy, times: int) -> _Copy:
    """Return the unit followed by ``times - 1`` later copies."""
    foot = int(unit.line.max(initial=-1)) + 1
    feet = np.repeat(np.arange(1, times) * foot, len(later.pick))
    return _Copy(
        np.concatenate([unit.pick, np.tile(later.pick, times - 1)]),
        np.concatenate([unit.line, np.tile(later.line, times - 1) + feet]),
    )


def _expanded(base: _Base, band: Band, path: str) -> _Copy:
    unit = _forth(base)
    later = unit
    if band.mirror != "none":
        returning = _returning(base, band.mirror)
        if band.middle == "single":
            returning = returning.without_first(band.mirror)
        unit = later = _stacked([unit, returning])
        if (band.joint or band.middle) == "single":
            later = unit.without_first(band.mirror)
    total = len(unit.pick) + len(later.pick) * (band.times - 1)
    if total > MAX_PICKS:
        raise too_many_picks(path, total)
    return _repeated(unit, later, band.times) if band.times > 1 else unit


def expand_band(
    read: ReadBand, band: Band, index: int, line_height_mm: float, path: str, shed_before: int | None
) -> tuple[Picks, bool]:
    """Expand one band.

    Parameters
    ----------
    read : ReadBand
        The band's lines, read.
    band : Band
    index : int
        Place of the band in its strip.
    line_height_mm : float
        Height of a whole line.
    path : str
        Where the band stands, for messages.
    shed_before : int or None
        Bit mask of the last pick below this band in its strip and piece.

    Returns
    -------
    picks : Picks
        Lines numbered from 0.
    resumed : bool
        Whether ``resume`` dropped the first pick.

    Raises
    ------
    PieceTooLargeError
        When the band alone has more than 200,000 picks.
    """
    base = _base(read, path)
    copy = _expanded(base, band, path)
    sheds = np.array(read.sheds, dtype=np.uint16)
    resumed = bool(band.resume and int(sheds[base.slot[copy.pick[0]]]) == shed_before)
    if resumed:
        copy = _Copy(copy.pick[1:], copy.line[1:])
    slot = base.slot[copy.pick]
    new_line = np.concatenate([[False], copy.line[1:] != copy.line[:-1]]) if len(slot) else np.zeros(0, dtype=np.bool_)
    picks = Picks(
        shed=sheds[slot],
        wound=base.wound[copy.pick],
        line=np.cumsum(new_line, dtype=np.int32),
        slot=slot,
        band=np.full(len(slot), index, dtype=np.int16),
        written=base.written[copy.pick],
        step_mm=np.full(len(slot), line_height_mm / len(sheds)),
    )
    return picks, resumed
