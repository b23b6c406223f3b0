"""A pen that measures a drawing."""

from __future__ import annotations

from typing import TYPE_CHECKING

from weftline.drawing.pens import Box

if TYPE_CHECKING:
    from weftline.drawing.pens import Oval, Shape

Bounds = tuple[float, float, float, float]
"""Left, foot, right, top, mm."""


def _around(outline: Oval | Box) -> Bounds:
    if isinstance(outline, Box):
        return outline.left, outline.foot, outline.left + outline.width, outline.foot + outline.height
    feet = (outline.foot, outline.left[1], outline.right[1])
    tops = (outline.top, outline.left[1], outline.right[1])
    return outline.left[0], min(feet), outline.right[0], max(tops)


def _joined(bounds: list[Bounds]) -> Bounds:
    lefts, feet, rights, tops = zip(*bounds, strict=True)
    return min(lefts), min(feet), max(rights), max(tops)


class BoundsPen:
    """Measures everything that is placed; ``bounds`` is None while nothing is."""

    def __init__(self) -> None:
        self._symbols: dict[str, Bounds] = {}
        self.bounds: Bounds | None = None

    def page(self, width_mm: float, height_mm: float, title: str, description: str) -> None:
        """Begin; the size of the page is not a measure of what is on it."""

    def symbol(self, name: str, shapes: tuple[Shape, ...]) -> None:
        """Measure a symbol once."""
        self._symbols[name] = _joined([_around(outline) for shape in shapes for outline in shape.outlines])

    def place(self, name: str, x_mm: float, y_mm: float, colour: str) -> None:
        """Widen the bounds by a symbol put here."""
        left, foot, right, top = self._symbols[name]
        here = (left + x_mm, foot + y_mm, right + x_mm, top + y_mm)
        self.bounds = here if self.bounds is None else _joined([self.bounds, here])
