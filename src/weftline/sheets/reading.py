"""How to read the pattern: the words explained once, the marks, and three lines of the piece as an example."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from weftline.sheets.chart import COLUMN, LINE, chart_svg, columns_of
from weftline.sheets.lines import as_written, lines_of, strands_words
from weftline.sheets.sheds import sheds_of
from weftline.sheets.wording import printable

if TYPE_CHECKING:
    from collections.abc import Sequence

    from weftline.core.plan.plan import Plan
    from weftline.sheets.chart import Palette
    from weftline.sheets.lines import Line

EXAMPLE_LINES = 3
EXAMPLE_LINE_MM = 7.5
SEARCHED = 3000


def reading_data(plan: Plan, palette: Palette) -> dict[str, Any]:
    """Return the words of the page and its example."""
    return {
        "words": _words(plan),
        "example": _example(plan, palette),
        "marks": [
            {"key": key, "mark": palette.looks[key].words, "name": printable(plan.project.yarns[key].name or key)}
            for key in plan.weft
        ],
    }


def _example(plan: Plan, palette: Palette) -> dict[str, Any]:
    section = plan.cloth.sections[0]
    strip = section.strips[0]
    lines = lines_of(plan.cloth, [strip])
    first = _telling(lines)
    last = min(first + EXAMPLE_LINES, len(lines))
    columns, _ = columns_of(plan.cloth, strip.lay.start)
    shown = [(place, float(place - first)) for place in range(first, last)]
    line_mm = min(EXAMPLE_LINE_MM, 58 * LINE / COLUMN / len(columns))
    sheds = sheds_of(plan.cloth)
    picks = [
        f"shed {sheds[pick.shed].number}, {sheds[pick.shed].lift}: {strands_words(strip.weaving.windings[pick.wound[0]])}"
        for pick in lines[first].picks
    ]
    return {
        "svg": chart_svg(lines, shown, columns, palette, last - first),
        "width": len(columns) * line_mm * COLUMN / LINE,
        "line_mm": line_mm,
        "shafts": [str(shaft) for shaft in columns],
        "lines": [
            {"number": place + 1, "written": as_written(lines[place], plan.project, strip.weaving.windings)}
            for place in range(first, last)
        ],
        "first": first + 1,
        "picks": picks,
        "alt": f"Lines {first + 1} to {last} of the piece, enlarged, the first at the foot.",
    }


def _telling(lines: Sequence[Line]) -> int:
    """Return the first line of three in a row that have most yarns and are all unlike and complete."""
    best, found = (-1, -1), 0
    for place in range(max(1, min(len(lines), SEARCHED) - EXAMPLE_LINES + 1)):
        group = lines[place : place + EXAMPLE_LINES]
        whole = sum(not line.is_incomplete and not line.is_back for line in group)
        yarns = {pick.wound for line in group for pick in line.picks}
        score = (whole, len(set(group)) + len(yarns) + len({pick.wound for pick in group[0].picks}))
        if score > best:
            best, found = score, place
    return found


def _words(plan: Plan) -> list[dict[str, str]]:
    sheds = len(plan.cloth.technique.sheds)
    return [
        {
            "word": "Line",
            "says": f"One round of the sheds, {sheds} picks here. Many weavers say row. Beaten in, its picks close up "
            "into one row across the cloth. Lines are numbered from the first one woven, and the chart grows "
            "upwards as the cloth does: line 1 is at the foot.",
        },
        {"word": "Pick", "says": "One passage of the weft through one shed, from edge to edge."},
        {"word": "Shed", "says": "The opening for a pick. Its number stands in the table of sheds, with what to "
         "raise or lower."},
        {"word": "Bead", "says": "One spot of weft on the face, where a pick lies over an end. In the chart it is an "
         "oval in the yarn’s colour, with the yarn’s mark."},
        {"word": "2 n", "says": "In the steps: two strands of yarn n, wound together on one shuttle. “1 b + 1 n” is one "
         "strand of each, wound together. In the chart a letter alone stands for a yarn as Materials says to wind it, "
         "and “b+n” for one strand of each."},
        {"word": "–", "says": "No pick in this shed: leave it out and go on. Such a line is marked incomplete."},
        {"word": "Back", "says": "A line whose last shed comes first. The steps print its picks in the order in which they are thrown; the "
         "chart writes its yarns in the order of the sheds, as always, and adds “back”."},
        {"word": "Face and back", "says": _face(plan)},
    ]  # fmt: skip


def _face(plan: Plan) -> str:
    if plan.project.weave.face == "up":
        return (
            "The chart shows the face, which lies up in the loom. Its columns are one repeat of the threading as you "
            "sit at the loom, left to right. The back has long floats and is not charted."
        )
    return (
        "The chart shows the face, but this piece is woven face down: at the loom you see the back. The columns are one "
        "repeat of the threading in the order of the shafts printed under them."
    )
