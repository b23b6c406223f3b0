"""The face: which pick each bead comes from and how tall it stands."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from weftline.core.weave.picks import Picks, Weaving


@dataclass(frozen=True, eq=False)
class Beads:
    """The beads of one column, from the foot up.

    Parameters
    ----------
    pick : (beads,) int64
        Which pick shows.
    low_mm, high_mm : (beads,) float64
        Each bead grows halfway to its neighbours in the column; the outermost reach the cloth's ends.
    """

    pick: NDArray[np.int64]
    low_mm: NDArray[np.float64]
    high_mm: NDArray[np.float64]

    def at(self, height_mm: NDArray[np.float64]) -> NDArray[np.int64]:
        """Return which pick shows at each height, or -1 where the column has none."""
        if not len(self.pick):
            return np.full(len(height_mm), -1, dtype=np.int64)
        places = np.searchsorted(self.high_mm, height_mm, side="right")
        return self.pick[np.minimum(places, len(self.pick) - 1)]


def stack(chosen: NDArray[np.int64], picks: Picks) -> Beads:
    """Return the beads of a column in which just the chosen picks show, each grown halfway to the next."""
    centres = picks.centre_mm[chosen]
    between = (centres[1:] + centres[:-1]) / 2
    foot, top = np.zeros(min(len(chosen), 1)), np.full(min(len(chosen), 1), picks.height_mm)
    return Beads(chosen, np.concatenate([foot, between]), np.concatenate([between, top]))


def face_of_shaft(weaving: Weaving, shaft: int) -> Beads:
    """Return the beads on the face of every end that stands on this shaft.

    Source: the weave; a bead is where one pick covers one end.
    """
    return stack(np.flatnonzero(weaving.picks.shed >> np.uint16(shaft - 1) & 1), weaving.picks)


def face_columns(weaving: Weaving) -> list[Beads]:
    """Return the face column by column, left to right as the weaver sits; equal columns share one value."""
    by_shaft = {shaft: face_of_shaft(weaving, shaft) for shaft in weaving.shafts}
    return [by_shaft[int(shaft)] for shaft in weaving.ends]
