"""Filling the columns of a chart from the foot up: names beside their lines, bands and repeats kept whole."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

from weftline.sheets.fonts import line_count
from weftline.sheets.wording import lines_words, times

if TYPE_CHECKING:
    from collections.abc import Sequence

    from weftline.sheets.lines import Span, Stretch

NAME_MM, NUMBER_MM, BRACKET_MM = 20.0, 8.0, 3.5
NAME_PT, NOTE_LINE_MM = 9.0, 4.6
BETWEEN_BANDS_MM = 6.0
"""Half a line of beads stands out below and above a band; the rest is clear space."""

AROUND_NOTE_MM = 6.0
LEAST_LINES = 4
"""A band too long for one column begins where at least so many of its lines find room."""


@dataclass(slots=True)
class Column:
    """One column of the chart while it is filled, from the foot up; heights in mm."""

    height: float = 0.0
    names: list[dict[str, Any]] = field(default_factory=list)
    lines: list[dict[str, Any]] = field(default_factory=list)
    notes: list[dict[str, Any]] = field(default_factory=list)
    brackets: list[dict[str, Any]] = field(default_factory=list)


@dataclass(slots=True)
class _Started:
    """The part of a band that stands in the column being filled."""

    text: str
    foot: float
    first: int
    last: int


@dataclass(slots=True)
class Filler:
    """Fills columns of one strip's chart."""

    written: Sequence[str]
    line_mm: float
    room_mm: float
    width_mm: float
    columns: list[Column] = field(default_factory=lambda: [Column()])

    def band(self, name: str, band: Span, parts: Sequence[Stretch]) -> None:
        """Put a band: its lines, and beside them its name."""
        if self.columns[-1].lines:
            whole = max(sum(map(self._stretch_mm, parts)), self._name_mm(name))
            least = whole if whole <= self.room_mm else LEAST_LINES * self.line_mm
            if self.columns[-1].height + BETWEEN_BANDS_MM + least > self.room_mm:
                self.columns.append(Column())
            else:
                self.columns[-1].height += BETWEEN_BANDS_MM
        started = _Started(name, self.columns[-1].height, band.first, band.first)
        for part in parts:
            started = self._stretch(part, name, started)
        self._close(started)

    def _name_mm(self, text: str) -> float:
        return self.line_mm * (line_count(text, NAME_PT, NAME_MM - 2, bold=True) + 1)

    def _note_mm(self, stretch: Stretch) -> float:
        note = _note(stretch)
        rows = line_count(note, 9, self.width_mm - NAME_MM - NUMBER_MM - 3)
        return NOTE_LINE_MM * rows + AROUND_NOTE_MM if note else 0.0

    def _stretch_mm(self, stretch: Stretch) -> float:
        return self.line_mm * stretch.count + self._note_mm(stretch)

    def _close(self, started: _Started) -> None:
        """Put the name beside the lines of a band in this column; a short band is as high as its name."""
        column = self.columns[-1]
        column.height = max(column.height, started.foot + self._name_mm(started.text))
        column.names.append(
            {
                "foot": started.foot,
                "top": column.height,
                "text": started.text,
                "detail": lines_words(started.first + 1, started.last + 1),
            }
        )

    def _go_on(self, started: _Started, name: str, place: int) -> _Started:
        """Close the band in this column and begin the next."""
        self._close(started)
        self.columns.append(Column())
        return _Started(f"{name}, continued", 0.0, place, place)

    def _stretch(self, stretch: Stretch, name: str, started: _Started) -> _Started:
        """Put lines, and above a repeat the sentence that tells of it."""
        note_mm = self._note_mm(stretch)
        column = self.columns[-1]
        if (
            column.lines
            and note_mm
            and column.height + self._stretch_mm(stretch) > self.room_mm >= self._stretch_mm(stretch)
        ):
            started = self._go_on(started, name, stretch.first)
        foot = self.columns[-1].height
        for place in range(stretch.first, stretch.first + stretch.count):
            left = stretch.first + stretch.count - place
            needed = self.line_mm * (2 if left == 2 else 1) + (note_mm if left <= 2 else 0.0)
            if self.columns[-1].height + needed > self.room_mm and self.columns[-1].lines:
                self._bracket(foot, stretch)
                started = self._go_on(started, name, place)
                foot = 0.0
            column = self.columns[-1]
            column.lines.append(
                {"foot": column.height, "place": place, "number": place + 1, "written": self.written[place]}
            )
            column.height += self.line_mm
            started.last = place
        self._bracket(foot, stretch)
        if note_mm:
            column = self.columns[-1]
            column.notes.append({"foot": column.height, "height": note_mm, "text": _note(stretch)})
            column.height += note_mm
            started.last = stretch.last
        return started

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
