"""What each band of a strip weaves once: to tell which bands are alike, answer each other, or can be repeated."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING

import numpy as np

from weftline.core.piece.expansion import expand_band
from weftline.core.piece.settings import line_height
from weftline.core.piece.written import LineReader, technique_of

if TYPE_CHECKING:
    from weftline.core.piece.cloth import Cloth
    from weftline.core.piece.values import Band, Project, Strip
    from weftline.core.weave.picks import Picks

Thrown = tuple[int, int, float]
"""Shed, winding, height added."""


@dataclass(frozen=True, slots=True)
class Look:
    """One copy of a band.

    Parameters
    ----------
    picks : tuple of Thrown
        In the order thrown, without any resume.
    lines : tuple of tuple of Thrown
        The same, line by line.
    again : tuple of Thrown
        What a second copy adds.
    distinct : int
        Different lines among the written ones.
    """

    picks: tuple[Thrown, ...]
    lines: tuple[tuple[Thrown, ...], ...]
    again: tuple[Thrown, ...]
    distinct: int

    @property
    def height_mm(self) -> float:
        """Height of one copy."""
        return sum(step for _, _, step in self.picks)

    @property
    def again_mm(self) -> float:
        """Height that every further copy adds."""
        return sum(step for _, _, step in self.again)

    @property
    def meets_itself(self) -> bool:
        """Whether a second copy begins in the shed in which the first one ended."""
        return bool(self.again) and self.picks[-1][0] == self.again[0][0]

    def is_like(self, other: Look) -> bool:
        """Return whether the other weaves the same picks."""
        return self.picks == other.picks

    def answers(self, other: Look) -> bool:
        """Return whether the other weaves the same, or the same coming back: treadled backwards, or line by line."""
        return self.is_like(other) or self.picks == other.picks[::-1] or self.lines == other.lines[::-1]


def thrown(picks: Picks) -> tuple[Thrown, ...]:
    """Return picks as plain values."""
    return tuple(zip(picks.shed.tolist(), picks.wound.tolist(), picks.step_mm.tolist(), strict=True))


def by_line(picks: Picks) -> tuple[tuple[Thrown, ...], ...]:
    """Return picks line by line."""
    all_picks = thrown(picks)
    cuts = [0, *(np.flatnonzero(np.diff(picks.line)) + 1).tolist(), len(all_picks)]
    return tuple(all_picks[foot:head] for foot, head in pairwise(cuts) if head > foot)


def looks_of(project: Project, strip: Strip) -> tuple[Look, ...]:
    """Return the look of every band of a strip."""
    reader = LineReader(project, technique_of(project))
    whole = line_height(project.beat.lines_per_cm, project.beat.basis).value
    return tuple(look_of(reader, band, whole) for band in strip.bands)


def look_of(reader: LineReader, band: Band, whole_mm: float) -> Look:
    """Return the look of one band; ``whole_mm`` is the height of a line where the band does not say its own."""
    height = whole_mm if band.lines_per_cm is None else 10.0 / band.lines_per_cm
    read = reader.read(band, "band")
    once, twice = (
        expand_band(read, band.model_copy(update={"times": times, "resume": False}), 0, height, "band", None)[0]
        for times in (1, 2)
    )
    distinct = len({(line.tokens, line.back) for line in read.lines})
    return Look(thrown(once), by_line(once), thrown(twice)[len(once) :], distinct)


def turnings(picks: Picks) -> frozenset[str]:
    """Return the ways in which a whole strip is its own mirror: pick by pick, line by line."""
    all_picks, lines = thrown(picks), by_line(picks)
    found = set()
    if all_picks and all_picks == all_picks[::-1]:
        found.add("picks")
    if lines and lines == lines[::-1]:
        found.add("lines")
    return frozenset(found)


def doubled_sheds(cloth: Cloth) -> frozenset[tuple[int, tuple[str, ...], tuple[str, ...]]]:
    """Return where two picks lie in one shed one after the other: the shed, and the yarns of both."""
    found = set()
    for section in cloth.sections:
        for strip in section.strips:
            picks = strip.weaving.picks
            for at in np.flatnonzero(picks.shed[1:] == picks.shed[:-1]).tolist():
                both = [tuple(key for key, _ in cloth.windings[picks.wound[place]]) for place in (at, at + 1)]
                found.add((int(picks.shed[at]), both[0], both[1]))
    return frozenset(found)
