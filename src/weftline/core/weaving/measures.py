"""What is known while a length is woven: the lines of the plan, the weaver's habit, and what the tape said."""

from __future__ import annotations

from dataclasses import dataclass
from math import exp, hypot, log
from typing import TYPE_CHECKING

import numpy as np

from weftline.core.findings import Basis, Quantity
from weftline.core.learning.spreads import SPREADS
from weftline.core.learning.student import t_quantile

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import NDArray

    from weftline.core.piece.cloth import SectionCloth
    from weftline.core.piece.settings import Settings

    Floats = NDArray[np.float64]

DEGREES = 10.0
"""Of the Student t that intervals are told with, as ``learning`` has them before any sample."""

FAR = t_quantile(0.95, DEGREES)
"""How many spreads a 90 % interval reaches to either side."""

AIM = 0.03
"""How well a weaver meets a beat that she sets out for, on the logarithm of line height: she counts her lines over 10 cm
and is one or two off. Judgement."""


@dataclass(frozen=True, slots=True)
class Measure:
    """What a tape said of the cloth in the loom.

    Parameters
    ----------
    line : int
        How many lines of the piece were woven when it was read.
    length_mm : float
        From ``from_line`` to the fell.
    tension : bool or None
        Whether the warp was stretched; None where nobody said.
    from_line : int
        So many lines lie below the place that the tape began at: 0 is the foot of the piece, else a marker.

    Raises
    ------
    ValueError
        For a length that is none, or a marker that does not lie below the fell.
    """

    line: int
    length_mm: float
    tension: bool | None = None
    from_line: int = 0

    def __post_init__(self) -> None:
        """Refuse what no tape can say."""
        if not 0 <= self.from_line < self.line:
            raise ValueError(
                f"a tape from line {self.from_line} to line {self.line}: a marker lies below the fell; "
                "say after which line it was put in"
            )
        if not (np.isfinite(self.length_mm) and self.length_mm > 0):
            raise ValueError(f"a length of {self.length_mm:g} mm over {self.line - self.from_line} lines: it is over 0")


@dataclass(frozen=True, slots=True)
class Aim:
    """A beat that the weaver set out for while weaving, from a line on.

    Parameters
    ----------
    from_line : int
        The planned heights from this line on, counted from 0, are what she aims at, whatever her beat was before.
    spread : float
        How well she meets it, on the logarithm of line height.
    """

    from_line: int
    spread: float = AIM


@dataclass(frozen=True, eq=False)
class Course:
    """The lines of one piece in weaving order, those woven and those ahead.

    Parameters
    ----------
    heights_mm : (lines,) float64
        Planned height of each line in slack cloth on the loom.
    aims : tuple of Aim
        Where the beat was changed on purpose, rising.
    """

    heights_mm: Floats
    aims: tuple[Aim, ...] = ()

    def __post_init__(self) -> None:
        """Refuse a piece without lines, and lines without height."""
        if not len(self.heights_mm) or not np.all(self.heights_mm > 0):
            raise ValueError("a length needs lines, each of a height over 0; the plan of this piece has none")

    @property
    def lines(self) -> int:
        """How many lines the piece has."""
        return len(self.heights_mm)

    @property
    def planned_mm(self) -> float:
        """Woven length by the plan."""
        return float(self.heights_mm.sum())


def line_heights(section: SectionCloth) -> Floats:
    """Return the planned height of each line of a section woven once, (lines,) mm; of its longest strip."""
    picks = max((strip.weaving.picks for strip in section.strips), key=lambda one: one.height_mm)
    return np.bincount(picks.line, weights=picks.step_mm, minlength=picks.line_count).astype(np.float64)


def changed_aim(before: Sequence[float] | Floats, now: Sequence[float] | Floats, woven: int) -> Aim | None:
    """Return the beat that was set while weaving: from the first line ahead whose planned height is another now.

    Parameters
    ----------
    before, now : (lines,) float
        Planned heights by the version that weaving began with, and as they are.
    woven : int
        Lines woven when the plan was changed.
    """
    shared = min(len(before), len(now))
    other = np.flatnonzero(~np.isclose(np.asarray(before)[woven:shared], np.asarray(now)[woven:shared], rtol=1e-6))
    return Aim(woven + int(other[0])) if len(other) else None


@dataclass(frozen=True, slots=True)
class Habit:
    """How high lines are expected to come out before anything of the piece is measured.

    Parameters
    ----------
    mean, spread : float
        Of the logarithm of line height over the planned one.
    basis : Basis
    """

    mean: float
    spread: float
    basis: Basis = Basis.COMPUTED


UNFORESEEN = hypot(*SPREADS["lines"].values())
"""Spread of lines where nothing foretells them: all reasons together."""

MEASURED_BEFORE = hypot(SPREADS["lines"]["piece"], SPREADS["lines"]["beat"])
"""Spread of lines where the plan's beat was counted on a sample: the piece itself, and how hard one happens to beat."""


def habit_of(planned: Quantity, foretold: Quantity | None = None) -> Habit:
    """Return what is expected of the line height.

    Parameters
    ----------
    planned : Quantity
        Lines per cm of the plan.
    foretold : Quantity or None
        What ``learning`` says of this weaver's lines per cm, with its interval.

    Notes
    -----
    A planned beat that was measured is believed; else what was foretold, else the plan with every reason for doubt.

    Examples
    --------
    >>> from weftline.core.findings import Basis, Quantity
    >>> habit = habit_of(Quantity(3.0, Basis.DEFAULT), Quantity(3.3, Basis.COMPUTED, 2.8, 3.9))
    >>> round(habit.mean, 3), round(habit.spread, 3)
    (-0.095, 0.091)
    """
    if planned.basis is Basis.MEASURED:
        return Habit(0.0, MEASURED_BEFORE, Basis.MEASURED)
    if foretold is not None and foretold.low and foretold.high:
        return Habit(log(planned.value / foretold.value), log(foretold.high / foretold.low) / (2 * FAR), foretold.basis)
    return Habit(0.0, UNFORESEEN, planned.basis)


@dataclass(frozen=True, slots=True)
class Finish:
    """What becomes of a length off the loom and in the wash.

    Parameters
    ----------
    left : float
        Finished over woven length.
    spread : float
        Of its logarithm.
    """

    left: float
    spread: float

    def woven_for(self, finished_mm: float) -> float:
        """Return the woven length, slack on the loom, that finishes at a length."""
        return finished_mm / self.left


def finish_of(settings: Settings) -> Finish:
    """Return what relaxing and shrinking leave of a length, by the settings of the piece.

    Notes
    -----
    A share at its default is doubted for every reason that ``learning`` knows; a stated one as far as pieces differ.
    """
    relax, shrink = settings.relax_length, settings.shrink_length
    left = (1 - relax.value) * (1 - shrink.value)
    return Finish(left, hypot(_spread("relax length", relax), _spread("shrink length", shrink)))


def _spread(of: str, share: Quantity) -> float:
    return hypot(*SPREADS[of].values()) if share.basis is Basis.DEFAULT else SPREADS[of]["piece"]


def spanned(middle: float, spread: float, basis: Basis) -> Quantity:
    """Return the quantity whose logarithm is known by its middle and spread, with its 90 % interval."""
    return Quantity(exp(middle), basis, exp(middle - FAR * spread), exp(middle + FAR * spread))
