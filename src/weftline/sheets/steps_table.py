"""The steps: band by band, every line with its picks in the order in which they are thrown."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from weftline.core.findings import Quantity, joined
from weftline.core.piece.settings import line_height, settings_of
from weftline.sheets.fonts import width_mm
from weftline.sheets.lines import NOT_THROWN, leading, lines_of, runs_of, spans_of, strands_words, stretches
from weftline.sheets.sheds import sheds_of
from weftline.sheets.wording import lines_words, listed, printable, span, times

if TYPE_CHECKING:
    from collections.abc import Sequence

    from weftline.core.piece.cloth import Cloth, SectionCloth
    from weftline.core.weave.picks import Winding
    from weftline.sheets.figures import Rich, Units
    from weftline.sheets.lines import Line, Span, Stretch
    from weftline.sheets.sheds import Shed

MOST_ACROSS = 4
"""With more sheds a line, or with several strips, each pick has a row of its own."""

MOST_SIDE_BY_SIDE = 4
"""More strips are listed by name in each row."""

MOST_BOXES = 8
NO_PICK = f"{NOT_THROWN} no pick"
ROW_MM = 170.0
"""Width of a row on the narrower paper."""

CHIP_MM = 4.3
TEXT_PT, LIFT_PT, SMALL_PT = 10.0, 8.0, 7.4


def section_steps(cloth: Cloth, section: SectionCloth, units: Units) -> dict[str, Any]:
    """Return the steps of a section woven once."""
    lines = lines_of(cloth, section.strips)
    sheds = sheds_of(cloth)
    cells = _Cells(sheds, cloth.windings)
    lead = leading(section.strips)
    ends = [0.0]
    done = 0
    for line in lines:
        done += len(line.picks)
        ends.append(float(lead.weaving.picks.top_mm[done - 1]))
    bands = []
    for band in spans_of(section.strips):
        own = lines[band.first : band.last + 1]
        written = lead.written.bands[band.band].lines_per_cm
        beat = settings_of(cloth.project).line_height_mm if written is None else line_height(written, None)
        layout, boxes = _layout(section, own, cells)
        height = Quantity(ends[band.last + 1] - ends[band.first], joined(beat.basis))
        bands.append(
            {
                "name": _band_name(section, band),
                "detail": _detail(band, own, (height, beat), sheds, units),
                "layout": layout,
                "columns": max(len(line.sheds) for line in own),
                "parts": [_part(lines, part, cells, boxes) for part in stretches(lines, band.first, band.last)],
            }
        )
    return {
        "strips": [printable(strip.name) for strip in section.strips],
        "bands": bands,
        "before": _before(cloth, section, units),
    }


def _layout(section: SectionCloth, lines: Sequence[Line], cells: _Cells) -> tuple[str, int]:
    """Return how the picks of a band are laid (``across``, ``down`` or ``listed``), and how many boxes have room."""
    if len(section.strips) > 1:
        return "listed" if len(section.strips) > MOST_SIDE_BY_SIDE else "down", MOST_BOXES
    sheds = max(len(line.sheds) for line in lines)
    if sheds > MOST_ACROSS:
        return "down", MOST_BOXES
    widest = max(cells.width_mm(cell, sheds) for line in dict.fromkeys(lines) for cell in cells.of(line))
    fitting = [boxes for boxes in range(1, MOST_BOXES + 1) if widest <= _cell_mm(sheds, boxes)]
    return ("across", max(fitting)) if fitting else ("down", MOST_BOXES)


def _cell_mm(sheds: int, boxes: int) -> float:
    """Return the room for one pick where a line has so many picks and boxes, as the template lays them."""
    number, gutter = (28.0, 2.4) if sheds == MOST_ACROSS else (36.0, 3.0)
    return (ROW_MM - number - max(5.0, 3.95 * boxes) - gutter * (sheds + 1)) / sheds


def _band_name(section: SectionCloth, band: Span) -> str:
    if len(set(band.names)) == 1:
        return printable(band.names[0])
    pairs = zip(section.strips, band.names, strict=True)
    return "; ".join(f"{printable(strip.name)}: {printable(name)}" for strip, name in pairs)


def _detail(
    band: Span, lines: Sequence[Line], sizes: tuple[Quantity, Quantity], sheds: dict[int, Shed], units: Units
) -> Rich:
    height, line_mm = sizes
    found: Rich = [f"{lines_words(band.first + 1, band.last + 1)}, ", units.short(height, 1), ", "]
    found.append(units.per_length(Quantity(1 / line_mm.value, line_mm.basis), "lines"))
    numbers = [str(sheds[mask].number) for mask in lines[0].sheds]
    found.append(f"; shed{'s' if len(numbers) > 1 else ''} {listed(numbers)}")
    return found


class _Cells:
    """Turns picks into what stands in the table."""

    def __init__(self, sheds: dict[int, Shed], windings: Sequence[Winding]) -> None:
        self.sheds, self.windings = sheds, windings
        self.known: dict[Line, list[dict[str, Any]]] = {}

    def of(self, line: Line) -> list[dict[str, Any]]:
        """Return one cell for each shed of a line, in the order thrown."""
        if line not in self.known:
            self.known[line] = [
                {
                    "shed": str(self.sheds[mask].number),
                    "lift": self.sheds[mask].lift,
                    "yarns": [NO_PICK] if pick is None else [self._wound(wound) for wound in pick.wound],
                    "chips": [] if pick is None else [self._keys(wound) for wound in pick.wound],
                    "thrown": pick is not None,
                }
                for mask, pick in line.in_order()
            ]
        return self.known[line]

    def width_mm(self, cell: dict[str, Any], columns: int) -> float:
        """Return how wide a pick is set, where a line has so many."""
        small = SMALL_PT if columns == MOST_ACROSS else LIFT_PT
        lift = width_mm(f" {cell['lift']}: ", small) if cell["thrown"] else 1.0
        yarn = width_mm(cell["yarns"][0], TEXT_PT, spacing=1.5) + CHIP_MM * sum(map(len, cell["chips"]))
        return width_mm(f"{cell['shed']} ", TEXT_PT, bold=True) + lift + yarn

    def _wound(self, wound: int) -> str:
        return NOT_THROWN if wound < 0 else strands_words(self.windings[wound])

    def _keys(self, wound: int) -> list[str]:
        return [] if wound < 0 else [key for key, _ in self.windings[wound]]


def _part(lines: Sequence[Line], stretch: Stretch, cells: _Cells, room: int) -> dict[str, Any]:
    """Return one stretch: a sentence if it is repeated, its rows, and how many boxes each wants."""
    if stretch.count == 1:
        return {"repeat": None, "rows": [_row(lines, stretch.first, stretch.last, cells, 1)]}
    boxes = stretch.times if stretch.times <= room else 1
    rows = [_row(lines, first, last, cells, boxes) for first, last in runs_of(lines, stretch)]
    return {"repeat": _repeat(stretch, boxed=boxes > 1) if stretch.times > 1 else None, "rows": rows}


def _repeat(stretch: Stretch, *, boxed: bool) -> dict[str, Any]:
    """Return the sentence before lines that come again, and the running lines of every time."""
    unit = lines_words(stretch.first + 1, stretch.first + stretch.count)
    each = [span(first + 1, first + stretch.count) for first in stretch.firsts()]
    return {
        "sentence": f"Weave {unit} {times(stretch.times)} in all, up to line {stretch.last + 1}.",
        "times": [{"time": f"time {number}", "lines": f"lines {text}"} for number, text in enumerate(each, start=1)],
        "boxed": boxed,
        "end": f"End of the repeat: all {times(stretch.times)} woven, up to line {stretch.last + 1}.",
    }


def _row(lines: Sequence[Line], first: int, last: int, cells: _Cells, boxes: int) -> dict[str, Any]:
    line = lines[first]
    notes = []
    if line.is_back:
        notes.append("back")
    if line.is_incomplete:
        notes.append("incomplete")
    return {
        "number": span(first + 1, last + 1),
        "count": "" if first == last else times(last - first + 1),
        "cells": cells.of(line),
        "note": ", ".join(notes),
        "boxes": boxes,
    }


def _before(cloth: Cloth, section: SectionCloth, units: Units) -> list[Rich]:
    """Return what to do before the first line of a section."""
    found: list[Rich] = []
    heading = cloth.project.allowances.heading_cm
    if heading is None or heading > 0:
        scrap = units.short(settings_of(cloth.project).heading_mm)
        found.append(
            ["Weave ", scrap, " of scrap heading before line 1 and again after the last line; it is taken out later."]
        )
    if section.written.pieces > 1:
        found.append([f"Weave all of this {times(section.written.pieces)}: {section.written.pieces} pieces alike."])
    if len(section.strips) > 1:
        found.append(["Use each shed on every strip, from left to right, before you change it."])
    return found
