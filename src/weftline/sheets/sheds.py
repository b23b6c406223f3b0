"""The sheds of a piece under one numbering, and what moves for each on its loom."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import numpy as np

from weftline.core.looms.lift import lift_of, shed_of_loom
from weftline.core.weave.technique import mask_shafts
from weftline.sheets.lines import lines_of
from weftline.sheets.wording import listed, printable, shafts_words

if TYPE_CHECKING:
    from weftline.core.piece.cloth import Cloth, StripCloth

MOST_IN_WORDS = 8
"""With more shafts the table has no room for those up and down; what moves says it."""

MOST_NAMED = 4
"""More bands with sheds of their own are not named one by one."""

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
            "up": _plain(lift_of(mask, shafts, "rising", project.weave.face).shafts),
            "down": _plain(lift_of(mask, shafts, "sinking", project.weave.face).shafts),
        }
        for mask, shed in sheds_of(cloth).items()
    ]
    return {
        "shafts": [str(shaft) for shaft in range(1, shafts + 1)],
        "rows": rows,
        "both": shafts <= MOST_IN_WORDS,
        "verb": "rises" if shed_of_loom(project) == "rising" else "sinks",
        "loom": _loom_words(cloth),
        "face": _face_words(cloth),
        "order": _order_words(cloth),
    }


def _plain(shafts: tuple[int, ...]) -> str:
    return "+".join(map(str, shafts)) or "none"


def _loom_words(cloth: Cloth) -> str:
    loom = cloth.project.loom
    kind = f"{loom.kind[0].upper()}{loom.kind[1:]} loom" if loom.kind else "Any loom"
    shafts = f" with {loom.shafts} shafts" if loom.shafts else ""
    assumed = "" if loom.shed else " (the piece does not say; a rising shed is taken)"
    rising = shed_of_loom(cloth.project) == "rising"
    moving, named = ("rise", "raise") if rising else ("sink", "lower")
    others = {"countermarch": "go the other way", "counterbalance": "go the other way"}.get(
        loom.kind or "", "stay down" if rising else "stay up"
    )
    way = f"{'rising' if rising else 'sinking'} shed{assumed}: the shafts named after “{named}” {moving}, all others {others}"
    return f"{kind}{shafts}, {way}. {_tie_words(cloth)}"


def _tie_words(cloth: Cloth) -> str:
    """Return how the loom is tied or worked for the sheds."""
    loom, used, sheds = cloth.project.loom, cloth.technique.shafts, len(sheds_of(cloth))
    both = used <= MOST_IN_WORDS
    unused = "" if not loom.shafts or loom.shafts <= used else " Shafts that are not used are left out of the tie-up."
    if loom.kind in FRAMES:
        return "Open each shed with heddle rods or a pick-up stick where the loom has no shaft for it."
    if loom.kind == "table":
        return "It has levers, no treadles: move the levers of the shafts in the row, and set them back after the pick."
    number = (
        "Number the treadles in the order of throwing: treadle 1 for shed 1 and so on."
        if sheds <= (loom.treadles or sheds)
        else ""
    )
    if loom.kind == "countermarch":
        tie = (
            f"Every treadle is tied to every shaft used, {used} here: {'to sink those under “down”, to raise those under “up”' if both else 'to sink or to raise it, as its row says'}. "
            "Shafts that are not used are tied up out of the way or left out."
        )
        short = f" The loom has fewer treadles than the {sheds} sheds: tie again where another is wanted; two treadles cannot be pressed together on it."
        return f"{tie} {number or short.strip()}"
    if loom.kind == "counterbalance":
        tie = f"Tie each treadle to the shafts {'under “down”' if both else 'that its row lowers'}; the others rise against them. "
        tie += "Horses or pulleys give uneven sheds better than rollers."
    elif loom.treadles or loom.kind:
        column = "up" if shed_of_loom(cloth.project) == "rising" else "down"
        tie = f"Tie each treadle to the shafts {f'under “{column}”' if both else 'that its row names'}."
    else:
        return "Each row of the table says what to move before the weft goes through."
    apart = "With fewer treadles than sheds, tie one to each shaft and press several together."
    return f"{tie} {number or apart}{unused}"


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
    lines = [line for section in cloth.sections for line in set(lines_of(cloth, section.strips))]
    turned = f"; last shed first means {listed(order[::-1])}" if any(line.is_back for line in lines) else ""
    own = {name for section in cloth.sections for strip in section.strips for name in own_shed_bands(strip)}
    others = ""
    if own:
        names = listed(sorted(map(printable, own))) if len(own) <= MOST_NAMED else "Some bands"
        others = f" {names} {'has sheds of its' if len(own) == 1 else 'have sheds of their'} own."
    return f"A line is {len(order)} picks: shed {listed(order)}, in this order{turned}.{others}"


def own_shed_bands(strip: StripCloth) -> list[str]:
    """Return the bands of a strip that are not woven in the sheds of the technique."""
    return [name for name, band in zip(strip.bands, strip.written.bands, strict=True) if band.sheds is not None]
