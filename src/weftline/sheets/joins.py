"""Where a yarn is joined in and where it is cut."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from weftline.core.edges.runs import CARRIED_LINES, strands_by_yarn
from weftline.sheets.wording import listed, span, visible

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from weftline.core.piece.cloth import Cloth, SectionCloth
    from weftline.core.weave.picks import Weaving
    from weftline.sheets.lines import Stretch

NBSP = "\u00a0"
Join = tuple[int, str, int]
"""A running line from 0, a yarn's key, the place of the strip."""

Events = dict[tuple[int, ...], tuple[list[tuple[int, str]], list[tuple[int, str]]]]
"""By the times in which they happen: starts and cuts, each a line of the stretch as it is printed and a yarn's key."""


def runs_of_yarns(weaving: Weaving) -> list[tuple[str, int, int]]:
    """Return every run of a strip as its key, its first line and its last, from 0."""
    found = []
    line = weaving.picks.line
    for key, (places, _) in strands_by_yarn(weaving.windings).items():
        picks = line[np.flatnonzero(np.isin(weaving.picks.wound, places))]
        if len(picks):
            gaps = np.flatnonzero(np.diff(picks) - 1 > CARRIED_LINES)
            firsts, lasts = [0, *(gaps + 1).tolist()], [*gaps.tolist(), len(picks) - 1]
            found += [(key, int(picks[first]), int(picks[last])) for first, last in zip(firsts, lasts, strict=True)]
    return found


def joins_of(section: SectionCloth, cloth: Cloth) -> tuple[list[Join], list[Join]]:
    """Return where yarns are joined in and after which lines they are cut."""
    order = {key: place for place, key in enumerate(cloth.project.yarns)}
    runs = [(*run, place) for place, strip in enumerate(section.strips) for run in runs_of_yarns(strip.weaving)]
    runs.sort(key=lambda run: (run[3], order[run[0]]))
    starts = sorted((first, key, place) for key, first, _, place in runs)
    return starts, sorted((last, key, place) for key, _, last, place in runs)


def joins_words(joins: tuple[list[Join], list[Join]], stretch: Stretch, strips: Sequence[str]) -> list[str]:
    """Return every start and every cut of a stretch, a sentence for those of the same strips and the same times."""
    by_strip = [_events(joins, stretch, place) for place in range(len(strips))]
    found = []
    for times in sorted({times for events in by_strip for times in events}, key=lambda times: (-len(times), times)):
        done: set[int] = set()
        for place, events in enumerate(by_strip):
            alike = [other for other, one in enumerate(by_strip) if one.get(times) == events.get(times)]
            if times in events and place not in done:
                done.update(alike)
                who = (
                    ""
                    if len(strips) == 1
                    else "every strip"
                    if len(alike) == len(strips)
                    else listed([strips[other] for other in alike])
                )
                found.append(_sentence(events[times], [who, _times_words(times, stretch.times)]))
    return found


def _events(joins: tuple[list[Join], list[Join]], stretch: Stretch, strip: int) -> Events:
    """Return what begins and ends within a stretch on one strip."""
    found: Events = {}
    for kind, events in enumerate(joins):
        times: dict[tuple[int, str], list[int]] = {}
        for line, key, place in events:
            if place == strip and stretch.first <= line <= stretch.last:
                time, within = divmod(line - stretch.first, stretch.count)
                times.setdefault((stretch.first + within, key), []).append(time + 1)
        for event, when in times.items():
            found.setdefault(tuple(when), ([], []))[kind].append(event)
    return {when: (sorted(starts), sorted(cuts)) for when, (starts, cuts) in found.items()}


def _times_words(times: tuple[int, ...], whole: int) -> str:
    """Return in which times of a repeat: ``each time``, ``time 2``, ``times 2–5``."""
    if whole == 1:
        return ""
    if len(times) == whole:
        return "each time"
    runs: list[tuple[int, int]] = []
    for time in times:
        if runs and time == runs[-1][1] + 1:
            runs[-1] = (runs[-1][0], time)
        else:
            runs.append((time, time))
    return f"time{'' if len(times) == 1 else 's'} {listed([span(*run) for run in runs])}"


def _sentence(events: tuple[list[tuple[int, str]], list[tuple[int, str]]], when: Sequence[str]) -> str:
    starts, cuts = events
    said = [
        *([f"join in {_places(starts, 'at')}"] if starts else []),
        *([f"cut {_places(cuts, 'after')}"] if cuts else []),
    ]
    before = ", ".join(filter(None, when))
    words = f"{before}: {'; '.join(said)}." if before else f"{'; '.join(said)}."
    return words[0].upper() + words[1:]


def _places(found: Iterable[tuple[int, str]], word: str) -> str:
    """Return places as ``b at line 11, m at 16``."""
    return ", ".join(
        NBSP.join([visible(key), word, *(["line"] if place == 0 else []), f"{line + 1}"])
        for place, (line, key) in enumerate(found)
    )
