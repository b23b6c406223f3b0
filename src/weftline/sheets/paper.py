"""The paper: its size and margins, and so the room for text."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Paper:
    """A sheet, upright; lengths in mm."""

    name: str
    width_mm: float
    height_mm: float
    side_mm: float = 20.0
    top_mm: float = 23.0
    foot_mm: float = 23.0

    @property
    def text_width_mm(self) -> float:
        """Width between the margins."""
        return self.width_mm - 2 * self.side_mm

    @property
    def text_height_mm(self) -> float:
        """Height between the margins."""
        return self.height_mm - self.top_mm - self.foot_mm


PAPERS = {"a4": Paper("a4", 210.0, 297.0), "letter": Paper("letter", 215.9, 279.4)}
"""ISO 216 A4, and letter (8 1/2 x 11 in)."""
