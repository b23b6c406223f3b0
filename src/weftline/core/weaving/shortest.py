"""The shortest description of a stretch: dynamic programming over the places between its lines.

``best[t]`` is the fewest words for everything below place t. A band ends at t in one of four ways:
it is plain; it is a mirror of which t is the outer end; it is the last time of a chain; or it is one
of the bands whose first line is not like its equals. Every way is looked at, so that the result is
exact for all of them; of equally short descriptions the one found first stays.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from functools import partial
from typing import TYPE_CHECKING

import numpy as np

from weftline.core.weaving.candidates import Survey
from weftline.core.weaving.found import Found
from weftline.core.weaving.mirrors import MIDDLES, PICKS_SINGLE, SLIP_WORDS, Middle
from weftline.core.weaving.shapes import PLAIN, Shape

if TYPE_CHECKING:
    from collections.abc import Callable

FAR = 1 << 40
RUN_SLIP_WORDS = SLIP_WORDS + 1
"""Words for one line of other yarn within equal lines: one more than within a symmetry, since dotted lines are usual."""

RESUMED = Shape(resume=True)


@dataclass(slots=True)
class _Open:
    """The best plain band that is not finished yet: its words, where it began, whether it resumed, slips in its runs."""

    words: int = FAR
    start: int = 0
    resumed: bool = False
    slips: tuple[int, ...] = ()


@dataclass(slots=True)
class Shortest:
    """Finds the shortest description of one stretch.

    Parameters
    ----------
    survey : Survey
    """

    survey: Survey
    _best: list[int] = field(default_factory=list)
    _how: list[Callable[[], Found] | None] = field(default_factory=list)

    def bands(self) -> list[Found]:
        """Return the bands from the foot up; their words add up to the description's length."""
        self._search()
        found = []
        place = len(self.survey.stretch)
        while place:
            how = self._how[place]
            if how is None:
                raise RuntimeError(f"no description ends at line {place}")
            band = how()
            found.append(band)
            place = band.start
        return found[::-1]

    def _search(self) -> None:
        count = len(self.survey.stretch)
        mirrors = _Mirrors(self.survey)
        chains = _Chains(self.survey)
        plain = _PlainBands(self.survey)
        singles: list[list[Found]] = [[] for _ in range(count + 1)]
        for single in self.survey.singles:
            singles[single.stop].append(single)
        self._best, self._how = [0], [None]
        for place in range(count + 1):
            if place:
                ways = [plain.ending(place), mirrors.ending(place), chains.ending(place, self._best)]
                ways.extend((self._best[band.start] + band.words, partial(_itself, band)) for band in singles[place])
                words, how = min(ways, key=lambda way: way[0])
                self._best.append(words)
                self._how.append(how)
            if place < count:
                mirrors.reached(place, self._best[place])
                plain.reached(place, self._best[place])


Way = tuple[int, "Callable[[], Found]"]


def _itself(band: Found) -> Found:
    return band


class _PlainBands:
    """Lines written one after the other, equal neighbours once."""

    def __init__(self, survey: Survey) -> None:
        self.stretch, self.band_words = survey.stretch, survey.band_words
        count = len(self.stretch)
        self.ids = self.stretch.ids.tolist()
        self.words = survey.writing.words.tolist()
        self.once = [_Open() for _ in range(count + 2)]
        self.again = [_Open() for _ in range(count + 2)]
        self.slips = self._slips(survey)

    def _slips(self, survey: Survey) -> list[bool]:
        """Return for each line whether it differs a little between two lines that are equal."""
        ids = self.stretch.ids
        found = np.zeros(len(ids), dtype=bool)
        if survey.allowed and len(ids) > 2:
            near = survey.likeness.between(slice(0, -2), slice(1, -1))
            found[1:-1] = (ids[:-2] == ids[2:]) & (near == 1)
        return [bool(slip) for slip in found]

    def ending(self, place: int) -> Way:
        """Return the best plain band that ends at a place."""
        way = min(self.once[place], self.again[place], key=lambda way: way.words)
        shape = RESUMED if way.resumed else PLAIN
        lines = place - way.start
        head = self.ids[way.start + 1] if way.resumed else None
        return way.words, lambda: Found(way.start, place, shape, lines, head, 0, slips=way.slips)

    def reached(self, place: int, best: int) -> None:
        """Write the line at a place, whose description below takes ``best`` words."""
        once, again = self.once[place], self.again[place]
        before = min(once, again, key=lambda way: way.words)
        fresh = best + self.band_words
        if fresh < before.words:
            self.once[place + 1] = _Open(fresh + self.words[place], place)
        else:
            self.once[place + 1] = replace(before, words=before.words + self.words[place])
        if place and self.ids[place] == self.ids[place - 1]:
            self._offer(place + 1, once, again)
        if self.slips[place]:
            self._offer(place + 2, once, again, slip=place)
        self._resume(place, best)

    def _offer(self, place: int, once: _Open, again: _Open, slip: int | None = None) -> None:
        """Offer a run that goes on: its second line takes a word for ``*n``, any further line none."""
        words, way = min((once.words + 1, once), (again.words, again), key=lambda pair: pair[0])
        if slip is not None:
            words += RUN_SLIP_WORDS
        if words < self.again[place].words:
            self.again[place] = replace(way, words=words, slips=way.slips if slip is None else (*way.slips, slip))

    def _resume(self, place: int, best: int) -> None:
        """Begin a band whose first line is the next one without its first pick."""
        stretch = self.stretch
        if place + 1 >= len(self.ids) or stretch.clipped[place + 1] != self.ids[place]:
            return
        if stretch.first_shed(self.ids[place + 1]) != stretch.shed_before[place]:
            return
        words = best + self.band_words + RESUMED.words() + self.words[place + 1] + 1
        if words < self.again[place + 2].words:
            self.again[place + 2] = _Open(words, place, True)


class _Mirrors:
    """Bands mirrored once, offered from their middles: all outer ends of one middle at a time."""

    def __init__(self, survey: Survey) -> None:
        self.survey = survey
        count = len(survey.stretch)
        self.best = np.full(count + 1, FAR, dtype=np.int64)
        self.opening = np.full(count + 1, FAR, dtype=np.int64)
        self.ends = np.full(count + 1, FAR, dtype=np.int64)
        self.centre = np.zeros(count + 1, dtype=np.int64)
        self.kind = np.zeros(count + 1, dtype=np.int64)

    def ending(self, place: int) -> Way:
        """Return the best band mirrored once that ends at a place."""
        middle, centre = MIDDLES[self.kind[place]], int(self.centre[place])
        return int(self.ends[place]), lambda: self._found(middle, centre, place)

    def _found(self, middle: Middle, centre: int, place: int) -> Found:
        start = centre + middle.left - (place - 1 - centre - middle.right)
        shape = Shape(middle.mirror, middle.meeting, middle.meeting)
        return Found(start, place, shape, centre + 1 - start, None, 0)

    def reached(self, place: int, best: int) -> None:
        """Offer every mirror of which the line at a place is the last on the way forth."""
        writing = self.survey.writing
        self.best[place] = best
        self.opening[place] = best + writing.start_words[place]
        for kind, middle in enumerate(MIDDLES):
            reach = int(self.survey.arms[middle][place])
            if reach > 0 or (reach == 0 and middle is PICKS_SINGLE):
                self._offer(kind, middle, place, reach)

    def _offer(self, kind: int, middle: Middle, centre: int, reach: int) -> None:
        writing = self.survey.writing
        nearest = centre if middle is PICKS_SINGLE else centre + middle.left
        farthest = centre + middle.left - reach + 1
        starts = slice(farthest, nearest + 1)
        told = self.opening[starts] + writing.upto[centre + 1]
        run = max(int(writing.run_start[centre]), farthest)
        if run <= nearest:
            told[run - farthest :] = self.best[run : nearest + 1] + writing.words[centre] + 1
            if nearest == centre:
                told[-1] -= 1
        told = told[::-1] + (self.survey.band_words + 1 + (middle.meeting == "double"))
        if self.survey.allowed:
            told = told + self._slips(middle, centre, reach)
        first = centre + middle.right + (0 if middle is PICKS_SINGLE else 1)
        stops = slice(first, first + len(told))
        better = told < self.ends[stops]
        if better.any():
            self.ends[stops][better] = told[better]
            self.centre[stops][better] = centre
            self.kind[stops][better] = kind

    def _slips(self, middle: Middle, centre: int, reach: int) -> np.ndarray[tuple[int], np.dtype[np.int64]]:
        likeness = self.survey.likeness
        left = np.arange(centre + middle.left, centre + middle.left - reach, -1)
        right = np.arange(centre + middle.right, centre + middle.right + reach)
        lost = likeness.between(left, right, middle.mirror)
        if middle is PICKS_SINGLE:
            lost = np.concatenate([[likeness.point[centre]], lost])
        return SLIP_WORDS * np.cumsum(lost)


class _Chains:
    """Bands that come several times."""

    def __init__(self, survey: Survey) -> None:
        self.chains = survey.chains
        self.words = [FAR] * len(self.chains)
        self.first = list(range(len(self.chains)))
        self.at: list[list[int]] = [[] for _ in range(len(survey.stretch) + 1)]
        for index, chain in enumerate(self.chains):
            self.at[chain.twice.stop].append(index)

    def ending(self, place: int, best: list[int]) -> Way:
        """Return the best repeated band that ends at a place."""
        least, chosen = FAR, -1
        for index in self.at[place]:
            chain = self.chains[index]
            words = best[chain.twice.start] + chain.twice.words
            if chain.before >= 0 and self.words[chain.before] < words:
                words = self.words[chain.before]
                self.first[index] = self.first[chain.before]
            words += chain.slips
            self.words[index] = words
            if words < least:
                least, chosen = words, index
        return least, lambda: self._found(chosen, place)

    def _found(self, index: int, place: int) -> Found:
        first = self.chains[self.first[index]]
        twice = first.twice
        times = 2 + (place - twice.stop) // first.period
        shape = twice.shape
        told = Shape(shape.mirror, shape.middle, shape.joint, times, shape.resume)
        return replace(twice, stop=place, shape=told)
