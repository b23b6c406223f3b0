"""Slips: picks that break a symmetry which otherwise holds. They are offered, never taken for granted.

First the cloth is described as if a few picks might be wrong (each costs words, so a symmetry is
only claimed where it saves more than its slips cost); equals vote; the corrected cloth is described
exactly, and what differs from it is a slip, with as many equals as speak for it.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np

from weftline.core.weaving.candidates import Survey
from weftline.core.weaving.equals import Equals, Place, corrected, equals_of
from weftline.core.weaving.shortest import Shortest

if TYPE_CHECKING:
    from weftline.core.weaving.found import Found
    from weftline.core.weaving.stretch import Stretch

SLIPS_A_LINE = 2
"""Lines that differ in more picks are other lines, not slips."""

ROUNDS = 2


@dataclass(frozen=True, slots=True)
class Doubt:
    """A pick that differs from its equals.

    Parameters
    ----------
    place : Place
    meant : int
        Yarn that its equals have, -1 for none thrown.
    agreeing : int
        How many of its equals have it.
    other : Place or None
        The one pick that answers it, where there is just one: then either may be the slip.
    """

    place: Place
    meant: int
    agreeing: int
    other: Place | None


@dataclass(frozen=True, eq=False, slots=True)
class Meant:
    """A stretch as symmetry says it was meant.

    Parameters
    ----------
    stretch : Stretch
    bands : tuple of Found
    doubts : tuple of Doubt
        Where the cloth differs from it, from the foot up.
    """

    stretch: Stretch
    bands: tuple[Found, ...]
    doubts: tuple[Doubt, ...]


def meant_by(stretch: Stretch, exact: list[Found]) -> Meant:
    """Return what a stretch was meant to be.

    Parameters
    ----------
    stretch : Stretch
        As woven.
    exact : list of Found
        Its shortest description as woven.
    """
    said: list[Equals] = []
    whole = stretch
    for _ in range(ROUNDS):
        groups = equals_of(whole, Shortest(Survey(whole, SLIPS_A_LINE)).bands())
        tokens = corrected(whole, groups)
        said.extend(groups)
        if np.array_equal(tokens, whole.tokens):
            break
        whole = replace(whole, tokens=tokens)
    if whole is stretch:
        return Meant(stretch, tuple(exact), ())
    bands = Shortest(Survey(whole)).bands()
    said.extend(equals_of(whole, bands))
    return Meant(whole, tuple(bands), tuple(_doubts(stretch, whole, said)))


def _doubts(woven: Stretch, meant: Stretch, groups: list[Equals]) -> list[Doubt]:
    """Return each pick that differs, with the largest number of equals that speak against it."""
    differing = {(int(line), int(slot)) for line, slot in np.argwhere(woven.tokens != meant.tokens)}
    found: dict[Place, Doubt] = {}
    for group in groups:
        for place in differing.intersection(group.places):
            value = int(meant.tokens[place])
            agreeing = [other for other in group.places if other != place and int(woven.tokens[other]) == value]
            if agreeing and (place not in found or found[place].agreeing < len(agreeing)):
                answer = group.single_answer(place)
                other = answer if answer in agreeing else None
                found[place] = Doubt(place, value, len(agreeing), other)
    return [found[place] for place in sorted(found)]
