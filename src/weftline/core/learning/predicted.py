"""From what is held to a figure with its 90 % interval."""

from __future__ import annotations

from math import log, sqrt
from typing import TYPE_CHECKING

from weftline.core.findings import Basis, Quantity
from weftline.core.learning.student import t_quantile

if TYPE_CHECKING:
    from collections.abc import Callable

    from weftline.core.learning.belief import Belief
    from weftline.core.learning.expected import Measure

NINETY = 0.95
"""The share below the upper end of an interval that holds nine in ten."""


def spread_of(belief: Belief, measure: Measure) -> float:
    """Return the scale of the Student t that the next piece has, on the quantity's own scale."""
    own = sum(value * value for value in measure.piece.values())
    return sqrt((float(belief.covariance([measure])[0, 0]) + own) * belief.scale)


def quantity_of(
    belief: Belief, measure: Measure, shown: Callable[[float], float], basis: Basis = Basis.COMPUTED
) -> Quantity:
    """Return a prediction for the next piece: its middle and its 90 % interval, in the unit that ``shown`` gives."""
    middle = belief.mean_of(measure)
    far = t_quantile(NINETY, belief.degrees) * spread_of(belief, measure)
    return Quantity(shown(middle), basis, shown(middle - far), shown(middle + far))


def log_width(quantity: Quantity) -> float:
    """Return how wide an interval is, as the logarithm of its upper over its lower end."""
    return log((quantity.high or 0.0) / (quantity.low or 1.0))
