"""The columns of the steps: how wide a line's number stands with what is said beside it, and what its picks need."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from weftline.sheets.fonts import width_mm

if TYPE_CHECKING:
    from collections.abc import Sequence

MOST_ACROSS = 4
"""With more sheds a line, or with several strips, each pick has a row of its own."""

ROW_MM = 170.0
"""Width of a row on the narrower paper."""

CHIP_MM = 4.3
TEXT_PT, SMALL_PT = 10.0, 8.5
"""Size of a pick's words, and where a line has four picks."""

WORDS_PT, SMALL_WORDS_PT = 8.0, 7.5
"""Size of the words beside a line's number, and where a line has four picks."""

NUMBER_MM, SMALL_NUMBER_MM, WIDEST_NUMBER_MM = 34.0, 22.0, 40.5
SPARE_MM = 0.6
FEW_STRIPS = 2
"""With more strips side by side the numbers keep to their least width."""


def is_dense(layout: str, columns: int) -> bool:
    """Return whether a band is set in the smaller size: four picks side by side."""
    return layout == "across" and columns == MOST_ACROSS


def least_number_mm(*, dense: bool) -> float:
    """Return the least width of the column of numbers."""
    return SMALL_NUMBER_MM if dense else NUMBER_MM


def room_mm(columns: int) -> float:
    """Return the room for all numbers and picks of a row where so many picks stand side by side."""
    boxes_mm, gutter = (12.0, 1.6) if columns == MOST_ACROSS else (19.2, 3.0)
    return ROW_MM - boxes_mm - gutter * (columns + 1)


def pick_mm(cell: dict[str, Any], columns: int) -> float:
    """Return how wide a pick is set, where a line has so many."""
    size = SMALL_PT if columns == MOST_ACROSS else TEXT_PT
    lift = width_mm(f" {cell['lift']}: ", size) if cell["thrown"] else 1.0
    yarn = width_mm(cell["yarns"][0], size, spacing=1.5) + CHIP_MM * sum(map(len, cell["chips"]))
    return width_mm(f"{cell['shed']} ", size, bold=True) + lift + yarn


def fits_across(cells: Sequence[dict[str, Any]], columns: int) -> bool:
    """Return whether picks find room side by side, beside numbers of the least width."""
    room = (room_mm(columns) - least_number_mm(dense=columns == MOST_ACROSS)) / columns
    return max(pick_mm(cell, columns) for cell in cells) <= room


def set_number_columns(bands: Sequence[dict[str, Any]], strips: int) -> None:
    """Give every band the width of its numbers, ``number_mm``, the same in all bands of a section that are set alike.

    It is the least in which the most rows have their first words beside their number and all picks keep their room.
    """
    for dense in (False, True):
        alike = [band for band in bands if is_dense(band["layout"], band["columns"]) == dense]
        if not alike:
            continue
        most = min(_most_mm(band, strips) for band in alike)
        needed = [width for band in alike for row in _rows(band) if (width := _row_mm(row, dense=dense)) <= most]
        least = least_number_mm(dense=dense)
        for band in alike:
            band["number_mm"] = round(max([least, *needed]), 2)


def _most_mm(band: dict[str, Any], strips: int) -> float:
    """Return the most that the numbers of a band may take."""
    columns: int = band["columns"]
    least = least_number_mm(dense=is_dense(band["layout"], band["columns"]))
    if band["layout"] != "across":
        return WIDEST_NUMBER_MM if strips <= FEW_STRIPS else least
    widest = max(pick_mm(cell, columns) for row in _rows(band) for cell in row["cells"])
    return min(WIDEST_NUMBER_MM, room_mm(columns) - columns * widest)


def _rows(band: dict[str, Any]) -> list[dict[str, Any]]:
    return [row for part in band["parts"] for row in part["rows"]]


def _row_mm(row: dict[str, Any], *, dense: bool) -> float:
    """Return how wide a line's number is with the first words beside it."""
    number = width_mm(row["number"], TEXT_PT, bold=True)
    if not row["words"]:
        return number + SPARE_MM
    words = width_mm(row["words"][0], SMALL_WORDS_PT if dense else WORDS_PT)
    return number + width_mm(" ", TEXT_PT) + words + SPARE_MM
