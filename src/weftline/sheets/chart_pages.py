"""The chart's pages: columns of lines that grow upwards, with band names beside them, broken only between lines."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from weftline.sheets.chart import COLUMN, LINE, chart_svg, columns_of
from weftline.sheets.chart_columns import BRACKET_MM, NAME_MM, NUMBER_MM, Filler
from weftline.sheets.fonts import line_count, width_mm
from weftline.sheets.lines import as_written, lines_of, spans_of, stretches
from weftline.sheets.wording import BREAK, lines_words, printable

if TYPE_CHECKING:
    from collections.abc import Sequence

    from weftline.core.piece.cloth import Cloth, StripCloth
    from weftline.sheets.chart import Palette
    from weftline.sheets.chart_columns import Column
    from weftline.sheets.lines import Line
    from weftline.sheets.paper import Paper

LINE_MM = 4.6
GUTTER_MM = 3.0
WORDS_PT, SMALL_WORDS_PT, SMALL_LINE_MM = 9.0, 7.0, 3.2
WORDS_LEFT_MM, LEAST_WORDS_MM = 2.5, 14.0
HEADING_PT, HEADING_MM = 18.0, 8.2
OUTSIDE_MM = 28.0
"""Height of a chart page's shaft numbers and explanation, and the space under its heading."""


@dataclass(frozen=True, slots=True)
class _Measures:
    """How large the parts of a chart are; lengths in mm."""

    line_mm: float
    beads_mm: float
    words_mm: float
    words_pt: float

    @property
    def side_mm(self) -> float:
        """Width of a whole column."""
        return NAME_MM + NUMBER_MM + BRACKET_MM + self.beads_mm + self.words_mm


def _measures(written: Sequence[str], columns: int, paper: Paper) -> _Measures:
    """Return measures in which the longest line as written finds room, in smaller letters where it must."""
    beads = columns * LINE_MM * COLUMN / LINE
    most = paper.text_width_mm - NAME_MM - NUMBER_MM - BRACKET_MM - beads - WORDS_LEFT_MM
    needed = max((width_mm(text, WORDS_PT, spacing=1.7) for text in written), default=0.0) + 1
    if needed <= most:
        return _Measures(LINE_MM, beads, max(LEAST_WORDS_MM, needed + WORDS_LEFT_MM), WORDS_PT)
    rows = max(line_count(text, SMALL_WORDS_PT, most * 0.8) for text in written)
    return _Measures(max(LINE_MM, rows * SMALL_LINE_MM + 1), beads, most + WORDS_LEFT_MM, SMALL_WORDS_PT)


def strip_chart(cloth: Cloth, strip: StripCloth, palette: Palette, paper: Paper, heading: str) -> dict[str, Any]:
    """Return the chart of one strip: pages of columns, each with its drawing and the words beside it."""
    lines = lines_of(cloth, [strip])
    known = {line: as_written(line, cloth.project, strip.weaving.windings) for line in dict.fromkeys(lines)}
    columns, whole = columns_of(cloth, strip.lay.start)
    sizes = _measures(list(known.values()), len(columns), paper)
    if sizes.words_pt < WORDS_PT:
        known = {line: text.replace("+", f"+{BREAK}") for line, text in known.items()}
    across = max(1, int((paper.text_width_mm + GUTTER_MM) // (sizes.side_mm + GUTTER_MM)))
    width = (paper.text_width_mm - GUTTER_MM * (across - 1)) / across
    above = HEADING_MM * line_count(f"{heading}, continued", HEADING_PT, paper.text_width_mm, bold=True)
    room = paper.text_height_mm - OUTSIDE_MM - above
    filler = Filler([known[line] for line in lines], sizes.line_mm, room, width)
    for band in spans_of([strip]):
        filler.band(printable(band.names[0]), band, stretches(lines, band.first, band.last))
    drawn = [_drawn(column, lines, columns, palette, sizes) for column in filler.columns]
    return {
        "heading": heading,
        "width": width,
        "name_mm": NAME_MM,
        "number_mm": NUMBER_MM,
        "bracket_mm": BRACKET_MM,
        "beads_mm": sizes.beads_mm,
        "column_mm": sizes.beads_mm / len(columns),
        "line_mm": sizes.line_mm,
        "words_mm": sizes.words_mm,
        "words_pt": sizes.words_pt,
        "room_mm": filler.room_mm,
        "gutter_mm": GUTTER_MM,
        "shafts": [str(shaft) for shaft in columns],
        "whole_repeat": whole,
        "pages": [drawn[place : place + across] for place in range(0, len(drawn), across)],
    }


def _drawn(
    column: Column, lines: Sequence[Line], shafts: Sequence[int], palette: Palette, sizes: _Measures
) -> dict[str, Any]:
    tall = column.height / sizes.line_mm
    shown = [(line["place"], line["foot"] / sizes.line_mm) for line in column.lines]
    first, last = (column.lines[0]["number"], column.lines[-1]["number"]) if column.lines else (0, 0)
    return {
        "svg": chart_svg(lines, shown, shafts, palette, tall),
        "alt": f"Chart of {lines_words(first, last)}, the first at the foot; the yarns of each line stand beside it.",
        "height_mm": column.height,
        "names": column.names,
        "lines": [{key: line[key] for key in ("foot", "number", "written")} for line in column.lines],
        "notes": column.notes,
        "brackets": column.brackets,
    }
