"""What a plan tells: quantities with their basis, findings and cautions.

Nouns: a *quantity* is a number that knows what it rests on; a *finding* is something the weaver
should know about a piece; a *caution* is a hazard with what to do and whom to defer to.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Callable


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

    Notes
    -----
    Products and quotients carry the interval along: through a plain number exactly; through another quantity as that of
    two that know nothing of each other (their relative ends, added as squares). A sum of two has none.

    Examples
    --------
    >>> width = Quantity(400.0, Basis.LABEL) * (1 - Quantity(0.1, Basis.DEFAULT))
    >>> width.value, width.basis.value
    (360.0, 'default')
    >>> length = 100 / Quantity(4.0, Basis.COMPUTED, 2.5, 5.0)
    >>> length.value, length.low, length.high
    (25.0, 20.0, 40.0)
    """

    value: float
    basis: Basis
    low: float | None = None
    high: float | None = None

    def __add__(self, other: Quantity | float) -> Quantity:
        if isinstance(other, Quantity):
            return Quantity(self.value + other.value, joined(self.basis, other.basis))
        return self._through(lambda one: one + other)

    def __mul__(self, other: Quantity | float) -> Quantity:
        if isinstance(other, Quantity):
            return self._with(other, self.value * other.value)
        return self._through(lambda one: one * other)

    def __truediv__(self, other: Quantity | float) -> Quantity:
        if isinstance(other, Quantity):
            return self._with(1 / other, self.value / other.value)
        return self._through(lambda one: one / other)

    def __rsub__(self, other: float) -> Quantity:
        return self._through(lambda one: other - one)

    def __rtruediv__(self, other: float) -> Quantity:
        return self._through(lambda one: other / one)

    def __sub__(self, other: Quantity) -> Quantity:
        return self + other * -1.0

    def _through(self, step: Callable[[float], float]) -> Quantity:
        """Return what a step that only rises or only falls makes of it."""
        value, basis = step(self.value), joined(self.basis)
        if self.low is None or self.high is None:
            return Quantity(value, basis)
        ends = sorted((step(self.low), step(self.high)))
        return Quantity(value, basis, ends[0], ends[1])

    def _with(self, other: Quantity, value: float) -> Quantity:
        basis = joined(self.basis, other.basis)
        known = [one for one in (self, other) if one.low is not None and one.high is not None and one.value]
        if not known:
            return Quantity(value, basis)
        below = sum(((one.low or 0.0) / one.value - 1) ** 2 for one in known) ** 0.5
        above = sum(((one.high or 0.0) / one.value - 1) ** 2 for one in known) ** 0.5
        ends = sorted((value * (1 - below), value * (1 + above)))
        return Quantity(value, basis, ends[0], ends[1])

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
