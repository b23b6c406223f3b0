"""The weaver's log: what was thrown, and everything else that happens between the first pick and the last.

Its entries stand in the piece's own stream, beside the changes of the plan, and change nothing of it:

=============  ======================================================================================
``thrown``     ``throws``: one pick of one strip each, with strip, shed, strands and planned pick or none
``unwoven``    ``throws``: so many taken back, the last first
``skipped``    ``throws``: so many planned throws passed over; ``plan``: which is next then
``left``       the plan is left where it stands; what is thrown now has no planned pick
``rejoined``   ``plan``: the plan is followed again from here, or from where it was left
``weave-here`` the device that sends it weaves from now on
``chosen``     ``entries``, ``woven``: what another device recorded was woven, or was not
``measured``   ``length_mm``, ``width_mm``, ``lines``, ``tension``: what a tape said
``note``       ``text``
``photograph`` ``name`` of the file, ``text``
``happened``   ``what`` of ``HAPPENINGS``, with ``end``, ``yarn``, ``text``
=============  ======================================================================================
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from weftline.core.weave.picks import Winding

THROWN, UNWOVEN, SKIPPED, LEFT, REJOINED = "thrown", "unwoven", "skipped", "left", "rejoined"
WEAVE_HERE, CHOSEN = "weave-here", "chosen"
MEASURED, NOTE, PHOTOGRAPH, HAPPENED = "measured", "note", "photograph", "happened"
WEAVES = (THROWN, UNWOVEN, SKIPPED, LEFT, REJOINED)
"""What only the device that weaves may do; from another it is held for a choice."""
BESIDE = (MEASURED, NOTE, PHOTOGRAPH, HAPPENED)
"""What any device may record; the fell stays where it is."""
TICKED = "tick"
"""How far a piece had come, as older stores say it; what was thrown is not known of these."""
LOG_KINDS = (*WEAVES, WEAVE_HERE, CHOSEN, *BESIDE, TICKED)
HAPPENINGS = (
    "warp advanced",
    "re-sleyed",
    "cut off",
    "retied",
    "end broken",
    "end mended",
    "yarn replaced",
    "work broken off",
)
"""What happens to a warp."""


@dataclass(frozen=True, slots=True)
class Planned:
    """A throw of the plan.

    Parameters
    ----------
    seq : int
        The version of the piece that is meant: its last entry that changed the plan; 0 for any.
    ordinal : int
        Place of the throw in the whole warp, from 1, as ``plan.steps`` counts.
    """

    seq: int
    ordinal: int


FIRST = Planned(0, 1)
"""The first throw of whatever plan."""


@dataclass(frozen=True, slots=True)
class Throw:
    """One pick of one strip as it was really thrown.

    Parameters
    ----------
    strip : str
        Id of the strip in the draft.
    piece : int
        Which of the section's pieces, from 1.
    shed : tuple of int
        Shafts covered on the face, rising.
    strands : Winding
        (yarn key, strands) wound together.
    plan : Planned or None
        The planned throw that it stands for; none for an extra pick.
    differs : bool
        Whether it is not what the plan says there.
    begins_line : bool or None
        Whether a new line begins with it; ``None`` leaves that to the order of the sheds.
    """

    strip: str
    piece: int
    shed: tuple[int, ...]
    strands: Winding
    plan: Planned | None = None
    differs: bool = False
    begins_line: bool | None = None


def planned_data(plan: Planned) -> dict[str, int]:
    """Return a planned throw as data."""
    return {"seq": plan.seq, "ordinal": plan.ordinal}


def planned_of(data: Mapping[str, Any] | None) -> Planned | None:
    """Return the planned throw of ``planned_data``."""
    return None if data is None else Planned(int(data["seq"]), int(data["ordinal"]))


def throw_data(throw: Throw) -> dict[str, Any]:
    """Return a throw as data, without what stands at its default.

    Examples
    --------
    >>> throw_data(Throw("n2", 1, (1,), (("o", 2),), Planned(1, 7)))
    {'strip': 'n2', 'piece': 1, 'shed': [1], 'strands': [['o', 2]], 'plan': {'seq': 1, 'ordinal': 7}}
    """
    found: dict[str, Any] = {
        "strip": throw.strip,
        "piece": throw.piece,
        "shed": list(throw.shed),
        "strands": [[key, count] for key, count in throw.strands],
    }
    if throw.plan is not None:
        found["plan"] = planned_data(throw.plan)
    if throw.differs:
        found["differs"] = True
    if throw.begins_line is not None:
        found["begins_line"] = throw.begins_line
    return found


def throw_of(data: Mapping[str, Any]) -> Throw:
    """Return the throw of ``throw_data``."""
    return Throw(
        data["strip"],
        data["piece"],
        tuple(data["shed"]),
        tuple((key, count) for key, count in data["strands"]),
        planned_of(data.get("plan")),
        data.get("differs", False),
        data.get("begins_line"),
    )
