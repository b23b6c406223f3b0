"""The chart's pages: columns of lines that grow upwards, with band names beside them, broken only between lines."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from weftline.sheets.chart import COLUMN, LINE, chart_svg, columns_of
from weftline.sheets.chart_columns import BRACKET_MM, NAME_MM, NUMBER_MM, Filler
from weftline.sheets.fonts import line_count, width_mm
from weftline.sheets.lines import as_charted, lines_of, spans_of, stretches
from weftline.sheets.wording import BREAK, lines_words, printable

if TYPE_CHECKING:
    from collections.abc import Sequence

    from weftline.core.piece.cloth import Cloth, StripCloth
    from weftline.sheets.chart import Palette
    from weftline.sheets.chart_columns import Column
    from weftline.sheets.lines import Line, Span, Stretch
    from weftline.sheets.paper import Paper

LINE_MM, LOWER_LINES_MM = 4.6, (4.3, 3.9)
"""Height of a line, and how low it may be where that saves a page."""

GUTTER_MM = 3.0
WORDS_PT, SMALL_WORDS_PT, SMALL_LINE_MM = 9.0, 7.0, 3.2
WORDS_LEFT_MM, LEAST_WORDS_MM = 2.5, 14.0
HEADING_PT, HEADING_MM = 18.0, 8.2
OUTSIDE_MM = 25.0
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


def _measures(written: Sequence[str], columns: int, paper: Paper, line_mm: float = LINE_MM) -> _Measures:
    """Return measures in which the longest line as written finds room, in smaller letters where it must."""
    beads = columns * line_mm * COLUMN / LINE
    most = paper.text_width_mm - NAME_MM - NUMBER_MM - BRACKET_MM - beads - WORDS_LEFT_MM
    needed = max((width_mm(text, WORDS_PT, spacing=1.7) for text in written), default=0.0) + 1
    if needed <= most:
        return _Measures(line_mm, beads, max(LEAST_WORDS_MM, needed + WORDS_LEFT_MM), WORDS_PT)
    rows = max(line_count(text, SMALL_WORDS_PT, most * 0.8) for text in written)
    return _Measures(max(line_mm, rows * SMALL_LINE_MM + 1), beads, most + WORDS_LEFT_MM, SMALL_WORDS_PT)


def strip_chart(cloth: Cloth, strip: StripCloth, palette: Palette, paper: Paper, heading: str) -> dict[str, Any]:
    """Return the chart of one strip: pages of columns, each with its drawing and the words beside it."""
    lines = lines_of(cloth, [strip])
    known = {line: as_charted(line, cloth.project, strip.weaving.windings) for line in dict.fromkeys(lines)}
    columns, whole = columns_of(cloth, strip.lay.start)
    sizes = _measures(list(known.values()), len(columns), paper)
    if sizes.words_pt < WORDS_PT:
        known = {line: text.replace("+", f"+{BREAK}") for line, text in known.items()}
    written = [known[line] for line in lines]
    bands = [(printable(band.names[0]), band, stretches(lines, band.first, band.last)) for band in spans_of([strip])]
    above = HEADING_MM * line_count(f"{heading}, continued", HEADING_PT, paper.text_width_mm, bold=True)
    filler, across = _filled(bands, written, sizes, paper, above)
    for line_mm in LOWER_LINES_MM if sizes.words_pt == WORDS_PT and len(filler.columns) > across else ():
        low = _measures(list(known.values()), len(columns), paper, line_mm)
        other, more = _filled(bands, written, low, paper, above)
        if -(-len(other.columns) // more) < -(-len(filler.columns) // across):
            filler, across, sizes = other, more, low
    drawn = [_drawn(column, lines, columns, palette, sizes) for column in filler.columns]
    return {
        "heading": heading,
        "width": filler.width_mm,
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
        "shafts": [[str(shaft) for shaft in columns]] * across,
        "whole_repeat": whole,
        "turned": any(line.is_back for line in lines),
        "pages": [drawn[place : place + across] for place in range(0, len(drawn), across)],
    }


def _filled(
    bands: Sequence[tuple[str, Span, list[Stretch]]],
    written: Sequence[str],
    sizes: _Measures,
    paper: Paper,
    above: float,
) -> tuple[Filler, int]:
    """Return filled columns, and how many of them stand side by side; ``above`` is the height of the heading in mm."""
    across = max(1, int((paper.text_width_mm + GUTTER_MM) // (sizes.side_mm + GUTTER_MM)))
    width = (paper.text_width_mm - GUTTER_MM * (across - 1)) / across
    filler = Filler(written, sizes.line_mm, paper.text_height_mm - OUTSIDE_MM - above, width)
    for name, band, parts in bands:
        filler.band(name, band, parts)
    return filler, across


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
