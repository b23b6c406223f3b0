"""Scrap headings: in which sheds, and how fringe and heading lie outside the first line and the last."""

from __future__ import annotations

from itertools import pairwise
from typing import TYPE_CHECKING

from weftline.core.findings import Quantity, joined
from weftline.core.looms.lift import lift_of, shed_of_loom
from weftline.core.weave.technique import shed_mask
from weftline.sheets.sheds import sheds_of

if TYPE_CHECKING:
    from weftline.core.piece.cloth import SectionCloth
    from weftline.core.piece.settings import Settings
    from weftline.core.plan.plan import Plan
    from weftline.sheets.figures import Rich, Units


def plain_sheds(section: SectionCloth) -> tuple[int, int] | None:
    """Return the two sheds that lie over every other end, as bit masks; None where no shafts give them.

    Neighbouring ends must lie in different sheds, so shafts whose ends are neighbours do too: 1 2 3 2
    gives shafts 1+3 against shaft 2, and 1 2 3 again and again gives none.
    """
    beside: dict[int, set[int]] = {}
    for strip in section.strips:
        shafts = strip.weaving.ends.tolist()
        for one, other in pairwise(shafts):
            beside.setdefault(one, set()).add(other)
            beside.setdefault(other, set()).add(one)
    side: dict[int, int] = {}
    for first in sorted(beside):
        waiting = [] if first in side else [first]
        side.setdefault(first, 0)
        while waiting:
            shaft = waiting.pop()
            waiting += [other for other in beside[shaft] if other not in side]
            for other in beside[shaft]:
                if side.setdefault(other, 1 - side[shaft]) == side[shaft]:
                    return None
    odd, even = (tuple(sorted(shaft for shaft, one in side.items() if one == which)) for which in (0, 1))
    return shed_mask(even), shed_mask(odd)


def heading_words(plan: Plan, section: SectionCloth) -> str:
    """Return of what a scrap heading is woven and in which sheds."""
    cloth, masks = plan.cloth, plain_sheds(section)
    if masks is None or 0 in masks:
        return "thick scrap yarn, in the sheds of the first line in turn"
    way, face = shed_of_loom(cloth.project), cloth.project.weave.face
    known = sheds_of(cloth)
    said = [
        lift_of(mask, cloth.technique.shafts, way, face).words()
        + (f" (shed {known[mask].number})" if mask in known else "")
        for mask in masks
    ]
    return f"thick scrap yarn in plain weave: {said[0]}, then {said[1]}, in turn"


def bare_mm(of: Settings) -> Quantity:
    """Return the bare warp at each end of a piece, once its scrap heading is out."""
    fringe, heading = of.fringe_each_end_mm, of.heading_mm
    basis = fringe.basis if fringe.basis is heading.basis else joined(fringe.basis, heading.basis)
    return Quantity(fringe.value + heading.value, basis)


def foot_words(plan: Plan, section: SectionCloth, units: Units) -> Rich:
    """Return what lies below line 1 and above the last line, and from where the fringe is measured."""
    of = plan.settings
    heading, fringe = of.heading_mm, of.fringe_each_end_mm
    found: Rich = []
    if fringe.value:
        found += ["Leave ", units.short(fringe), " of warp bare for the fringe. "]
    if heading.value:
        found += ["Weave ", units.short(heading), f" of scrap heading ({heading_words(plan, section)}), then line 1. "]
    mirrored = [
        *(["the scrap heading again"] if heading.value else []),
        *(["bare warp for the other fringe"] if fringe.value else []),
    ]
    found.append(f"After the last line comes {', then '.join(mirrored)}.")
    if fringe.value and heading.value:
        found += [
            " The fringe is measured from the outer edge of the heading; once that is out, it is ",
            units.short(bare_mm(of)),
            " long.",
        ]
    return found
