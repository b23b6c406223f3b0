"""Lines as they are printed: their picks, how they were written, which of them come again."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING

import numpy as np

from weftline.sheets.wording import visible

if TYPE_CHECKING:
    from collections.abc import Sequence

    from weftline.core.piece.cloth import Cloth, StripCloth
    from weftline.core.piece.values import Project
    from weftline.core.weave.picks import Winding

FOLDED = 8
"""Lines that come again are told instead of printed from so many saved lines on."""

NOT_THROWN = "–"

TURNED = "*"
"""Stands behind a line of the chart whose last shed is thrown first."""


@dataclass(frozen=True, slots=True)
class Pick:
    """One pick of a line.

    Parameters
    ----------
    slot : int
        Place of its shed in the order of the band's sheds, from 0.
    shed : int
        Bit mask of the shafts covered.
    wound : tuple of int
        For each strip the index of its winding; -1 where the strip has ended.
    """

    slot: int
    shed: int
    wound: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Line:
    """One line: its picks in the order thrown, and the sheds of its band as bit masks."""

    picks: tuple[Pick, ...]
    sheds: tuple[int, ...]

    @property
    def is_back(self) -> bool:
        """Whether its last shed is thrown first."""
        return len(self.picks) > 1 and self.picks[0].slot > self.picks[-1].slot

    @property
    def is_incomplete(self) -> bool:
        """Whether a shed has no pick."""
        return len(self.picks) < len(self.sheds)

    def in_order(self) -> list[tuple[int, Pick | None]]:
        """Return every shed of the line in the order thrown, with its pick or None where none is thrown."""
        by_slot = {pick.slot: pick for pick in self.picks}
        slots = range(len(self.sheds))
        return [(self.sheds[slot], by_slot.get(slot)) for slot in (reversed(slots) if self.is_back else slots)]


def leading(strips: Sequence[StripCloth]) -> StripCloth:
    """Return the strip that the weaver counts by: the longest, since strips of a section are woven together."""
    return max(strips, key=lambda strip: len(strip.weaving.picks))


def lines_of(cloth: Cloth, strips: Sequence[StripCloth]) -> list[Line]:
    """Return the lines of strips that are woven together, as the longest of them counts."""
    first = leading(strips)
    picks = first.weaving.picks
    sheds = [
        tuple(sum(1 << (shaft - 1) for shaft in shed) for shed in (band.sheds or cloth.technique.sheds))
        for band in first.written.bands
    ]
    wound = np.full((len(picks), len(strips)), -1, dtype=np.int64)
    for place, strip in enumerate(strips):
        own = strip.weaving.picks.wound[: len(picks)]
        wound[: len(own), place] = own
    rows = list(zip(picks.slot.tolist(), picks.shed.tolist(), map(tuple, wound.tolist()), strict=True))
    feet = [*np.flatnonzero(np.diff(picks.line, prepend=-1)).tolist(), len(picks)]
    known: dict[object, Line] = {}
    lines = []
    for foot, top in pairwise(feet):
        key = (int(picks.band[foot]), tuple(rows[foot:top]))
        if key not in known:
            known[key] = Line(tuple(Pick(*row) for row in rows[foot:top]), sheds[key[0]])
        lines.append(known[key])
    return lines


@dataclass(frozen=True, slots=True)
class Span:
    """A run of lines with the same bands.

    Parameters
    ----------
    names : tuple of str
        For each strip the name of its band.
    first, last : int
        Running lines, from 0.
    band : int
        Place of the band of the strip that the weaver counts by.
    """

    names: tuple[str, ...]
    first: int
    last: int
    band: int


def spans_of(strips: Sequence[StripCloth]) -> list[Span]:
    """Return the spans between places where any strip goes on to its next band."""
    total = leading(strips).weaving.picks.line_count
    bands = np.zeros((total, len(strips)), dtype=np.int64)
    for place, strip in enumerate(strips):
        picks = strip.weaving.picks
        firsts = np.flatnonzero(np.diff(picks.line, prepend=-1))[:total]
        bands[: len(firsts), place] = picks.band[firsts]
        bands[len(firsts) :, place] = len(strip.bands) - 1
    starts = [0, *(np.flatnonzero((bands[1:] != bands[:-1]).any(axis=1)) + 1).tolist(), total]
    lead = list(strips).index(leading(strips))
    spans = []
    for start, end in pairwise(starts):
        if end > start:
            places = bands[start].tolist()
            names = tuple(strip.bands[place] for strip, place in zip(strips, places, strict=True))
            spans.append(Span(names, start, end - 1, places[lead]))
    return spans


@dataclass(frozen=True, slots=True)
class Stretch:
    """A run of lines, woven so many times one after another.

    Parameters
    ----------
    first : int
        Running line of the first, from 0.
    count : int
        Lines woven once.
    times : int
    """

    first: int
    count: int
    times: int = 1

    @property
    def last(self) -> int:
        """Running line of the last, all times together."""
        return self.first + self.count * self.times - 1

    def firsts(self) -> list[int]:
        """Return the running line with which each time begins."""
        return [self.first + self.count * time for time in range(self.times)]


def stretches(lines: Sequence[Line], first: int, last: int) -> list[Stretch]:
    """Return the lines from first to last as stretches; what comes again is told once."""
    number = {line: place for place, line in enumerate(dict.fromkeys(lines[first : last + 1]))}
    return _folded(np.array([number[line] for line in lines[first : last + 1]], dtype=np.int64), first)


def _folded(kinds: np.ndarray[tuple[int], np.dtype[np.int64]], first: int) -> list[Stretch]:
    """Return stretches of lines given by kind, by the repeat that saves most."""
    if not len(kinds):
        return []
    best = (0, 0, 0, 0)  # lines saved, minus the period, where it starts, how long it matches
    for period in range(1, min(len(kinds) // 2, 600) + 1):
        same = np.concatenate([[False], kinds[period:] == kinds[:-period], [False]])
        edges = np.flatnonzero(same[1:] != same[:-1])
        runs = edges[1::2] - edges[::2]
        if len(runs):
            longest = int(np.argmax(runs))
            saved = int(runs[longest]) // period * period
            best = max(best, (saved, -period, int(edges[2 * longest]), int(runs[longest])))
    saved, period, start, match = best[0], -best[1], best[2], best[3]
    if saved < FOLDED:
        return [Stretch(first, len(kinds))]
    if start + match + period == len(kinds):  # let the last time end where the band ends
        start += match % period
    end = start + saved + period
    repeat = Stretch(first + start, period, saved // period + 1)
    return [*_folded(kinds[:start], first), repeat, *_folded(kinds[end:], first + end)]


def runs_of(lines: Sequence[Line], stretch: Stretch) -> list[tuple[int, int]]:
    """Return (first, last) of equal lines in a row, within a stretch woven once."""
    runs: list[tuple[int, int]] = []
    for place in range(stretch.first, stretch.first + stretch.count):
        if runs and lines[place] == lines[runs[-1][0]]:
            runs[-1] = (runs[-1][0], place)
        else:
            runs.append((place, place))
    return runs


def strands_words(winding: Winding) -> str:
    """Return what is wound together: ``2 n``, ``1 b + 1 n``."""
    return " + ".join(f"{strands} {visible(key)}" for key, strands in winding)


def as_charted(line: Line, project: Project, windings: Sequence[Winding], strip: int = 0) -> str:
    """Return the line as it stands beside the chart: ``s o o``, ``– o s``, ``n n b *``."""
    words = [NOT_THROWN] * len(line.sheds)
    for pick in line.picks:
        winding = windings[pick.wound[strip]]
        key, strands = winding[0]
        alone = len(winding) == 1 and strands == project.yarns[key].strands
        shown = [visible(one) for one, _ in winding]
        several = zip(shown, winding, strict=True)
        words[pick.slot] = shown[0] if alone else "+".join("+".join([one] * times) for one, (_, times) in several)
    return " ".join([*words, *([TURNED] if line.is_back else [])])
