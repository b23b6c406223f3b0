"""The chart: every bead a soft oval in its yarn's colour with its mark, lines from the foot up."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from weftline.core.weave.threading import thread
from weftline.sheets.marks import DARK, ink_on

if TYPE_CHECKING:
    from collections.abc import Sequence

    from weftline.core.piece.cloth import Cloth
    from weftline.core.weave.picks import Winding
    from weftline.sheets.lines import Line
    from weftline.sheets.marks import YarnLook

COLUMN, LINE = 17.0, 14.0
"""Width of a column and height of a line, in units of the drawing."""

MOST_COLUMNS = 13
"""A repeat with more ends is drawn with one column for each shaft instead."""


def columns_of(cloth: Cloth, start: int) -> tuple[tuple[int, ...], bool]:
    """Return the shafts of the chart's columns, and whether they are the repeat with its balancing end."""
    repeat = cloth.technique.threading
    if len(repeat) < MOST_COLUMNS:
        return tuple(thread(repeat, len(repeat) + 1, start).tolist()), True
    return tuple(sorted(set(repeat))), False


@dataclass(frozen=True, slots=True)
class Palette:
    """The windings of a piece with the colour and the marks of each."""

    windings: tuple[Winding, ...]
    colours: Sequence[str]
    looks: dict[str, YarnLook]

    def mark(self, wound: int) -> str:
        """Return the marks of what is wound together, in a square of 12 x 12; up to three side by side."""
        ink = ink_on(self.colours[wound])
        drawn = [self.looks[key].drawing(ink) for key, _ in self.windings[wound][:3]]
        if len(drawn) == 1:
            return drawn[0]
        size, step = (0.62, 7.2) if len(drawn) == 2 else (0.5, 6.0)
        left = 6 - step * len(drawn) / 2 + (step - 12 * size) / 2
        return "".join(
            f"<g transform='translate({left + step * place:.2f} {6 - 6 * size:.2f}) scale({size})'>{mark}</g>"
            for place, mark in enumerate(drawn)
        )


@dataclass(frozen=True, slots=True)
class Bead:
    """A bead of one column: heights in lines above the foot of the line, and what is wound."""

    low: float
    high: float
    wound: int


def _centres(line: Line, shaft: int) -> list[tuple[float, int]]:
    """Return height and winding of every pick of a line that shows on a shaft; pick k of n at (k - 1/2)/n."""
    sheds = len(line.sheds)
    found = []
    for pick in line.picks:
        if pick.shed >> (shaft - 1) & 1:
            place = sheds - 1 - pick.slot if line.is_back else pick.slot
            found.append(((place + 0.5) / sheds, pick.wound[0]))
    return found


def beads_of(line: Line, beside: tuple[Line | None, Line | None], shaft: int) -> list[Bead]:
    """Return the beads that one line shows on one shaft, each grown halfway to its neighbours, half a line at most.

    ``beside`` is the line drawn right below it and the one right above it, None where there is none.
    """
    own = _centres(line, shaft)
    under, over = beside
    below = [] if under is None else [centre - 1 for centre, _ in _centres(under, shaft)]
    above = [] if over is None else [centre + 1 for centre, _ in _centres(over, shaft)]
    heights = [*below[-1:], *(centre for centre, _ in own), *above[:1]]
    shift = 1 if below else 0
    beads = []
    for index, (centre, wound) in enumerate(own):
        at = index + shift
        low = max(centre - 0.5, (heights[at - 1] + centre) / 2) if at else centre - 0.5
        high = min(centre + 0.5, (heights[at + 1] + centre) / 2) if at + 1 < len(heights) else centre + 0.5
        beads.append(Bead(low, high, wound))
    return beads


def oval(bead: Bead, left: float, foot: float, palette: Palette) -> str:
    """Return one bead as SVG; ``foot`` is the foot of its line, counted downwards."""
    height = (bead.high - bead.low) * LINE * 0.94
    middle = foot - (bead.low + bead.high) / 2 * LINE
    x = left + COLUMN / 2
    size = min(8.6, height * 0.82)
    return (
        f"<ellipse cx='{x:.2f}' cy='{middle:.2f}' rx='{COLUMN * 0.475:.2f}' ry='{height / 2:.2f}' "
        f"fill='{palette.colours[bead.wound]}' stroke='{DARK}' stroke-width='.45'/>"
        f"<g transform='translate({x - size / 2:.2f} {middle - size / 2:.2f}) scale({size / 12:.3f})'>"
        f"{palette.mark(bead.wound)}</g>"
    )


def chart_svg(lines: Sequence[Line], shown: Sequence[tuple[int, float]], columns: Sequence[int], palette: Palette,
              height: float) -> str:  # fmt: skip
    """Return a chart as SVG.

    Parameters
    ----------
    lines : sequence of Line
        All lines of the strip.
    shown : sequence of (int, float)
        Which lines, each with the height of its foot above the foot of the drawing, in lines. Beads grow
        together where two lines stand right on each other; elsewhere they are whole.
    columns : sequence of int
        Shaft of each column.
    palette : Palette
    height : float
        Height of the drawing, in lines; half a line is added below and above for beads that stand out.
    """
    wide, tall = COLUMN * len(columns), LINE * (height + 1)
    parts = [
        f"<svg xmlns='http://www.w3.org/2000/svg' width='{wide:.2f}' height='{tall:.2f}' "
        f"viewBox='0 0 {wide:.2f} {tall:.2f}'>"
    ]
    feet = dict(shown)

    def beside(place: int, step: int) -> Line | None:
        touches = place + step in feet and abs(feet[place + step] - feet[place] - step) < 0.01
        return lines[place + step] if touches else None

    for place, above in shown:
        foot = tall - LINE / 2 - above * LINE
        around = (beside(place, -1), beside(place, 1))
        by_shaft = {shaft: beads_of(lines[place], around, shaft) for shaft in dict.fromkeys(columns)}
        for column, shaft in enumerate(columns):
            parts += [oval(bead, column * COLUMN, foot, palette) for bead in by_shaft[shaft]]
    return "".join([*parts, "</svg>"])
