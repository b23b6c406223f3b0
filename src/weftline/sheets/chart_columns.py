"""Filling the columns of a chart from the foot up: names at the feet of bands, no line split, none left alone."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

from weftline.sheets.fonts import line_count
from weftline.sheets.wording import lines_words, times

if TYPE_CHECKING:
    from collections.abc import Sequence

    from weftline.sheets.lines import Span, Stretch

NUMBER_MM, BRACKET_MM = 10.0, 3.5
NAME_PT, NAME_LINE_MM = 9.5, 4.4
AROUND_NAME_MM = 5.0
AROUND_NOTE_MM = 5.0


@dataclass(slots=True)
class Column:
    """One column of the chart while it is filled, from the foot up; heights in mm."""

    height: float = 0.0
    names: list[dict[str, Any]] = field(default_factory=list)
    lines: list[dict[str, Any]] = field(default_factory=list)
    notes: list[dict[str, Any]] = field(default_factory=list)
    brackets: list[dict[str, Any]] = field(default_factory=list)


@dataclass(slots=True)
class Filler:
    """Fills columns of one strip's chart."""

    written: Sequence[str]
    line_mm: float
    room_mm: float
    width_mm: float
    columns: list[Column] = field(default_factory=lambda: [Column()])

    def band(self, name: str, band: Span, parts: Sequence[Stretch]) -> None:
        """Put a band: its name, and above it its lines."""
        height = self._name_mm(name) + 2 * self.line_mm
        if self.columns[-1].height and self.columns[-1].height + height > self.room_mm:
            self.columns.append(Column())
        self._name(name, band.first, band.last)
        for part in parts:
            self._stretch(part, name, band.last)

    def _name_mm(self, text: str) -> float:
        return NAME_LINE_MM * (line_count(text, NAME_PT, self.width_mm - 2, bold=True) + 1) + AROUND_NAME_MM

    def _name(self, text: str, first: int, last: int) -> None:
        column = self.columns[-1]
        height = self._name_mm(text)
        detail = lines_words(first + 1, last + 1)
        column.names.append({"foot": column.height, "height": height, "text": text, "detail": detail})
        column.height += height

    def _stretch(self, stretch: Stretch, name: str, band_last: int) -> None:
        """Put lines, and above a repeat the sentence that tells of it."""
        note = _note(stretch)
        note_mm = NAME_LINE_MM * line_count(note, 9, self.width_mm - NUMBER_MM - 3) + AROUND_NOTE_MM if note else 0.0
        foot = self.columns[-1].height
        for place in range(stretch.first, stretch.first + stretch.count):
            left = stretch.first + stretch.count - place
            needed = self.line_mm * (2 if left == 2 else 1) + (note_mm if left <= 2 else 0.0)
            if self.columns[-1].height + needed > self.room_mm and self.columns[-1].lines:
                self._bracket(foot, stretch)
                self.columns.append(Column())
                self._name(f"{name}, continued", place, band_last)
                foot = self.columns[-1].height
            column = self.columns[-1]
            column.lines.append(
                {"foot": column.height, "place": place, "number": place + 1, "written": self.written[place]}
            )
            column.height += self.line_mm
        self._bracket(foot, stretch)
        if note:
            column = self.columns[-1]
            column.notes.append({"foot": column.height, "height": note_mm, "text": note})
            column.height += note_mm

    def _bracket(self, foot: float, stretch: Stretch) -> None:
        column = self.columns[-1]
        if column.height > foot:
            column.brackets.append({"foot": foot, "top": column.height, "repeated": stretch.times > 1})


def _note(stretch: Stretch) -> str:
    if stretch.times == 1:
        return ""
    unit_last = stretch.first + stretch.count
    more = f"Lines {unit_last + 1}–{stretch.last + 1}"
    if stretch.count == 1:
        return f"{more}: the same as line {unit_last}. It is woven {times(stretch.times)} in all."
    unit = f"lines {stretch.first + 1}–{unit_last}"
    return f"{more}: {unit} {times(stretch.times - 1)} more. They are woven {times(stretch.times)} in all."
