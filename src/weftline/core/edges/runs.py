"""Runs of a yarn: carried up the edge over a short gap, cut and joined in again over a long one.

Source for carrying over one or two rows and cutting otherwise: warpedforgood.com (outsmart the rag
rug weft tails); common practice.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from weftline.core.weave.picks import Weaving, Winding

CARRIED_LINES = 2
"""A yarn out for more whole lines than this is cut."""


@dataclass(frozen=True, slots=True)
class YarnUse:
    """What one yarn does in one strip, woven once.

    Parameters
    ----------
    passes : int
        Strands laid from edge to edge, all picks together.
    runs : int
        How often it is started.
    run_strands : int
        Sum over the runs of the most strands thrown together; each needs two tails a run.
    """

    passes: int
    runs: int
    run_strands: int


StrandsByYarn = dict[str, tuple["NDArray[np.int32]", "NDArray[np.int32]"]]
"""For each yarn the windings that hold it and how many strands of it each holds."""


def strands_by_yarn(windings: tuple[Winding, ...]) -> StrandsByYarn:
    """Return the windings turned about: yarn by yarn, in the order in which they are first named."""
    found: dict[str, tuple[list[int], list[int]]] = {}
    for place, winding in enumerate(windings):
        for key, count in winding:
            places, counts = found.setdefault(key, ([], []))
            places.append(place)
            counts.append(count)
    return {key: (np.array(places, np.int32), np.array(counts, np.int32)) for key, (places, counts) in found.items()}


def yarn_uses(weaving: Weaving, strands: StrandsByYarn) -> dict[str, YarnUse]:
    """Return the use of every yarn that is thrown in a strip."""
    uses = {}
    for key, (places, counts) in strands.items():
        per_winding = np.zeros(len(weaving.windings), dtype=np.int32)
        per_winding[places] = counts
        thrown = per_winding[weaving.picks.wound]
        picks = np.flatnonzero(thrown)
        if len(picks):
            idle = np.diff(weaving.picks.line[picks]) - 1
            starts = np.concatenate([[0], np.flatnonzero(idle > CARRIED_LINES) + 1])
            most = np.maximum.reduceat(thrown[picks], starts)
            uses[key] = YarnUse(int(thrown.sum()), len(starts), int(most.sum()))
    return uses
