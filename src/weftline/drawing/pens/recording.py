"""A pen that remembers what it was told, for tests and for whoever wants to look at a drawing as data."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from weftline.drawing.pens import Shape


@dataclass
class RecordingPen:
    """Keeps the drawing as it was told.

    Attributes
    ----------
    size_mm : (float, float)
    symbols : dict of str to tuple of Shape
    placed : list of (name, x_mm, y_mm, colour)
    """

    size_mm: tuple[float, float] = (0.0, 0.0)
    symbols: dict[str, tuple[Shape, ...]] = field(default_factory=dict)
    placed: list[tuple[str, float, float, str]] = field(default_factory=list)

    def page(self, width_mm: float, height_mm: float, title: str, description: str) -> None:
        """Remember the size."""
        self.size_mm = (width_mm, height_mm)

    def symbol(self, name: str, shapes: tuple[Shape, ...]) -> None:
        """Remember a symbol."""
        self.symbols[name] = shapes

    def place(self, name: str, x_mm: float, y_mm: float, colour: str) -> None:
        """Remember where a symbol was put."""
        self.placed.append((name, x_mm, y_mm, colour))
