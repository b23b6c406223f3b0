"""Where the cloth mirrors: for every middle, how many pairs of lines answer each other on both sides.

Five kinds of middle, by the line that the way forth ends with (``c``):

===================  =======================  ==================
middle               pairs, from the inside   answers by
===================  =======================  ==================
``LINES_SINGLE``     c - 1 and c + 1          the same line
``LINES_DOUBLE``     c and c + 1              the same line
``PICKS_DOUBLE``     c and c + 1              the line turned
``PICKS_SINGLE``     c - 1 and c + 2          the line turned
``PICKS_POINT``      c - 1 and c + 1          the line turned
===================  =======================  ==================

At a ``PICKS_SINGLE`` line c + 1 is line c turned without its first pick; at a ``PICKS_POINT`` line c
is a single pick, so that nothing is left of it on the way back. Arms grow all at once, a pair a
step, and each drops out where it breaks: the steps together are as many as there are pairs.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from weftline.core.piece.values import Meeting, Mirror
    from weftline.core.weaving.stretch import Stretch

MAX_ARM = 2000
"""Mirrors of more lines a side are not looked for."""

SLIP_WORDS = 4
"""Words for saying of one pick that it differs from the symmetry."""

MOST_DISTINCT = 500
"""Up to so many distinct lines, every pair is compared once and for all."""

APART = 1000
"""More than any number of differing picks: two lines that cannot be meant as equals."""


@dataclass(frozen=True, slots=True)
class Middle:
    """A kind of middle; ``left`` and ``right`` are the innermost pair, counted from the line ``c``."""

    mirror: Mirror
    meeting: Meeting
    left: int
    right: int


LINES_SINGLE = Middle("lines", "single", -1, 1)
LINES_DOUBLE = Middle("lines", "double", 0, 1)
PICKS_DOUBLE = Middle("picks", "double", 0, 1)
PICKS_SINGLE = Middle("picks", "single", -1, 2)
PICKS_POINT = Middle("picks", "single", -1, 1)
MIDDLES = (LINES_SINGLE, LINES_DOUBLE, PICKS_DOUBLE, PICKS_SINGLE, PICKS_POINT)


class Likeness:
    """In how many picks two lines of a stretch differ; lines in other sheds or orders are always ``APART``.

    Parameters
    ----------
    stretch : Stretch
    allowed : int
        Lines that differ in more picks are ``APART``; 0 asks for equality.
    """

    def __init__(self, stretch: Stretch, allowed: int) -> None:
        self.stretch = stretch
        self.allowed = allowed

    def between(
        self, left: NDArray[np.int64] | slice, right: NDArray[np.int64] | slice, mirror: Mirror = "lines"
    ) -> NDArray[np.int64]:
        """Return how many picks differ, the right lines turned where picks are mirrored."""
        stretch = self.stretch
        if not self.allowed:
            answer = stretch.turned if mirror == "picks" else stretch.ids
            return np.where(stretch.ids[left] == answer[right], 0, APART)
        table = self._tables.get(mirror)
        if table is not None:
            ids = self._dense
            return table[ids[left], ids[right]]
        return self._compared(left, right, mirror)

    def _compared(
        self, left: NDArray[np.int64] | slice, right: NDArray[np.int64] | slice, mirror: Mirror
    ) -> NDArray[np.int64]:
        stretch = self.stretch
        here, there = stretch.tokens[left], stretch.tokens[right]
        found = (here != there).sum(axis=1)
        same_sheds = stretch.thrown[left] == stretch.thrown[right]
        same_way = stretch.direction[left] == stretch.direction[right] * (-1 if mirror == "picks" else 1)
        return np.where(same_way & same_sheds & (found <= self.allowed), found, APART)

    @cached_property
    def _dense(self) -> NDArray[np.int64]:
        """(lines,) int64: distinct lines numbered from 0."""
        return np.asarray(np.unique(self.stretch.ids, return_inverse=True)[1], dtype=np.int64)

    @cached_property
    def _tables(self) -> dict[Mirror, NDArray[np.int64]]:
        """(distinct, distinct) int64 for each way of mirroring, where the lines are few: differing picks."""
        first = np.unique(self.stretch.ids, return_index=True)[1]
        count = len(first)
        if count > MOST_DISTINCT:
            return {}
        left, right = np.repeat(first, count), np.tile(first, count)
        ways: tuple[Mirror, ...] = ("lines", "picks")
        return {way: self._compared(left, right, way).reshape(count, count) for way in ways}

    def clipped(self, whole: int, left: int, turned: bool = False) -> int:
        """Return how many picks differ between a line without its first pick, turned before if asked, and another."""
        stretch = self.stretch
        number = int((stretch.turned_clipped if turned else stretch.clipped)[whole])
        if number == int(stretch.ids[left]):
            return 0
        if number < 0 or not self.allowed:
            return APART
        (way, tokens), there = stretch.alphabet.lines[number], stretch.alphabet.lines[int(stretch.ids[left])]
        if way != there[0] or any((a < 0) != (b < 0) for a, b in zip(tokens, there[1], strict=True)):
            return APART
        differing = sum(a != b for a, b in zip(tokens, there[1], strict=True))
        return differing if differing <= self.allowed else APART

    @cached_property
    def point(self) -> NDArray[np.int64]:
        """(lines,) int64: picks in which line c + 1 differs from line c turned without its first pick."""
        stretch = self.stretch
        found = np.full(len(stretch), APART)
        fits = (stretch.picks[:-1] == stretch.picks[1:] + 1) & (stretch.picks[:-1] > 1)
        for c in np.flatnonzero(fits).tolist():
            found[c] = self.clipped(c, c + 1, turned=True)
        return found


def arms(likeness: Likeness, middle: Middle) -> NDArray[np.int64]:
    """Return for each line, as the last on the way forth, how many pairs answer each other.

    Returns
    -------
    (lines,) int64
        -1 where there cannot be such a middle.
    """
    stretch = likeness.stretch
    count = len(stretch)
    possible = np.ones(count, dtype=bool)
    lost = np.zeros(count, dtype=np.int64)
    if middle is PICKS_SINGLE:
        possible = likeness.point < APART
        lost = np.where(possible, likeness.point, 0)
    elif middle is PICKS_POINT:
        possible = stretch.picks == 1
    found = np.where(possible, 0, -1)
    centre = np.flatnonzero(possible)
    sheds = stretch.tokens.shape[1]
    for step in range(MAX_ARM):
        left, right = centre + middle.left - step, centre + middle.right + step
        inside = (left >= 0) & (right < count)
        centre, left, right = centre[inside], left[inside], right[inside]
        if not len(centre):
            break
        lost[centre] += likeness.between(left, right, middle.mirror)
        centre = centre[SLIP_WORDS * lost[centre] <= sheds * (step + 1) + 2]
        found[centre] = step + 1
    return found
