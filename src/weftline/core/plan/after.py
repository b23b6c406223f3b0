"""After weaving: the plan against what was woven, line by line."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise
from typing import TYPE_CHECKING

import numpy as np

from weftline.core.piece.names import yarn_name
from weftline.core.plan.alignment import align
from weftline.core.weave.technique import mask_shafts

if TYPE_CHECKING:
    from weftline.core.piece.cloth import Cloth
    from weftline.core.piece.values import Project
    from weftline.core.weave.picks import Weaving, Winding
    from weftline.core.weaving.as_woven import WovenCloth

AS_PLANNED, DIFFERS, EXTRA, LEFT_OUT = "as planned", "differs", "extra", "left out"

Pick = tuple[int, "Winding"]
"""A shed as a mask of the strip's own shafts, and what was wound together."""


@dataclass(frozen=True, slots=True)
class PickAfter:
    """A pick that is not as planned.

    Parameters
    ----------
    pick : int
        Its place in the line, from 1.
    planned, woven : tuple or None
        Shed and winding; None where there is no such pick.
    """

    pick: int
    planned: Pick | None
    woven: Pick | None

    def words(self, project: Project) -> str:
        """Say it: ``pick 2: Slate instead of Oat``."""
        if self.planned is None or self.woven is None:
            one, added = self.woven or self.planned, self.planned is None
            wound = "" if one is None else _wound(project, one[1])
            return f"pick {self.pick}: {wound} {'added' if added else 'left out'}"
        parts = []
        if self.planned[1] != self.woven[1]:
            parts.append(f"{_wound(project, self.woven[1])} instead of {_wound(project, self.planned[1])}")
        if self.planned[0] != self.woven[0]:
            parts.append(f"shed {_shed(self.woven[0])} instead of {_shed(self.planned[0])}")
        return f"pick {self.pick}: {', '.join(parts)}"


@dataclass(frozen=True, slots=True)
class LineAfter:
    """One line of the plan, of the cloth, or of both.

    Parameters
    ----------
    kind : str
        ``as planned``, ``differs``, ``extra`` or ``left out``.
    planned, woven : int or None
        Its number in both, from 1.
    picks : tuple of PickAfter
        Where it differs.
    """

    kind: str
    planned: int | None
    woven: int | None
    picks: tuple[PickAfter, ...] = ()

    def words(self, project: Project) -> str:
        """Say what differs; nothing where all is as planned."""
        if self.kind in (EXTRA, LEFT_OUT):
            return self.kind
        return "; ".join(pick.words(project) for pick in self.picks)


@dataclass(frozen=True)
class StripAfter:
    """One strip of one piece, plan against woven.

    Parameters
    ----------
    section, strip : int
        From 0.
    piece : int
        Which of the section's pieces, from 1.
    lines : tuple of LineAfter
        From the foot up.
    """

    section: int
    piece: int
    strip: int
    lines: tuple[LineAfter, ...]

    @cached_property
    def counts(self) -> dict[str, int]:
        """How many lines of each kind, all four named."""
        found = Counter(line.kind for line in self.lines)
        return {kind: found[kind] for kind in (AS_PLANNED, DIFFERS, EXTRA, LEFT_OUT)}

    @property
    def differences(self) -> tuple[LineAfter, ...]:
        """The lines that are not as planned."""
        return tuple(line for line in self.lines if line.kind != AS_PLANNED)


def compare(plan: Cloth, woven: WovenCloth) -> tuple[StripAfter, ...]:
    """Return plan against woven of every strip of every piece that was begun, in weaving order.

    Parameters
    ----------
    plan : Cloth
        The plan that is compared with: as it was at first, or as it is.
    woven : WovenCloth
        Of a plan with the same sections and strips.

    Raises
    ------
    ValueError
        Where something was woven in a section or strip that this plan does not have.
    """
    found = []
    for piece in woven.pieces:
        strips = plan.sections[piece.section].strips if piece.section < len(plan.sections) else ()
        if len(strips) != len(piece.strips):
            raise ValueError(
                f"section {piece.section + 1} was woven in {len(piece.strips)} strips, this plan has {len(strips)}; "
                "compare with the version of the plan that it was woven by"
            )
        for number, (strip, done) in enumerate(zip(strips, piece.strips, strict=True)):
            lines = compare_lines(strip.weaving, done.weaving)
            found.append(StripAfter(piece.section, piece.piece, number, lines))
    return tuple(found)


def compare_lines(planned: Weaving, woven: Weaving) -> tuple[LineAfter, ...]:
    """Return plan against woven of one strip."""
    first, second = lines_of(planned), lines_of(woven)
    found = []
    for one, two in align(first, second):
        if one is None or two is None:
            kind = EXTRA if one is None else LEFT_OUT
            found.append(LineAfter(kind, None if one is None else one + 1, None if two is None else two + 1))
        elif first[one] == second[two]:
            found.append(LineAfter(AS_PLANNED, one + 1, two + 1))
        else:
            found.append(LineAfter(DIFFERS, one + 1, two + 1, _picks(first[one], second[two])))
    return tuple(found)


def lines_of(weaving: Weaving) -> list[tuple[Pick, ...]]:
    """Return the picks of every line in the order thrown."""
    wound = [weaving.windings[place] for place in weaving.picks.wound.tolist()]
    every = list(zip(weaving.own_shed.tolist(), wound, strict=True))
    starts = np.searchsorted(weaving.picks.line, np.arange(weaving.picks.line_count + 1)).tolist()
    return [tuple(every[foot:head]) for foot, head in pairwise(starts)]


def _picks(planned: tuple[Pick, ...], woven: tuple[Pick, ...]) -> tuple[PickAfter, ...]:
    found = []
    for number, (one, two) in enumerate(align(planned, woven), start=1):
        first, second = (None if one is None else planned[one]), (None if two is None else woven[two])
        if first != second:
            found.append(PickAfter(number, first, second))
    return tuple(found)


def _wound(project: Project, winding: Winding) -> str:
    parts = []
    for key, strands in winding:
        name = yarn_name(project.yarns[key], key) if key in project.yarns else key
        own = project.yarns[key].strands if key in project.yarns and len(winding) == 1 else 1
        parts.append(name if strands == own else f"{strands} {'strand' if strands == 1 else 'strands'} of {name}")
    return " with ".join(parts)


def _shed(mask: int) -> str:
    return "-".join(str(shaft) for shaft in mask_shafts(mask))
