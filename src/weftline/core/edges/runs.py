"""Runs of a yarn: carried up the edge over a short gap, cut and joined in again over a long one.

Source for carrying over one or two rows and cutting otherwise: warpedforgood.com (outsmart the rag
rug weft tails); common practice.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from weftline.core.weave.picks import Weaving

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


def yarn_uses(weaving: Weaving) -> dict[str, YarnUse]:
    """Return the use of every yarn in a strip, in the order of the windings that first name it."""
    strands: dict[str, list[int]] = {}
    for place, winding in enumerate(weaving.windings):
        for key, count in winding:
            strands.setdefault(key, [0] * len(weaving.windings))[place] = count
    uses = {}
    for key, per_winding in strands.items():
        thrown = np.array(per_winding, dtype=np.int32)[weaving.picks.wound]
        picks = np.flatnonzero(thrown)
        if len(picks):
            idle = np.diff(weaving.picks.line[picks]) - 1
            starts = np.concatenate([[0], np.flatnonzero(idle > CARRIED_LINES) + 1])
            most = np.maximum.reduceat(thrown[picks], starts)
            uses[key] = YarnUse(int(thrown.sum()), len(starts), int(most.sum()))
    return uses
