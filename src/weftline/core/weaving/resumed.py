"""Bands that resume at their second pick: their first line as woven is not their first line as written.

What is left of the first line lies in the cloth, or nothing where it was a single pick. Its equals
on the way back, or in the next time, tell what it was.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np

from weftline.core.weaving.found import Found, half_of
from weftline.core.weaving.mirrors import APART, MIDDLES, PICKS_DOUBLE, PICKS_POINT, PICKS_SINGLE, SLIP_WORDS
from weftline.core.weaving.shapes import Shape

if TYPE_CHECKING:
    from collections.abc import Iterator

    from weftline.core.piece.values import Meeting
    from weftline.core.weaving.candidates import Survey
    from weftline.core.weaving.mirrors import Middle
    from weftline.core.weaving.periods import Region
    from weftline.core.weaving.stretch import Stretch

PICK_MIDDLES = (PICKS_DOUBLE, PICKS_SINGLE, PICKS_POINT)


def resumed_bands(survey: Survey) -> Iterator[tuple[list[Found], int]]:
    """Yield bands that resume, with their period where they make chains, else 0."""
    for region in survey.regions:
        yield list(_head_apart(survey, region)), 0
        for middle in PICK_MIDDLES:
            yield _clipped_each_time(survey, region, middle), region.period
        yield from _gone_repeats(survey, region)
    yield list(_clipped_mirrors(survey)), 0
    yield list(_lone_lines(survey)), 0
    yield list(_gone_mirrors(survey)), 0


def _resumes(stretch: Stretch, head: int, start: int) -> bool:
    return stretch.first_shed(head) == stretch.shed_before[start]


def _band(survey: Survey, start: int, stop: int, shape: Shape, half: int, head: int, rest: int) -> Found:
    """Return a band of ``half`` written lines: a head, and the others as they lie from line ``rest`` on."""
    words = survey.band_words + shape.words() + survey.headed(head, rest, rest + half - 1)
    return Found(start, stop, shape, half, head, words, gone=rest == start)


# --- the first pick dropped, the rest of its line left ---------------------------------------------------------------


def _head_apart(survey: Survey, region: Region) -> Iterator[Found]:
    """Yield repeats whose first line alone lacks its first pick."""
    stretch, period, start = survey.stretch, region.period, region.start - 1
    if start < 0:
        return
    again = start + period
    there = int(stretch.ids[again])
    if stretch.clipped[again] == stretch.ids[start] and _resumes(stretch, there, start):
        yield from _times(survey, region, Shape(times=2, resume=True), period, there, 0)
        for middle in MIDDLES:
            for extra in (0, 1) if middle.mirror == "lines" else (0,):
                length = period + extra
                half = half_of(middle, length)
                if half is None or again + length > region.stop:
                    continue
                if survey.mirrors(np.array([again]), length, middle, half)[0]:
                    shape = Shape(middle.mirror, middle.meeting, "single" if extra else "double", 2, True)
                    yield from _times(survey, region, shape, half, there, extra)


def whole_heads(survey: Survey, region: Region) -> Iterator[Found]:
    """Yield bands treadled backwards with single joints: their first line alone has its first pick."""
    start, period = region.start - 1, region.period
    if start < 0:
        return
    lost = survey.likeness.clipped(start, start + period)
    if lost >= APART:
        return
    between = survey.likeness.between(
        slice(region.start, region.stop - period), slice(region.start + period, region.stop)
    )
    lost_upto = lost + np.concatenate([[0], np.cumsum(between)])
    head = int(survey.stretch.ids[start])
    for middle in PICK_MIDDLES:
        half = half_of(middle, period)
        if half is None or not survey.mirrors(np.array([start]), period, middle, half)[0]:
            continue
        mirror_slips = survey.slips(start, period, middle) if survey.allowed else 0
        for band in _times(survey, region, Shape("picks", middle.meeting, "single", 2), half, head, 0):
            slips = SLIP_WORDS // 2 * int(lost_upto[band.stop - period - region.start])
            yield replace(band, words=band.words + mirror_slips + slips)


def _times(survey: Survey, region: Region, shape: Shape, half: int, head: int, extra: int) -> Iterator[Found]:
    start = region.start - 1
    for times in range(2, (region.stop - extra - start) // region.period + 1):
        told = Shape(shape.mirror, shape.middle, shape.joint, times, shape.resume)
        yield _band(survey, start, start + times * region.period + extra, told, half, head, start + 1)


def _clipped_each_time(survey: Survey, region: Region, middle: Middle) -> list[Found]:
    """Return bands treadled backwards with single joints, resumed: every time lacks its first pick."""
    stretch, period = survey.stretch, region.period
    half = half_of(middle, period)
    if half is None:
        return []
    starts = np.arange(region.start, region.stop - 2 * period + 1)
    shape = Shape("picks", middle.meeting, "single", 2, True)
    found = []
    if half == 1:
        if middle is PICKS_SINGLE:
            for start in starts.tolist():
                head = _lone_head(stretch, start)
                if head is not None and _resumes(stretch, head, start):
                    found.append(_band(survey, start, start + 2 * period, shape, half, head, start + 1))
        return found
    pairs = (half if middle.meeting == "double" else half - 1) - 1
    starts = starts[survey.arms[middle][starts + half - 1] >= pairs]
    starts = starts[stretch.turned_clipped[starts + period - 1] == stretch.ids[starts]]
    for start in starts.tolist():
        head = int(stretch.turned[start + period - 1])
        if _resumes(stretch, head, start):
            found.append(_band(survey, start, start + 2 * period, shape, half, head, start + 1))
    return found


def _clipped_mirrors(survey: Survey) -> Iterator[Found]:
    """Yield bands mirrored once whose first pick was dropped: there the arms end one line early."""
    stretch = survey.stretch
    for middle in MIDDLES:
        mirrored = middle.mirror == "picks"
        back = stretch.turned if mirrored else stretch.ids
        left_over = stretch.turned_clipped if mirrored else stretch.clipped
        reach = survey.arms[middle]
        centres = np.flatnonzero(reach >= 0)
        left, right = centres + middle.left - reach[centres], centres + middle.right + reach[centres]
        inside = (left >= 0) & (right < len(stretch))
        centres, left, right = centres[inside], left[inside], right[inside]
        fits = left_over[right] == stretch.ids[left]
        for centre, start, last in zip(centres[fits].tolist(), left[fits].tolist(), right[fits].tolist(), strict=True):
            head = int(back[last])
            if _resumes(stretch, head, start):
                shape = Shape(middle.mirror, middle.meeting, middle.meeting, 1, True)
                yield _band(survey, start, last + 1, shape, centre + 1 - start, head, start + 1)


def _lone_lines(survey: Survey) -> Iterator[Found]:
    """Yield one line treadled back at once and resumed: its first pick is missing on both ways."""
    stretch = survey.stretch
    alike = (stretch.picks[:-1] == stretch.picks[1:]) & (stretch.direction[:-1] == -stretch.direction[1:])
    for start in np.flatnonzero(alike).tolist():
        head = _lone_head(stretch, start)
        if head is not None and _resumes(stretch, head, start):
            shape = Shape("picks", "single", "single", 1, True)
            yield _band(survey, start, start + 2, shape, 1, head, start + 1)


def _lone_head(stretch: Stretch, start: int) -> int | None:
    """Return the line that, without its first pick and then turned and without it, gives two lines; None if none."""
    alphabet = stretch.alphabet
    forth, back = int(stretch.ids[start]), int(stretch.ids[start + 1])
    there, here = alphabet.order(forth), alphabet.order(back)
    first = here[-1]
    if first in there or not (first < min(there) or first > max(there)):
        return None
    tokens = list(alphabet.lines[forth][1])
    tokens[first] = alphabet.lines[back][1][first]
    head = alphabet.number((1 if first < there[0] else -1, tuple(tokens)))
    fits = alphabet.clipped(head) == forth and alphabet.clipped(alphabet.turned(head)) == back
    return head if fits else None


# --- the first line a single pick, and dropped whole -----------------------------------------------------------------


def _gone_repeats(survey: Survey, region: Region) -> Iterator[tuple[list[Found], int]]:
    """Yield repeats that begin with their second line."""
    stretch, period = survey.stretch, region.period
    starts = np.arange(region.start, region.stop - 2 * period + 2)
    starts = starts[stretch.picks[starts + period - 1] == 1]
    starts = np.array(
        [start for start in starts.tolist() if _resumes(stretch, int(stretch.ids[start + period - 1]), start)],
        dtype=np.int64,
    )
    if not len(starts):
        return
    heads = stretch.ids[starts + period - 1].tolist()

    def bands(chosen: list[bool], shape: Shape, half: int, stop: int) -> list[Found]:
        return [
            _band(survey, start, start + stop, shape, half, head, start)
            for start, head, fits in zip(starts.tolist(), heads, chosen, strict=True)
            if fits and start + stop <= region.stop
        ]

    yield bands([True] * len(starts), Shape(times=2, resume=True), period, 2 * period - 1), period
    again = stretch.ids[starts + period - 2] == stretch.ids[starts + period - 1]
    joints: tuple[tuple[Meeting, int, int], ...] = (
        ("double", period - 2, 2 * period - 1),
        ("single", period - 1, 2 * period),
    )
    for middle in MIDDLES:
        for joint, length, stop in joints:
            inner = half_of(middle, length)
            if inner:
                fits = survey.mirrors(starts, length, middle, inner) & (again | (joint == "single"))
                shape = Shape(middle.mirror, middle.meeting, joint, 2, True)
                yield bands(fits.tolist(), shape, inner + 1, stop), period


def _gone_mirrors(survey: Survey) -> Iterator[Found]:
    """Yield bands mirrored once that begin with their second line and end with their first."""
    stretch = survey.stretch
    before = np.array([-1 if shed is None else shed for shed in stretch.shed_before])
    for last in np.flatnonzero(stretch.picks == 1).tolist():
        head = int(stretch.ids[last])
        for middle in MIDDLES:
            reach = survey.arms[middle]
            lowest = -1 if middle is PICKS_SINGLE else 0
            centres = np.arange(last)
            outer = last - 1 - centres - middle.right
            starts = centres + middle.left - outer
            fits = (outer >= lowest) & (outer < reach[:last]) & (starts >= 0)
            centres, starts = centres[fits], starts[fits]
            fits = before[starts] == stretch.first_shed(head)
            for centre, start in zip(centres[fits].tolist(), starts[fits].tolist(), strict=True):
                shape = Shape(middle.mirror, middle.meeting, middle.meeting, 1, True)
                band = _band(survey, start, last + 1, shape, centre + 2 - start, head, start)
                if band.words < survey.band_words + survey.writing.one(start, last + 1):
                    yield band
