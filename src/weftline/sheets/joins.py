"""Where a yarn is joined in and where it is cut."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from weftline.core.edges.runs import CARRIED_LINES, strands_by_yarn
from weftline.sheets.wording import listed, visible

if TYPE_CHECKING:
    from collections.abc import Sequence

    from weftline.core.piece.cloth import Cloth, SectionCloth
    from weftline.core.weave.picks import Weaving
    from weftline.sheets.lines import Span

MOST_JOINS = 10
"""A band with more is left to the rule."""

NBSP = "\u00a0"
Join = tuple[int, str, int]
"""A running line from 0, a yarn's key, the place of the strip."""


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


def joins_words(joins: tuple[list[Join], list[Join]], band: Span, strips: Sequence[str]) -> str:
    """Return which yarns are joined in and cut within a band; nothing where there are none."""
    starts, ends = ([one for one in found if band.first <= one[0] <= band.last] for found in joins)
    if not starts and not ends:
        return ""
    if len(starts) + len(ends) > MOST_JOINS * len(strips):
        return "Yarns come and go often here: carry or cut each by the rule."
    said = [f"{what}: {_places(found, word, strips)}." for what, found, word in (
        ("Join in", starts, "at"), ("Cut", ends, "after"),
    ) if found]  # fmt: skip
    return " ".join(said)


def _places(found: Sequence[Join], word: str, strips: Sequence[str]) -> str:
    """Return places as ``b at line 11, m at line 16``, with the strip where not all strips do the same."""
    alike: dict[tuple[int, str], list[int]] = {}
    for line, key, strip in found:
        alike.setdefault((line, key), []).append(strip)
    words = []
    for (line, key), which in alike.items():
        where = "" if len(which) == len(strips) else f" ({listed([strips[place] for place in which])})"
        words.append(NBSP.join([visible(key), word, "line", f"{line + 1}"]) + where)
    return ", ".join(words)
