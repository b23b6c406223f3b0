"""What a plan tells: quantities with their basis, findings and cautions.

Nouns: a *quantity* is a number that knows what it rests on; a *finding* is something the weaver
should know about a piece; a *caution* is a hazard with what to do and whom to defer to.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum


class Basis(StrEnum):
    """What a number rests on."""

    MEASURED = "measured"
    COMPUTED = "computed"
    DEFAULT = "default"
    LABEL = "label"


def joined(*bases: Basis) -> Basis:
    """Return the basis of a result: default if any input's is, else computed."""
    return Basis.DEFAULT if Basis.DEFAULT in bases else Basis.COMPUTED


@dataclass(frozen=True, slots=True)
class Quantity:
    """A number with a unit in its name and the basis that it rests on.

    Parameters
    ----------
    value : float
        In the unit that the field holding it is named for.
    basis : Basis
        ``label`` is a number that somebody wrote down: on a yarn's label or in the piece's file.
    low, high : float, optional
        Ends of the 90 % interval of a prediction.

    Examples
    --------
    >>> width = Quantity(400.0, Basis.LABEL) * (1 - Quantity(0.1, Basis.DEFAULT))
    >>> width.value, width.basis.value
    (360.0, 'default')
    """

    value: float
    basis: Basis
    low: float | None = None
    high: float | None = None

    def __add__(self, other: Quantity | float) -> Quantity:
        if isinstance(other, Quantity):
            return Quantity(self.value + other.value, joined(self.basis, other.basis))
        return Quantity(self.value + other, joined(self.basis))

    def __mul__(self, other: Quantity | float) -> Quantity:
        if isinstance(other, Quantity):
            return Quantity(self.value * other.value, joined(self.basis, other.basis))
        return Quantity(self.value * other, joined(self.basis))

    def __truediv__(self, other: Quantity | float) -> Quantity:
        if isinstance(other, Quantity):
            return Quantity(self.value / other.value, joined(self.basis, other.basis))
        return Quantity(self.value / other, joined(self.basis))

    def __rsub__(self, other: float) -> Quantity:
        return Quantity(other - self.value, joined(self.basis))

    def __sub__(self, other: Quantity) -> Quantity:
        return self + other * -1.0

    __radd__ = __add__
    __rmul__ = __mul__


NOTHING = Quantity(0.0, Basis.COMPUTED)
"""The sum of no quantities."""


class Severity(StrEnum):
    """How much a finding matters: ``stop`` means that the piece cannot be woven as written."""

    STOP = "stop"
    WARN = "warn"
    NOTE = "note"


@dataclass(frozen=True, slots=True)
class Where:
    """A place in a piece; names as the weaver wrote them, lines and ends counted from 1."""

    section: str | None = None
    strip: str | None = None
    band: str | None = None
    line: int | None = None
    pick: int | None = None
    end: int | None = None
    yarn: str | None = None


EVERYWHERE = Where()


@dataclass(frozen=True, slots=True)
class Finding:
    """Something to know about a piece: what, where, and what would be right."""

    code: str
    severity: Severity
    message: str
    remedy: str
    where: Where = EVERYWHERE


@dataclass(frozen=True, slots=True)
class Caution:
    """A hazard, shown at the step where it matters; it defers to makers, codes and licensed practice."""

    step: str
    hazard: str
    what_to_do: str
    defer_to: str
