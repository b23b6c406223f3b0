"""Lines that stand for more or fewer lines, so that a motif keeps its proportion in another sett or beat."""

from __future__ import annotations

from dataclasses import replace
from math import floor
from typing import TYPE_CHECKING

from weftline.core.compose.looks import look_of
from weftline.core.compose.wish import with_section
from weftline.core.piece.names import band_name
from weftline.core.piece.settings import line_height
from weftline.core.piece.written import LineReader, technique_of
from weftline.core.weave.line import NOT_THROWN, read_line

if TYPE_CHECKING:
    from collections.abc import Sequence

    from weftline.core.piece.values import Band, Project
    from weftline.core.weave.line import WrittenLine

CLOSE = 0.03
"""A motif that is flatter or taller by less than this is still itself."""


def scaled_times(times: Sequence[int], can_repeat: Sequence[bool], factor: float) -> tuple[int, ...]:
    """Return how often each written line comes when all of them together are to be so many times as high.

    Every line stays, at least once; what is lost in rounding one is made good in the next. A line
    that cannot lie on itself comes no more often than it did.

    Examples
    --------
    >>> scaled_times([2, 1, 1], [True] * 3, 2.0), scaled_times([2, 2, 2, 2], [True] * 4, 0.75)
    ((4, 2, 2), (2, 1, 2, 1))
    """
    found, placed, ideal = [], 0, 0.0
    for count, free in zip(times, can_repeat, strict=True):
        ideal += count * factor
        wanted = max(1, floor(ideal - placed + 0.5))
        found.append(wanted if free else min(count, wanted))
        placed += found[-1]
    return tuple(found)


def _evenly(
    texts: Sequence[tuple[object, ...]], times: Sequence[int], free: Sequence[bool], factor: float
) -> list[int]:
    """Scale so that lines that answer each other stay alike, from whichever end they are read."""
    count = len(times)
    back = tuple(reversed(texts))
    if tuple(texts) == back:
        half = (count + 1) // 2
        first = list(scaled_times(times[:half], free[:half], factor))
        return first + first[: count - half][::-1]
    if repr(back) < repr(tuple(texts)):
        return list(scaled_times(times[::-1], free[::-1], factor))[::-1]
    return list(scaled_times(times, free, factor))


def _lies_on_itself(line: WrittenLine, sheds: Sequence[tuple[int, ...]]) -> bool:
    """Return whether a line can come twice in a row without falling twice into one shed where it did not."""
    if line.times > 1:
        return True
    laid = [set(shed) for shed, token in zip(sheds, line.tokens, strict=True) if token != NOT_THROWN]
    return laid[0] != laid[-1]


def scale_lines(project: Project, section: int, taller: float, wider: float) -> tuple[Project, list[tuple[str, str]]]:
    """Return the piece with the lines of one section in other numbers, and what is no longer in proportion.

    Parameters
    ----------
    project : Project
        With its new sett, beat and yarns.
    section : int
    taller : float
        Height of one line, new over old.
    wider : float
        Width of one end, new over old.

    Returns
    -------
    project : Project
    words : list of tuple of str
        ``("Stars", "12 % taller")`` for every band that is not quite itself.
    """
    written = project.sections[section]
    sheds = technique_of(project).sheds
    plans: list[list[int]] = []
    for band in written.strips[0].bands:
        lines = [read_line(text) for text in band.lines]
        drawn = len({(line.tokens, line.back) for line in lines}) > 1
        factor = (wider if drawn else 1.0) / taller
        free = [_lies_on_itself(line, band.sheds or sheds) for line in lines]
        texts = [(line.tokens, line.back, line.times) for line in lines]
        plans.append(_evenly(texts, [line.times for line in lines], free, factor))
    strips = tuple(
        strip.model_copy(
            update={"bands": tuple(_relined(band, plan) for band, plan in zip(strip.bands, plans, strict=True))}
        )
        for strip in written.strips
    )
    found = with_section(project, section, written.model_copy(update={"strips": strips}))
    return found, _off(project, written.strips[0].bands, strips[0].bands, taller, wider)


def _relined(band: Band, times: Sequence[int]) -> Band:
    lines = []
    for text, count in zip(band.lines, times, strict=True):
        line = read_line(text)
        lines.append(text if line.times == count else replace(line, times=count).text())
    return band if tuple(lines) == band.lines else band.model_copy(update={"lines": tuple(lines)})


def _off(
    project: Project, before: Sequence[Band], after: Sequence[Band], taller: float, wider: float
) -> list[tuple[str, str]]:
    """Return the drawn bands that are flatter or taller than they were, and by how much."""
    reader = LineReader(project, technique_of(project))
    whole = line_height(project.beat.lines_per_cm, project.beat.basis).value
    words = []
    for at, (old, new) in enumerate(zip(before, after, strict=True)):
        one, other = look_of(reader, old, whole), look_of(reader, new, whole)
        if one.distinct < 2:
            continue
        off = other.height_mm * taller / (one.height_mm * wider) - 1
        if abs(off) > CLOSE:
            words.append((band_name(old, at), f"{abs(off) * 100:.0f} % {'taller' if off > 0 else 'flatter'}"))
    return words
