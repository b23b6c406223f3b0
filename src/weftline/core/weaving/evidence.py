"""Whether a symmetry with slips is more than chance.

A band with slips is believed where telling its lines by the symmetry, slips and all, takes fewer
bits than telling them one by one, by more than it takes to say which of all possible symmetries is
meant. A line that goes on like the one before it tells little, a rare line tells much.
"""

from __future__ import annotations

from collections import Counter
from math import log2
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from collections.abc import Sequence

    from weftline.core.weaving.stretch import Coded, Stretch

SURE_BITS = 5.0
"""Bits beyond the choice of a symmetry; found by trial: fewer claim more of cloth that has no slips."""

RUN_EQUALS = 4
"""Equal lines in a row that make one other line among them a slip; fewer are a dotted line."""

RUN_SLIPS = 0.1
"""Share of a run that may be slips, beyond the first."""

KINDS_OF_MIDDLE = 5


class Evidence:
    """How much a line of a stretch tells.

    Parameters
    ----------
    stretch : Stretch
    """

    def __init__(self, stretch: Stretch) -> None:
        ids = stretch.ids
        goes_on = ids[1:] == ids[:-1]
        heads = ids[np.concatenate([[True], ~goes_on])].tolist()
        self.heads = Counter(stretch.alphabet.lines[number] for number in heads)
        self.total = len(heads) + 1
        share = (int(np.count_nonzero(goes_on)) + 1) / (len(ids) + 1)
        self.bits_going_on = -log2(min(share, 1 - 1 / (len(ids) + 1)))
        self.bits_new = -log2(1 - share) if share < 1 else log2(len(ids) + 1)
        sheds = stretch.tokens.shape[1]
        self.choices = sheds * max(2, int(stretch.tokens.max()) + 2)
        self.needed = log2(KINDS_OF_MIDDLE * len(ids)) + SURE_BITS

    def bits(self, line: Coded, before: Coded | None) -> float:
        """Return what it takes to tell a line after another."""
        if line == before:
            return self.bits_going_on
        return self.bits_new - log2(max(self.heads[line], 1) / self.total)

    def convinces(self, lines: Sequence[Coded], equal: Sequence[int], differing: Sequence[int]) -> bool:
        """Return whether a band with slips is believed.

        Parameters
        ----------
        lines : sequence of Coded
            The written lines as they are meant, ``*n`` multiplied out.
        equal, differing : sequence of int
            How many woven lines of each are as meant, and how many are not.
        """
        woven = sum(equal) + sum(differing)
        slip_bits = log2(woven * self.choices)
        saved = 0.0
        for place, line in enumerate(lines):
            bits = self.bits(line, lines[place - 1] if place else None)
            saved += max(equal[place] + differing[place] - 1, 0) * bits - differing[place] * slip_bits
        return saved > self.needed


def run_convinces(equal: int, differing: int) -> bool:
    """Return whether other lines in a run of equal ones are believed to be slips.

    Examples
    --------
    >>> run_convinces(6, 1), run_convinces(2, 1), run_convinces(8, 4)
    (True, False, False)
    """
    return equal >= RUN_EQUALS and differing <= max(1, RUN_SLIPS * (equal + differing))
