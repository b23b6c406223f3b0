"""The steps of a piece: every throw in the order in which it is made."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from weftline.core.looms.lift import Lift, lift_of, shed_of_loom
from weftline.core.weave.technique import mask_shafts

if TYPE_CHECKING:
    from collections.abc import Iterator

    from weftline.core.piece.cloth import Cloth, SectionCloth
    from weftline.core.weave.picks import Winding


@dataclass(frozen=True, slots=True)
class Step:
    """One throw.

    Parameters
    ----------
    ordinal : int
        From 1 through the whole warp.
    section, strip, band : str
        Names.
    piece : int
        Which of the section's pieces, from 1.
    line, pick : int
        Running line of the piece and place of the throw in its line, from 1.
    shed : tuple of int
        Shafts covered on the face.
    lift : Lift
        What moves on the piece's loom.
    strands : Winding
        (yarn key, strands) wound together.
    """

    ordinal: int
    section: str
    piece: int
    strip: str
    band: str
    line: int
    pick: int
    shed: tuple[int, ...]
    lift: Lift
    strands: Winding


def steps(cloth: Cloth) -> Iterator[Step]:
    """Yield every throw: each shed is used on every strip before it changes."""
    ordinal = 0
    for section in cloth.sections:
        for piece in range(1, section.written.pieces + 1):
            for step in _piece_steps(cloth, section, piece, ordinal):
                ordinal = step.ordinal
                yield step


def _piece_steps(cloth: Cloth, section: SectionCloth, piece: int, ordinal: int) -> Iterator[Step]:
    shafts, shed_way, face = cloth.technique.shafts, shed_of_loom(cloth.project), cloth.project.weave.face
    picks = max((strip.weaving.picks for strip in section.strips), key=len)
    starts = np.flatnonzero(np.diff(picks.line, prepend=-1))
    for index in range(len(picks)):
        line = int(picks.line[index])
        mask = int(picks.shed[index])
        lift, shed = lift_of(mask, shafts, shed_way, face), mask_shafts(mask)
        for strip in section.strips:
            own = strip.weaving.picks
            if index >= len(own):
                continue
            ordinal += 1
            yield Step(
                ordinal=ordinal,
                section=section.name,
                piece=piece,
                strip=strip.name,
                band=strip.bands[own.band[index]],
                line=line + 1,
                pick=index - int(starts[line]) + 1,
                shed=shed,
                lift=lift,
                strands=strip.weaving.windings[own.wound[index]],
            )
