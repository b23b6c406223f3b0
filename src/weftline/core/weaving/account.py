"""How far the weaving of a piece has come, and where it left the plan."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from weftline.core.piece.settings import line_height
from weftline.core.weaving.as_woven import woven_cloth
from weftline.core.weaving.departures import departures

if TYPE_CHECKING:
    from collections.abc import Callable

    from weftline.core.findings import Quantity
    from weftline.core.weaving.coming import PlannedThrow, PlannedThrows
    from weftline.core.weaving.departures import Departure
    from weftline.core.weaving.fold import Held, Mark, Stand, Woven


@dataclass(frozen=True, slots=True)
class Account:
    """How far the weaving of a piece has come.

    Parameters
    ----------
    woven_picks : int
        Throws: one strip, one pick each.
    lines : int
        The one that is being woven counts too.
    length_mm : Quantity
        Woven length at the beat of the plan.
    plan : PlannedThrows
        The plan as it is.
    stand : Stand
        Where the weaver stands in it.
    next : PlannedThrow or None
        The planned throw that is next; none while the plan is left, and at its end.
    departures : tuple of Departure
        Where the weaving left the plan.
    device : str or None
        The device that weaves.
    held : tuple of Held
        What other devices recorded, until a choice is made.
    marks : tuple of Mark
        Measurements, notes, photographs, and what happened to the warp.
    """

    woven_picks: int
    lines: int
    length_mm: Quantity
    plan: PlannedThrows
    stand: Stand
    next: PlannedThrow | None
    departures: tuple[Departure, ...]
    device: str | None
    held: tuple[Held, ...]
    marks: tuple[Mark, ...]


def account_of(
    woven: Woven,
    plan: PlannedThrows,
    stand: Stand,
    version: Callable[[int], PlannedThrows | None] = lambda seq: None,
) -> Account:
    """Return how far the weaving has come.

    Parameters
    ----------
    woven : Woven
    plan : PlannedThrows
        The plan as it is.
    stand : Stand
        Where the weaver stands in it.
    version : callable, optional
        Returns an earlier version of the plan by its ``seq``.
    """
    throws = woven.last()
    cloth = woven_cloth((laid.throw for laid in throws), plan, version)
    beat = plan.cloth.project.beat
    height = line_height(beat.lines_per_cm, beat.basis)
    follows = not stand.left and stand.plan.ordinal <= plan.total
    return Account(
        woven_picks=woven.count,
        lines=cloth.line_count,
        length_mm=height * (cloth.height_mm / height.value),
        plan=plan,
        stand=stand,
        next=plan.at(stand.plan.ordinal) if follows else None,
        departures=tuple(departures(throws, woven.stand)),
        device=woven.device,
        held=woven.held,
        marks=woven.marks,
    )
