"""A piece that can grow: its units in an even order, and the piece as written at every step."""

from __future__ import annotations

from dataclasses import dataclass
from heapq import heapify, heapreplace
from typing import TYPE_CHECKING

from weftline.core.compose.looks import Look, looks_of, turnings
from weftline.core.compose.units import Unit, units_of
from weftline.core.compose.wish import with_section
from weftline.core.compose.words import times_words
from weftline.core.piece.cloth import expand
from weftline.core.piece.names import band_name, strip_name
from weftline.core.piece.values import MAX_BANDS, MAX_PICKS
from weftline.core.weave.line import read_line

if TYPE_CHECKING:
    from collections.abc import Sequence

    from weftline.core.piece.values import Band, Project, Strip


class CannotGrowError(Exception):
    """Why a piece cannot become longer or shorter, as one sentence."""


@dataclass(frozen=True, eq=False)
class Stretch:
    """A piece with its units.

    Parameters
    ----------
    project : Project
    sections : tuple of int
        Sections that grow together, from 0; all their strips are written in the same bands.
    units : tuple of Unit
    looks : tuple of Look
        Of the bands of the first strip.
    woven_mm : float
        Length of the first strip as it is.
    order : tuple of int
        Units in the order in which they grow, from the piece in which each comes once; the piece as
        it is lies in this order.
    heights : tuple of float
        Woven length before each step of the order and after the last, mm.
    """

    project: Project
    sections: tuple[int, ...]
    units: tuple[Unit, ...]
    looks: tuple[Look, ...]
    woven_mm: float
    order: tuple[int, ...]
    heights: tuple[float, ...]

    @property
    def now(self) -> int:
        """The step at which the piece stands."""
        return sum(unit.now - 1 for unit in self.units)

    def counts(self, step: int) -> tuple[int, ...]:
        """Return how often each unit comes after so many steps."""
        found = [1] * len(self.units)
        for unit in self.order[:step]:
            found[unit] += 1
        return tuple(found)

    def at(self, step: int) -> Project:
        """Return the piece as written after so many steps.

        Raises
        ------
        CannotGrowError
            When it would no longer be its own mirror.
        """
        if step == self.now:
            return self.project
        found = self.project
        for place in self.sections:
            section = found.sections[place]
            strips = tuple(
                strip.model_copy(update={"bands": self._bands(strip, self.counts(step))}) for strip in section.strips
            )
            found = with_section(found, place, section.model_copy(update={"strips": strips}))
        for before, after in zip(self._turnings(self.project), self._turnings(found), strict=True):
            if before - after:
                raise CannotGrowError(
                    "The piece is its own mirror, and no band in it can be repeated so that it stays one."
                )
        return found

    def _turnings(self, project: Project) -> list[frozenset[str]]:
        cloth = expand(project)
        return [turnings(strip.weaving.picks) for place in self.sections for strip in cloth.sections[place].strips]

    def _bands(self, strip: Strip, counts: Sequence[int]) -> tuple[Band, ...]:
        bands: list[Band] = list(strip.bands)
        for unit, times in zip(self.units, counts, strict=True):
            if unit.is_run:
                return self._run(strip, unit, times)
            for at in unit.bands:
                if bands[at].times != times:
                    bands[at] = bands[at].model_copy(update={"times": times})
        return tuple(bands)

    def _run(self, strip: Strip, unit: Unit, times: int) -> tuple[Band, ...]:
        """Return the bands with a run that comes so often; a copy that would begin in the shed before it resumes."""
        first, had = unit.bands[0], len(unit.bands)
        run = list(strip.bands[first : first + had])
        wanted = had + (times - unit.now) * unit.cycle
        before = self.looks[first + had - 1].picks[-1][0]
        for place in range(had, wanted):
            at = place % unit.cycle
            band = strip.bands[first + at]
            if place == had or at == 0:
                meets = self.looks[first + at].picks[0][0] == (before if place == had else self._last_shed(unit, at))
                band = band.model_copy(update={"resume": True}) if meets and not band.resume else band
            run.append(band)
        return (*strip.bands[:first], *run[:wanted], *strip.bands[first + had :])

    def _last_shed(self, unit: Unit, at: int) -> int:
        return self.looks[unit.bands[0] + (at - 1) % unit.cycle].picks[-1][0]

    def nearest(self, woven_mm: float) -> int:
        """Return the step that comes nearest to a woven length."""
        heights = self.heights
        step = next((place for place, height in enumerate(heights) if height >= woven_mm), len(heights) - 1)
        return step - 1 if step and woven_mm - heights[step - 1] < abs(heights[step] - woven_mm) else step

    def words(self, step: int) -> list[str]:
        """Return what comes how often after so many steps, where it is not as before."""
        strip = self.project.sections[self.sections[0]].strips[0]
        found = []
        for unit, times in zip(self.units, self.counts(step), strict=True):
            if times == unit.now:
                continue
            names = [band_name(strip.bands[at], at) for at in unit.bands[: unit.cycle if unit.is_run else None]]
            what = names[0]
            if len(set(names)) > 1:
                what = f"{names[0]} and {names[-1]}" if len(names) == 2 else f"the run from {names[0]} to {names[-1]}"
                what = f"the run of {what}" if unit.is_run and len(names) == 2 else what
            verb = "comes" if len(set(names)) == 1 or unit.is_run else "come"
            found.append(
                f"{what} {verb} {times_words(times)} instead of {times_words(unit.now).removesuffix(' times')}"
            )
        return found


def stretch_of(project: Project, sections: tuple[int, ...]) -> Stretch:
    """Return a piece with its units.

    Raises
    ------
    CannotGrowError
        For a bare warp, strips that are written in different bands, and bands of which none can be repeated.
    """
    strips = [strip for place in sections for strip in project.sections[place].strips]
    first = strips[0]
    if not first.bands:
        raise CannotGrowError("Nothing is woven yet, so there is nothing to repeat.")
    check_alike(strips)
    looks = looks_of(project, first)
    units = units_of(first.bands, looks)
    cloth = expand(project)
    woven = cloth.sections[sections[0]].picks.height_mm
    bare = Stretch(project, sections, units, looks, woven, (), ())
    grows = [_growth(bare, place) for place in range(len(units))]
    kept = [place for place, (mm, _) in enumerate(grows) if mm > 0]
    if not kept:
        raise CannotGrowError("No band in it can be repeated: a further copy would add no pick.")
    units = tuple(units[place] for place in kept)
    grows = [grows[place] for place in kept]
    picks = max(sum(len(section.picks) for section in cloth.sections), 1)
    bands = sum(len(strip.bands) for section in project.sections for strip in section.strips)
    order = _order(units, grows, picks, (bands, len(strips)), len(sections))
    least = woven - sum(mm * (unit.now - 1) for unit, (mm, _) in zip(units, grows, strict=True))
    heights = [least]
    for unit in order:
        heights.append(heights[-1] + grows[unit][0])
    return Stretch(project, sections, units, looks, woven, tuple(order), tuple(heights))


def check_alike(strips: Sequence[Strip]) -> None:
    """Refuse strips that are woven together and written in different bands.

    Raises
    ------
    CannotGrowError
    """
    for number, strip in enumerate(strips):
        if _written(strip) != _written(strips[0]):
            raise CannotGrowError(
                f"{strip_name(strip, number)} is written in other bands than {strip_name(strips[0], 0)}, so their lines "
                "cannot change together; write both in the same bands, lines and repeats."
            )


def _written(strip: Strip) -> list[tuple[object, ...]]:
    """Return what the bands of strips that grow together must share."""
    return [
        (
            band.sheds,
            band.times,
            band.mirror,
            band.middle,
            band.joint or band.middle,
            band.resume,
            band.lines_per_cm,
            tuple(
                (line.back, line.times, [token == "-" for token in line.tokens]) for line in map(read_line, band.lines)
            ),
        )
        for band in strip.bands
    ]


def _growth(bare: Stretch, place: int) -> tuple[float, int]:
    """Return what one more of a unit adds: mm and picks."""
    unit = bare.units[place]
    if not unit.is_run:
        return (
            sum(bare.looks[at].again_mm for at in unit.bands),
            sum(len(bare.looks[at].again) for at in unit.bands),
        )
    strip = bare.project.sections[bare.sections[0]].strips[0]
    alone = Stretch(bare.project, bare.sections, (unit,), bare.looks, 0.0, (), ())
    sizes = []
    for times in (unit.now, unit.now + 1):
        section = bare.project.sections[bare.sections[0]]
        grown = strip.model_copy(update={"bands": alone._bands(strip, (times,))})
        whole = with_section(
            bare.project, bare.sections[0], section.model_copy(update={"strips": (grown, *section.strips[1:])})
        )
        picks = expand(whole).sections[bare.sections[0]].strips[0].weaving.picks
        sizes.append((picks.height_mm, len(picks)))
    (low, few), (high, many) = sizes
    return high - low, many - few


def _order(
    units: tuple[Unit, ...],
    grows: Sequence[tuple[float, int]],
    picks: int,
    bands: tuple[int, int],
    sections: int,
) -> list[int]:
    """Return the units in the order in which they grow: always the one that is furthest behind its share."""
    heap = [(1 / unit.now, place, 1) for place, unit in enumerate(units)]
    heapify(heap)
    order: list[int] = []
    now = sum(unit.now - 1 for unit in units)
    room_picks, room_bands = MAX_PICKS - picks, MAX_BANDS - bands[0]
    while True:
        _, place, times = heap[0]
        if len(order) >= now:
            room_picks -= grows[place][1] * sections
            room_bands -= units[place].cycle * bands[1] if units[place].is_run else 0
            if room_picks < 0 or room_bands < 0:
                return order
        order.append(place)
        heapreplace(heap, ((times + 1) / units[place].now, place, times + 1))
