"""Picks as arrays: one strip of one piece in weaving order, and what it is woven on."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from weftline.core.weave.threading import Shafts

Winding = tuple[tuple[str, int], ...]
"""What one shuttle carries: (yarn key, strands), wound together."""


@dataclass(frozen=True, eq=False)
class Picks:
    """The picks of one strip in the order in which they are thrown.

    Parameters
    ----------
    shed : (picks,) uint16
        Bit mask of the shafts covered on the face.
    wound : (picks,) int32
        Index into the strip's windings.
    line : (picks,) int32
        Running line, from 0 at the foot; never falls.
    slot : (picks,) int16
        Place of the pick's shed in the order of its band's sheds, from 0.
    band : (picks,) int16
        Index of the band.
    written : (picks,) int32
        Index of the written line within its band.
    step_mm : (picks,) float64
        Height that the pick adds to the cloth: a whole line's height over the sheds of its band.
    """

    shed: NDArray[np.uint16]
    wound: NDArray[np.int32]
    line: NDArray[np.int32]
    slot: NDArray[np.int16]
    band: NDArray[np.int16]
    written: NDArray[np.int32]
    step_mm: NDArray[np.float64]

    def __len__(self) -> int:
        return len(self.shed)

    @property
    def line_count(self) -> int:
        """How many numbered lines there are."""
        return int(self.line[-1]) + 1 if len(self) else 0

    @cached_property
    def top_mm(self) -> NDArray[np.float64]:
        """(picks,) float64: height of the cloth when each pick has been beaten in."""
        return np.cumsum(self.step_mm)

    @cached_property
    def centre_mm(self) -> NDArray[np.float64]:
        """(picks,) float64: height of each pick's beads above the foot, (j - 1/2)/n of a line."""
        return self.top_mm - self.step_mm / 2

    @property
    def height_mm(self) -> float:
        """Woven length of the strip."""
        return float(self.top_mm[-1]) if len(self) else 0.0


PICK_ARRAYS = ("shed", "wound", "line", "slot", "band", "written", "step_mm")


NO_PICKS = Picks(
    shed=np.zeros(0, dtype=np.uint16),
    wound=np.zeros(0, dtype=np.int32),
    line=np.zeros(0, dtype=np.int32),
    slot=np.zeros(0, dtype=np.int16),
    band=np.zeros(0, dtype=np.int16),
    written=np.zeros(0, dtype=np.int32),
    step_mm=np.zeros(0, dtype=np.float64),
)
"""A bare warp."""


def join_picks(parts: list[Picks]) -> Picks:
    """Return the parts one above another, with lines numbered through."""
    if len(parts) < 2:
        return parts[0] if parts else NO_PICKS
    feet = np.cumsum([0, *(part.line_count for part in parts[:-1])], dtype=np.int32)
    joined = {name: np.concatenate([getattr(part, name) for part in parts]) for name in PICK_ARRAYS}
    joined["line"] = np.concatenate([part.line + foot for part, foot in zip(parts, feet, strict=True)])
    return Picks(**joined)


@dataclass(frozen=True, eq=False)
class Weaving:
    """One strip of cloth: its ends, its picks and the windings that the picks use.

    Parameters
    ----------
    ends : (ends,) uint8
        Shaft of each end, left to right as the weaver sits; floating and doubled ends not counted.
    picks : Picks
    windings : tuple of Winding
        What ``picks.wound`` points into.
    """

    ends: Shafts
    picks: Picks
    windings: tuple[Winding, ...]

    @cached_property
    def shafts(self) -> tuple[int, ...]:
        """The shafts that this strip's ends stand on, rising."""
        return tuple(int(shaft) for shaft in np.unique(self.ends))

    @cached_property
    def own_shed(self) -> NDArray[np.uint16]:
        """(picks,) uint16: each pick's shed without the shafts that this strip has no end on."""
        mask = sum(1 << (shaft - 1) for shaft in self.shafts)
        return self.picks.shed & np.uint16(mask)

    def covers(self, pick: int, end: int) -> bool:
        """Return whether a pick lies over an end on the face."""
        return bool(int(self.picks.shed[pick]) >> (int(self.ends[end]) - 1) & 1)


def drawdown(weaving: Weaving) -> NDArray[np.bool_]:
    """Return the cloth as picks x ends: True where the weft covers the end on the face.

    Returns
    -------
    (picks, ends) bool
    """
    return covered(weaving.picks.shed, weaving.ends)


def covered(sheds: NDArray[np.uint16], ends: Shafts) -> NDArray[np.bool_]:
    """Return (sheds, ends) bool: which ends each shed covers on the face."""
    return (sheds[:, None] >> (ends[None, :].astype(np.uint16) - 1) & 1).astype(np.bool_)
