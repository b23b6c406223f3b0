"""The sheds of a piece under one numbering, and what moves for each on its loom."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import numpy as np

from weftline.core.looms.lift import lift_of, shed_of_loom
from weftline.core.weave.technique import mask_shafts
from weftline.sheets.wording import listed, shafts_words

if TYPE_CHECKING:
    from weftline.core.piece.cloth import Cloth

FRAMES = ("rigid heddle", "frame", "upright", "warp-weighted")
"""Looms without shafts that treadles or levers move."""


@dataclass(frozen=True, slots=True)
class Shed:
    """One shed: its number in this pattern, the shafts that it covers, what moves."""

    number: int
    covers: tuple[int, ...]
    lift: str
    moves: tuple[int, ...]


def sheds_of(cloth: Cloth) -> dict[int, Shed]:
    """Return the sheds by bit mask: the technique's in their order, then others as the bands bring them."""
    masks = list(cloth.technique.shed_masks())
    for strip in (strip for section in cloth.sections for strip in section.strips):
        used = strip.weaving.picks.shed
        _, firsts = np.unique(used, return_index=True)
        masks += [int(used[first]) for first in sorted(firsts.tolist())]
    way, face, shafts = shed_of_loom(cloth.project), cloth.project.weave.face, cloth.technique.shafts
    sheds = {}
    for number, mask in enumerate(dict.fromkeys(masks), start=1):
        lift = lift_of(mask, shafts, way, face)
        sheds[mask] = Shed(number, mask_shafts(mask), lift.words(), lift.shafts)
    return sheds


def sheds_data(cloth: Cloth) -> dict[str, Any]:
    """Return the table of sheds with the words around it."""
    project, shafts = cloth.project, cloth.technique.shafts
    rows = [
        {
            "number": str(shed.number),
            "covers": shafts_words(shed.covers),
            "lift": shed.lift,
            "moves": [shaft in shed.moves for shaft in range(1, shafts + 1)],
        }
        for shed in sheds_of(cloth).values()
    ]
    return {
        "shafts": [str(shaft) for shaft in range(1, shafts + 1)],
        "rows": rows,
        "verb": "rises" if shed_of_loom(project) == "rising" else "sinks",
        "loom": _loom_words(cloth),
        "face": _face_words(cloth),
        "order": _order_words(cloth),
    }


def _loom_words(cloth: Cloth) -> str:
    loom = cloth.project.loom
    kind = f"{loom.kind[0].upper()}{loom.kind[1:]} loom" if loom.kind else "Any loom"
    shafts = f" with {loom.shafts} shafts" if loom.shafts else ""
    assumed = "" if loom.shed else " (the piece does not say; a rising shed is taken)"
    if shed_of_loom(cloth.project) == "rising":
        way = f"rising shed{assumed}: the shafts named after “raise” rise, all others stay down"
    else:
        way = f"sinking shed{assumed}: the shafts named after “lower” sink, all others stay up"
    if loom.kind in FRAMES:
        tie = "Open each shed with heddle rods or a pick-up stick where the loom has no shaft for it."
    elif loom.treadles:
        tie = "Tie one treadle to each shed, as the table shows, or one to each shaft and press them together."
    else:
        tie = "Each row of the table says what to move before the weft goes through."
    return f"{kind}{shafts}, {way}. {tie}"


def _face_words(cloth: Cloth) -> str:
    if cloth.project.weave.face == "up":
        return "Woven face up: what you see while weaving is the face of the cloth."
    return (
        "Woven face down: what you see while weaving is the back of the cloth. "
        "The face lies underneath, and left and right change places on it."
    )


def _order_words(cloth: Cloth) -> str:
    """Return how the sheds of an ordinary line follow each other."""
    sheds = sheds_of(cloth)
    order = [str(sheds[mask].number) for mask in cloth.technique.shed_masks()]
    if len(order) == 1:
        return "A line is one pick, in shed 1."
    return f"A line is {len(order)} picks: shed {listed(order)}, in this order, unless its step says otherwise."
