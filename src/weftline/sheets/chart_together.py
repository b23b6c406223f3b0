"""Charts of strips that are woven together: side by side on one page where each is a single column."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from weftline.sheets.chart_pages import GUTTER_MM
from weftline.sheets.fonts import line_count

if TYPE_CHECKING:
    from collections.abc import Sequence

    from weftline.sheets.paper import Paper

TITLE_PT, TITLE_MM = 10.0, 5.5
"""Size of a strip's name above its column, and the height that a line of it takes."""

ALIKE = ("words_pt", "line_mm", "beads_mm", "whole_repeat")


def side_by_side(
    charts: Sequence[dict[str, Any]], names: Sequence[str], heading: str, paper: Paper
) -> list[dict[str, Any]]:
    """Return one chart of all strips where their columns find room beside each other, else the charts as they are.

    Parameters
    ----------
    charts : sequence of dict
        One for each strip, from the left.
    names : sequence of str
        Of the strips.
    heading : str
        Of the page that they share.
    paper : Paper
    """
    columns = [column for chart in charts for page in chart["pages"] for column in page]
    first = charts[0]
    if (
        len(charts) == 1
        or len(columns) != len(charts)
        or any(chart[key] != first[key] for chart in charts for key in ALIKE)
    ):
        return list(charts)
    words = max(chart["words_mm"] for chart in charts)
    least = first["name_mm"] + first["number_mm"] + first["bracket_mm"] + first["beads_mm"] + words
    width = (paper.text_width_mm - GUTTER_MM * (len(charts) - 1)) / len(charts)
    room = first["room_mm"] - TITLE_MM * max(line_count(name, TITLE_PT, width, bold=True) for name in names)
    if least > width or max(column["height_mm"] for column in columns) > room:
        return list(charts)
    titled = [{**column, "title": name} for column, name in zip(columns, names, strict=True)]
    shafts = [chart["shafts"][0] for chart in charts]
    return [
        {
            **first,
            "heading": heading,
            "width": width,
            "words_mm": words,
            "room_mm": room,
            "shafts": shafts,
            "pages": [titled],
        }
    ]
