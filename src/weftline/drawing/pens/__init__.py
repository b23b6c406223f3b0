"""Pens: one display list, many outputs.

A drawing does not know how it is put down, and a pen does not know what is drawn. Coordinates are
millimetres, x to the right, y upwards from the foot of the cloth. A *symbol* is defined once and
placed many times, in whatever colour.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Protocol

Point = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Oval:
    """A closed shape of two cubic arcs from its left tip to its right tip and back.

    Parameters
    ----------
    left, right : Point
        The tips, mm.
    foot, top : float
        Heights that the lower and the upper arc reach, mm.
    """

    left: Point
    right: Point
    foot: float
    top: float


@dataclass(frozen=True, slots=True)
class Box:
    """An upright rectangle, mm."""

    left: float
    foot: float
    width: float
    height: float


@dataclass(frozen=True, slots=True)
class Shape:
    """Ovals or boxes put down together.

    Parameters
    ----------
    outlines : tuple of Oval or Box
    fill : str or None
        ``#rrggbb``, or None for the colour that the symbol is placed in.
    opacity : float
        1 for solid.
    """

    outlines: tuple[Oval | Box, ...]
    fill: str | None = None
    opacity: float = 1.0


class Pen(Protocol):
    """What a drawing is told to."""

    def page(self, width_mm: float, height_mm: float, title: str, description: str) -> None:
        """Begin a drawing of this size."""

    def symbol(self, name: str, shapes: tuple[Shape, ...]) -> None:
        """Define a symbol."""

    def place(self, name: str, x_mm: float, y_mm: float, colour: str) -> None:
        """Put a symbol down with its origin here."""
