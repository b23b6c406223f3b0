"""The rows of the steps: what stands under a line's number, and the boxes in which its lines are ticked."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from weftline.sheets.lines import Line

GROUP_WIDE, GROUP_NARROW = 6, 4
"""Cells of a box that stand side by side; more lines go into a further box."""

MOST_CELLS = 24
"""With more lines than this a cell stands for several."""

MOST_TIMES = 8
"""A repeat woven more often is ticked where its times are listed."""


def row_words(line: Line, lines: int, cell: int) -> list[str]:
    """Return what is said of a row's lines; each stands unbroken."""
    words = [] if lines == 1 else [f"this line {again(lines)}"]
    if line.is_back:
        words.append("last shed first")
    if line.is_incomplete:
        words.append("incomplete")
    if cell > 1:
        words.append(f"a box for {cell} lines")
    return words


def again(number: int) -> str:
    """Return ``once``, ``2 times``."""
    return "once" if number == 1 else f"{number:,} times"


def boxes(lines: int, repeats: int, group: int) -> tuple[list[int], int]:
    """Return the cells of each box of a row, and how many lines a cell stands for.

    Examples
    --------
    >>> boxes(2, 3, 6), boxes(8, 1, 6), boxes(60, 1, 6)[1]
    (([2, 2, 2], 1), ([6, 2], 1), 6)
    """
    cell = 1 if lines <= MOST_CELLS else max(6, math.ceil(lines / MOST_CELLS))
    cells = math.ceil(lines / cell)
    once = [min(group, cells - start) for start in range(0, cells, group)]
    return once * repeats, cell


def are_boxed(runs: list[int], repeats: int) -> bool:
    """Return whether the boxes of every time of a repeat find room in its rows."""
    return repeats <= MOST_TIMES and max(runs) * repeats <= MOST_CELLS
