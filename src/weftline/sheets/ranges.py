"""Predictions as they are said: an interval, no digit finer than it deserves."""

from __future__ import annotations

from math import floor, log10
from typing import TYPE_CHECKING

from weftline.sheets.figures import Figure

if TYPE_CHECKING:
    from weftline.core.findings import Quantity

G_M2_PER_OZ_YD2 = 33.9057
"""g/m2 in an ounce per square yard (28.349523125 g over 0.83612736 m2)."""


def digits_for(low: float, high: float) -> int:
    """Return how many digits after the point an interval deserves: its width is two to twenty of the last.

    Examples
    --------
    >>> digits_for(144.2, 156.1), digits_for(2.51, 2.72), digits_for(98, 1960)
    (0, 1, -2)
    """
    width = high - low
    return 0 if width <= 0 else min(3, -floor(log10(width / 2)))


def between(low: float, high: float, unit: str = "") -> str:
    """Return ``144–156 cm``; one number where both ends are the same as said.

    Examples
    --------
    >>> between(2.51, 2.72, "mm"), between(98, 196, "cm")
    ('2.5–2.7 mm', '100–200 cm')
    >>> between(-9.6, 21.3, "%")
    '−10 to 20 %'
    """
    digits = digits_for(low, high)
    first, last = (f"{round(one, digits) + 0.0:,.{max(0, digits)}f}".replace("-", "−") for one in (low, high))
    words = first if first == last else f"{first} to {last}" if low < 0 else f"{first}–{last}"
    return f"{words} {unit}" if unit else words


def interval(quantity: Quantity, scale: float = 1.0, unit: str = "") -> Figure:
    """Return a prediction as a figure: its 90 % interval in a unit.

    Parameters
    ----------
    quantity : Quantity
        One without an interval is said as it is.
    scale : float
        From its own unit to the one that is said; a scale below nothing turns the interval round.
    unit : str
    """
    low = quantity.value if quantity.low is None else quantity.low
    high = quantity.value if quantity.high is None else quantity.high
    ends = sorted((low * scale, high * scale))
    return Figure(between(ends[0], ends[1], unit), quantity.basis)


def shares(quantity: Quantity) -> Figure:
    """Return a share as a percentage."""
    return interval(quantity, 100.0, "%")
