"""Which picks a description makes equals: all that are woven from the same written word."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from weftline.core.weaving.evidence import Evidence, run_convinces
from weftline.core.weaving.shapes import unfolded

if TYPE_CHECKING:
    from collections.abc import Sequence

    import numpy as np
    from numpy.typing import NDArray

    from weftline.core.weaving.found import Found
    from weftline.core.weaving.stretch import Coded, Stretch

Place = tuple[int, int]
"""A pick by its line in the stretch and its shed."""


@dataclass(slots=True)
class Equals:
    """Picks that symmetry makes equals, and what was thrown in them.

    Parameters
    ----------
    places : list of Place
    thrown : list of int
        Yarn of each, -1 where none was thrown.
    written : list of int
        Written line of each; several where neighbours are meant to be equal.
    """

    places: list[Place] = field(default_factory=list)
    thrown: list[int] = field(default_factory=list)
    written: list[int] = field(default_factory=list)

    def meant(self) -> int | None:
        """Return what most of at least three agree on; None where they do not."""
        most, count = Counter(self.thrown).most_common(1)[0]
        return most if count >= 2 and 2 * count > len(self.thrown) else None

    def single_answer(self, place: Place) -> Place | None:
        """Return the one pick that answers a pick by repeat or mirror, None where there are none or more."""
        line = self.written[self.places.index(place)]
        same = [other for other, written in zip(self.places, self.written, strict=True) if written == line]
        return next(other for other in same if other != place) if len(same) == 2 else None

    @property
    def differing_pair(self) -> bool:
        """Whether there are just two and they differ."""
        return len(self.thrown) == 2 and self.thrown[0] != self.thrown[1]


@dataclass(frozen=True, slots=True)
class _Woven:
    """A woven line: its place in the stretch, the written line it comes from, whether its first pick is missing."""

    line: int
    written: int
    clipped: bool


class _Reading:
    """One band read as if its symmetry held."""

    def __init__(self, stretch: Stretch, band: Found) -> None:
        self.stretch, self.band = stretch, band
        self.numbers = band.written(stretch.ids)
        laid = unfolded([len(stretch.alphabet.order(number)) for number in self.numbers], band.shape)
        self.lines = [_Woven(band.start + place, line.line, line.clipped) for place, line in enumerate(laid)]
        self.meant = self._meant()
        self.run = self._runs()

    def _meant(self) -> list[Coded]:
        """Return each written line with what most of its woven lines have."""
        sheds = self.stretch.tokens.shape[1]
        votes: list[list[Counter[int]]] = [[Counter() for _ in range(sheds)] for _ in self.numbers]
        for woven in self.lines:
            for slot, thrown in enumerate(self.stretch.tokens[woven.line].tolist()):
                if not (woven.clipped and thrown < 0):
                    votes[woven.written][slot][thrown] += 1
        lines = self.stretch.alphabet.lines
        meant = [
            (lines[number][0], tuple(self._most(vote) for vote in line))
            for number, line in zip(self.numbers, votes, strict=True)
        ]
        for written, line in enumerate(votes):
            for beside in (written - 1, written + 1):
                if 0 <= beside < len(meant) and self._may_be(meant[written][0], line, meant[beside]):
                    meant[written] = meant[beside]
                    break
        return meant

    @staticmethod
    def _most(vote: Counter[int]) -> int:
        return vote.most_common(1)[0][0] if vote else -1

    @staticmethod
    def _may_be(way: int, votes: list[Counter[int]], line: Coded) -> bool:
        """Return whether woven lines that agree on no more than halves can be meant as the line beside them."""
        return way == line[0] and all(
            2 * vote[token] >= vote.total() for vote, token in zip(votes, line[1], strict=True)
        )

    def _runs(self) -> list[int]:
        """Return for each written line the first of its run of lines that are meant to be equal."""
        slips = {line - self.band.start for line in self.band.slips}
        runs: list[int] = []
        for written, line in enumerate(self.meant):
            goes_on = written > 0 and (line == self.meant[runs[-1]] or written in slips)
            runs.append(runs[-1] if goes_on else written)
        return runs

    def _as_meant(self, woven: _Woven) -> bool:
        meant = self.meant[self.run[woven.written]][1]
        thrown = self.stretch.tokens[woven.line].tolist()
        return all(a == b or (woven.clipped and a < 0) for a, b in zip(thrown, meant, strict=True))

    def believed(self, evidence: Evidence) -> bool:
        """Return whether what differs in the band may be called slips."""
        equal, differing = [0] * len(self.meant), [0] * len(self.meant)
        for woven in self.lines:
            (equal if self._as_meant(woven) else differing)[woven.written] += 1
        if not any(differing):
            return True
        if len(self.lines) > len(self.meant):
            return evidence.convinces(self.meant, equal, differing)
        runs = {self.run[line - self.band.start] for line in self.band.slips}
        of_run = [[place for place, first in enumerate(self.run) if first == run] for run in runs]
        return all(
            run_convinces(sum(equal[place] for place in run), sum(differing[place] for place in run)) for run in of_run
        )

    def groups(self) -> list[Equals]:
        """Return the picks that are equals; neighbours that are written once count as one line."""
        found: dict[Place, Equals] = {}
        for woven in self.lines:
            for slot, thrown in enumerate(self.stretch.tokens[woven.line].tolist()):
                if not (woven.clipped and thrown < 0):
                    group = found.setdefault((self.run[woven.written], slot), Equals())
                    group.places.append((woven.line, slot))
                    group.thrown.append(thrown)
                    group.written.append(woven.written)
        return [group for group in found.values() if len(group.places) > 1]


def equals_of(stretch: Stretch, bands: Sequence[Found]) -> list[Equals]:
    """Return every group of picks that believable bands make equals, those without an equal left out."""
    evidence = Evidence(stretch)
    readings = [_Reading(stretch, band) for band in bands]
    return [group for reading in readings if reading.believed(evidence) for group in reading.groups()]


def corrected(stretch: Stretch, groups: Sequence[Equals]) -> NDArray[np.int32]:
    """Return the yarns as symmetry says they were meant; of a differing pair the first woven stays.

    Returns
    -------
    (lines, sheds) int32
    """
    found = stretch.tokens.copy()
    for group in groups:
        meant = group.thrown[0] if group.differing_pair else group.meant()
        if meant is not None:
            for line, slot in group.places:
                found[line, slot] = meant
    picks = (found >= 0).sum(axis=1)
    as_it_was = (picks == 0) | ((stretch.direction == 0) != (picks == 1))
    found[as_it_was] = stretch.tokens[as_it_was]
    return found
