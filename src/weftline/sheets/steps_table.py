"""The steps: band by band, every line with its picks in the order in which they are thrown."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from weftline.core.edges.runs import CARRIED_LINES
from weftline.core.findings import Quantity, joined
from weftline.core.piece.settings import line_height, settings_of
from weftline.sheets.headings import foot_words
from weftline.sheets.joins import joins_of, joins_words
from weftline.sheets.lines import NOT_THROWN, leading, lines_of, runs_of, spans_of, strands_words, stretches
from weftline.sheets.resley import again_dressed
from weftline.sheets.rows import GROUP_NARROW, GROUP_WIDE, are_boxed, boxes, row_words
from weftline.sheets.sheds import sheds_of
from weftline.sheets.step_columns import MOST_ACROSS, fits_across, is_dense, set_number_columns
from weftline.sheets.wording import NUMBERS, count, lines_words, listed, printable, span, times

if TYPE_CHECKING:
    from collections.abc import Sequence

    from weftline.core.piece.cloth import SectionCloth
    from weftline.core.plan.plan import Plan
    from weftline.core.weave.picks import Winding
    from weftline.sheets.figures import Rich, Units
    from weftline.sheets.lines import Line, Span, Stretch
    from weftline.sheets.sheds import Shed

MOST_SIDE_BY_SIDE = 4
"""More strips are listed by name in each row."""

NO_PICK = f"{NOT_THROWN} no pick"
WHOLE_MM = 120.0
"""A band lower than this is kept on one page."""

LOW_MM = 50.0
"""The last band, if it is lower than this, stays with the one before."""

WHOLE_REPEAT_MM = 240.0
"""So is a repeat lower than this, with its words, if the page has room for it."""

ACROSS_MM, DOWN_MM = 6.4, 4.7
"""Height of a pick's row where picks stand side by side, and where each has a row of its own."""


def section_steps(plan: Plan, section: SectionCloth, units: Units) -> dict[str, Any]:
    """Return the steps of a section woven once."""
    cloth = plan.cloth
    lines = lines_of(cloth, section.strips)
    sheds = sheds_of(cloth)
    cells = _Cells(sheds, cloth.windings)
    lead = leading(section.strips)
    ends = [0.0]
    done = 0
    for line in lines:
        done += len(line.picks)
        ends.append(float(lead.weaving.picks.top_mm[done - 1]))
    joins = joins_of(section, cloth)
    bands: list[dict[str, Any]] = []
    for band in spans_of(section.strips):
        own = lines[band.first : band.last + 1]
        written = lead.written.bands[band.band].lines_per_cm
        beat = settings_of(cloth.project).line_height_mm if written is None else line_height(written, None)
        layout = _layout(section, own, cells)
        group = GROUP_NARROW if is_dense(layout, max(len(line.sheds) for line in own)) else GROUP_WIDE
        height = Quantity(ends[band.last + 1] - ends[band.first], joined(beat.basis))
        names = [printable(strip.name) for strip in section.strips]
        parts = [
            {**_part(lines, part, cells, group), "joins": joins_words(joins, part, names)}
            for part in stretches(lines, band.first, band.last)
        ]
        bands.append(
            {
                "name": _band_name(section, band),
                "detail": _detail(band, own, (height, beat), sheds, units),
                "layout": layout,
                "columns": max(len(line.sheds) for line in own),
                "parts": parts,
                "heights_mm": _heights_mm(parts, layout),
            }
        )
    _keep_together(bands)
    set_number_columns(bands, len(section.strips))
    return {
        "strips": [printable(strip.name) for strip in section.strips],
        "bands": bands,
        "change": _change(plan, section, units),
        "before": _before(plan, section, units),
    }


def _heights_mm(parts: Sequence[dict[str, Any]], layout: str) -> list[float]:
    """Return about how high each part of a band is set, the first with the band's name."""
    heights = []
    for place, part in enumerate(parts):
        height = (18.0 if place == 0 else 0.0) + (0.0 if part["repeat"] is None else 22.0) + 4.2 * len(part["joins"])
        for row in part["rows"]:
            picks = 1 if layout == "across" else len(row["cells"])
            height += max(
                (ACROSS_MM if layout == "across" else DOWN_MM) * picks,
                6.4 + 3.6 * (len(row["words"]) - 1),
                3.6 * len(row["boxes"]) / 2,
            )
        heights.append(height)
    return heights


def _keep_together(bands: Sequence[dict[str, Any]]) -> None:
    """Say which bands stay on one page, and that the last, if it is low, stays with the one before."""
    last = 0.0
    for band in bands:
        heights = band.pop("heights_mm")
        last = sum(heights)
        band["whole"] = sum(heights) <= WHOLE_MM
        for part, height in zip(band["parts"], heights, strict=True):
            part["whole"] = height <= (WHOLE_MM if part["repeat"] is None else WHOLE_REPEAT_MM)
        band["with_next"] = False
    if len(bands) > 1 and last <= LOW_MM and bands[-2]["whole"]:
        bands[-2]["with_next"] = True


def _layout(section: SectionCloth, lines: Sequence[Line], cells: _Cells) -> str:
    """Return how the picks of a band are laid: ``across``, ``down`` or ``listed``."""
    if len(section.strips) > 1:
        return "listed" if len(section.strips) > MOST_SIDE_BY_SIDE else "down"
    sheds = max(len(line.sheds) for line in lines)
    if sheds > MOST_ACROSS:
        return "down"
    every = [cell for line in dict.fromkeys(lines) for cell in cells.of(line)]
    return "across" if fits_across(every, sheds) else "down"


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
    if short := sum(line.is_incomplete for line in lines):
        found.append(f"; {count(short, 'line')} incomplete, so lower")
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

    def _wound(self, wound: int) -> str:
        return NOT_THROWN if wound < 0 else strands_words(self.windings[wound])

    def _keys(self, wound: int) -> list[str]:
        return [] if wound < 0 else [key for key, _ in self.windings[wound]]


def _part(lines: Sequence[Line], stretch: Stretch, cells: _Cells, group: int) -> dict[str, Any]:
    """Return one stretch: a sentence if it is repeated, and its rows with their boxes."""
    if stretch.count == 1:
        return {"repeat": None, "rows": [_row(lines, (stretch.first, stretch.last), cells, (1, group))]}
    runs = runs_of(lines, stretch)
    boxed = are_boxed([last - first + 1 for first, last in runs], stretch.times)
    rows = [_row(lines, run, cells, (stretch.times if boxed else 0, group)) for run in runs]
    return {"repeat": _repeat(stretch, boxed=boxed) if stretch.times > 1 else None, "rows": rows}


def _repeat(stretch: Stretch, *, boxed: bool) -> dict[str, Any]:
    """Return the sentence before lines that come again, and the running lines of every time."""
    unit = lines_words(stretch.first + 1, stretch.first + stretch.count)
    each = [span(first + 1, first + stretch.count) for first in stretch.firsts()]
    return {
        "still": f"{unit}, {times(stretch.times)} in all",
        "sentence": f"Weave {unit} {times(stretch.times)} in all, up to line {stretch.last + 1}.",
        "times": [{"time": f"time {number}", "lines": f"lines {text}"} for number, text in enumerate(each, start=1)],
        "boxed": boxed,
        "end": f"End of the repeat: all {times(stretch.times)} woven, up to line {stretch.last + 1}.",
    }


def _row(lines: Sequence[Line], run: tuple[int, int], cells: _Cells, ticks: tuple[int, int]) -> dict[str, Any]:
    """Return the row of equal lines; ``ticks`` is how often it is woven (0 is ticked elsewhere) and the width of a box."""
    (first, last), (repeats, group) = run, ticks
    line = lines[first]
    shown, cell = boxes(last - first + 1, repeats, group)
    return {
        "number": span(first + 1, last + 1),
        "words": row_words(line, last - first + 1, cell if repeats else 1),
        "cells": cells.of(line),
        "boxes": shown,
    }


def _before(plan: Plan, section: SectionCloth, units: Units) -> list[Rich]:
    """Return what to do before the first line of a section."""
    of = plan.settings
    found: list[Rich] = []
    if section is plan.cloth.sections[0] and of.sample_mm.value:
        found.append(["First the sample, if it is not woven yet: see How this cloth is woven."])
    if of.fringe_each_end_mm.value or of.heading_mm.value:
        found.append(foot_words(plan, section, units))
    if section.written.pieces > 1:
        found.append([f"Weave all of this {times(section.written.pieces)}: {section.written.pieces} pieces alike."])
    found.append(
        [
            f"Carry or cut: out for {' or '.join(NUMBERS[number] for number in range(1, CARRIED_LINES + 1))} whole lines, "
            "a yarn is carried up the edge, the working weft going round it; out for longer, it is cut and joined in "
            "again, with tails of ",
            units.short(of.tail_mm),
            ". Every start and cut is told above its lines.",
        ]
    )
    if len(section.strips) > 1:
        found.append(
            [
                "Use each shed on every strip before you change it, the left strip first. That is the order of the "
                "strips, not the way that the shuttles go: each strip has its own, and each comes back from the side "
                "where it went out."
            ]
        )
    return found


def _change(plan: Plan, section: SectionCloth, units: Units) -> dict[str, Any]:
    """Return how this section follows the one before it on the loom; no steps where nothing is dressed anew."""
    place = plan.cloth.sections.index(section)
    steps = again_dressed(plan, place, units)
    last = printable(plan.cloth.sections[max(0, place - 1)].name)
    return {"heading": f"From {last} to {printable(section.name)}", "steps": steps}
