"""What moves for a shed.

Woven face up, the weft lies over the shafts that a shed covers, so these stay down: a rising shed
lifts the others, a sinking shed lowers the covered ones. Woven face down it is the other way about.
Source: the weave; documented for krokbragd as lifts 2+3, 1+3, 1+2 or one shaft lowered at a time
(ravelry.com/projects/ZaldoGrace/lily-17-art-inspiration-cotton-rug).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from weftline.core.weave.technique import mask_shafts

if TYPE_CHECKING:
    from weftline.core.piece.values import Project

DEFAULT_SHED = "rising"


@dataclass(frozen=True, slots=True)
class Lift:
    """Which shafts move, and which way (``raise`` or ``lower``)."""

    verb: str
    shafts: tuple[int, ...]

    def words(self) -> str:
        """Return the lift as a weaver says it: ``raise 2+3``."""
        return f"{self.verb} {'+'.join(map(str, self.shafts))}" if self.shafts else f"{self.verb} nothing"


def lift_of(covered: int, shafts: int, shed: str, face: str) -> Lift:
    """Return the lift that covers these shafts on the face.

    Parameters
    ----------
    covered : int
        Bit mask of the shafts covered on the face.
    shafts : int
        How many shafts the piece is threaded on.
    shed : str
        ``rising`` or ``sinking``.
    face : str
        ``up`` or ``down``: which face of the cloth lies upwards.

    Examples
    --------
    >>> lift_of(0b001, 3, "rising", "up").words(), lift_of(0b001, 3, "sinking", "up").words()
    ('raise 2+3', 'lower 1')
    """
    every = (1 << shafts) - 1
    down = covered if face == "up" else every & ~covered
    return Lift("lower", mask_shafts(down)) if shed == "sinking" else Lift("raise", mask_shafts(every & ~down))


def shed_of_loom(project: Project) -> str:
    """Return how the loom makes its shed; rising where the file does not say."""
    return project.loom.shed or DEFAULT_SHED
