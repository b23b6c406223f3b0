"""The threading in words that can be followed end by end, and the heddles that each shaft needs."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np

from weftline.core.edges.edge_ends import edge_of
from weftline.core.weave.threading import thread
from weftline.sheets.wording import count, printable, span

if TYPE_CHECKING:
    from weftline.core.piece.cloth import Cloth

MOST_REPEAT = 24
"""A longer repeat is written out end by end."""

GROUP = 8


def threading_words(repeat: tuple[int, ...], ends: int, start: int) -> str:
    """Return the shafts of a run of ends, left to right: ``(1 2 3 2) × 15, then 1``.

    Examples
    --------
    >>> threading_words((1, 2, 3, 2), 61, 1), threading_words((1, 2, 3, 2), 3, 2)
    ('(1 2 3 2) × 15, then 1', '2 3 2')
    """
    first = (start - 1) % len(repeat)
    turned = repeat[first:] + repeat[:first]
    if len(turned) > MOST_REPEAT:
        shafts = thread(repeat, ends, start).tolist()
        groups = [shafts[place : place + GROUP] for place in range(0, ends, GROUP)]
        return ", ".join(" ".join(map(str, group)) for group in groups)
    whole, rest = divmod(ends, len(turned))
    unit, last = " ".join(map(str, turned)), " ".join(map(str, turned[:rest]))
    if not whole:
        return last
    said = unit if whole == 1 else f"({unit}) × {whole}"
    return f"{said}, then {last}" if last else said


def threading_data(cloth: Cloth) -> dict[str, Any]:
    """Return the threading from the left: strips and idle ends, heddles, and where later sections lie."""
    return {
        "example": _example(cloth),
        "parts": _parts(cloth),
        "heddles": _heddles(cloth),
        "edge": _edge_words(cloth),
        "sections": _sections(cloth) if len(cloth.sections) > 1 else [],
    }


def _example(cloth: Cloth) -> str:
    """Return what a bracket means, by the first that this piece has."""
    repeat = cloth.technique.threading
    for _, _, ends, start in _runs(cloth):
        words = threading_words(repeat, ends, start)
        if words.startswith("("):
            unit, number = words.split(")")[0] + ")", words.split(" × ")[1].split(",")[0]
            return f" “{unit} × {number}” means what stands in the brackets {number} times in a row."
    return ""


def _runs(cloth: Cloth) -> list[tuple[str, int, int, int]]:
    """Return (what, first end from 0, ends, start in the repeat) along the warp, as the first section lies."""
    repeat = len(cloth.technique.threading)
    runs = []
    for strip in cloth.sections[0].strips:
        ends, idle, start = strip.written.ends, strip.written.idle_after, strip.lay.start
        runs.append((printable(strip.name), strip.lay.first_end, ends, start))
        if idle:
            runs.append(("left idle", strip.lay.first_end + ends, idle, (start - 1 + ends) % repeat + 1))
    taken = sum(run[2] for run in runs)
    if taken < cloth.warp_ends:
        start = (runs[-1][3] - 1 + runs[-1][2]) % repeat + 1
        runs.append(("further ends", taken, cloth.warp_ends - taken, start))
    return runs


def _parts(cloth: Cloth) -> list[dict[str, str]]:
    repeat = cloth.technique.threading
    return [
        {
            "what": what,
            "ends": f"ends {span(first + 1, first + ends)}",
            "count": count(ends, "end"),
            "shafts": threading_words(repeat, ends, start),
        }
        for what, first, ends, start in _runs(cloth)
    ]


def _heddles(cloth: Cloth) -> list[dict[str, str]]:
    """Return how many heddles each shaft needs."""
    repeat = cloth.technique.threading
    shafts = np.concatenate([thread(repeat, ends, start) for _, _, ends, start in _runs(cloth)])
    counts = np.bincount(shafts, minlength=cloth.technique.shafts + 1)[1:]
    return [
        {"shaft": f"shaft {shaft}", "count": count(number, "heddle")}
        for shaft, number in enumerate(counts.tolist(), start=1)
    ]


def _edge_words(cloth: Cloth) -> str:
    kind, ends = edge_of(cloth.project)
    each = "" if sum(len(section.strips) for section in cloth.sections) == 1 else " of each strip"
    if kind == "floating":
        return (
            f"Floating edge: {count(ends, 'extra end')} at each side{each}, in no heddle, in the next dent. "
            "The shuttle goes over it on the way in and under it on the way out. Make the floating ends with the warp but do "
            "not wind them on with it: chain each, and hang it with a weight of its own behind the loom, since it is taken up "
            "otherwise than the rest (common practice)."
        )
    if kind == "doubled":
        place = (
            "its outermost end goes"
            if ends == 1
            else f"the {ends} outermost ends go"
        )  # fmt: skip
        return (
            f"Doubled edge: {count(ends, 'extra end')} at each side{each}. Where {place} through heddle and dent, "
            "one extra end goes with each, so that they lie double."
        )
    return "No extra ends at the edges."


def _sections(cloth: Cloth) -> list[dict[str, Any]]:
    """Return where the strips of each section lie on the threaded ends."""
    repeat = cloth.technique.threading
    found = []
    for section in cloth.sections:
        rows = []
        for strip in section.strips:
            first, ends, idle = strip.lay.first_end, strip.written.ends, strip.written.idle_after
            rows.append(
                {
                    "what": printable(strip.name),
                    "ends": f"ends {span(first + 1, first + ends)}",
                    "shafts": threading_words(repeat, ends, strip.lay.start),
                    "idle": f"then ends {span(first + ends + 1, first + ends + idle)} idle" if idle else "",
                }
            )
        found.append({"name": printable(section.name), "strips": rows})
    return found
