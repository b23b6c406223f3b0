"""The threads that a section is mostly woven of: its warp, and the pick of middling weight."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from weftline.core.geometry.threads import tex_of_winding, thread_of_winding
from weftline.core.piece.names import yarn_name

if TYPE_CHECKING:
    from weftline.core.geometry.sett import Thread
    from weftline.core.piece.cloth import Cloth, SectionCloth
    from weftline.core.yarn.diameter import Stuff

    Stuffs = dict[str, tuple[float, Stuff]]

LEAST_SHARE = 0.5
"""Of the picks of a section so many must be of a known size before anything is said."""


def usual_warp(cloth: Cloth, stuffs: Stuffs) -> Thread | None:
    """Return a working end; None where the piece names no warp yarn, or one whose size is not known."""
    key = cloth.project.warp.yarn
    if key is None:
        return None
    return thread_of_winding(((key, 1),), stuffs, yarn_name(cloth.project.yarns[key], key))


def usual_weft(cloth: Cloth, section: SectionCloth, stuffs: Stuffs) -> tuple[Thread, int] | None:
    """Return the pick of middling weight among those of known size, with its winding's place in ``cloth.windings``."""
    wound = np.concatenate([strip.weaving.picks.wound for strip in section.strips])
    places, counts = np.unique(wound, return_counts=True)
    sizes = ((tex_of_winding(cloth.windings[place], stuffs), place) for place in places.tolist())
    known = sorted(
        (tex, place, count) for (tex, place), count in zip(sizes, counts.tolist(), strict=True) if tex is not None
    )
    picks = sum(count for _, _, count in known)
    if not picks or picks < LEAST_SHARE * len(wound):
        return None
    middle = int(np.searchsorted(np.cumsum([count for _, _, count in known]), picks / 2))
    place = known[middle][1]
    thread = thread_of_winding(cloth.windings[place], stuffs, winding_words(cloth, place))
    return None if thread is None else (thread, place)


def winding_words(cloth: Cloth, place: int) -> str:
    """Return what one shuttle carries: ``2 strands of Night with Birch``."""
    parts = [
        f"{strands} strands of {yarn_name(cloth.project.yarns[key], key)}"
        if strands > 1
        else yarn_name(cloth.project.yarns[key], key)
        for key, strands in cloth.windings[place]
    ]
    return " with ".join(parts)
