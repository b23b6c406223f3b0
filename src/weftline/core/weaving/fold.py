"""What is woven: the fold of the log.

Throws lie on each other like picks at the fell: a throw lays one on top, unweaving takes the top
away and everything is again as it was before that throw, the place in the plan too. Every state is a
value, and a step costs the same however much is woven: states have what lies below in common.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any

from weftline.core.weaving.log import (
    BESIDE,
    CHOSEN,
    FIRST,
    LEFT,
    REJOINED,
    SKIPPED,
    THROWN,
    TICKED,
    UNWOVEN,
    WEAVE_HERE,
    WEAVES,
    Planned,
    Throw,
    planned_of,
    throw_of,
)

if TYPE_CHECKING:
    from collections.abc import Iterable

    from weftline.core.piece.entries import Entry

ELSEWHERE, ALREADY = "weaving elsewhere", "already woven"
"""Why something is held: another device weaves, or this planned throw lies in the cloth."""


@dataclass(frozen=True, slots=True)
class Stand:
    """Where the weaver stands in the plan.

    Parameters
    ----------
    plan : Planned
        The planned throw that is next; when the plan was left, where it was left.
    left : bool
        Whether the plan is left for now.
    """

    plan: Planned = FIRST
    left: bool = False


@dataclass(frozen=True, slots=True, eq=False)
class Laid:
    """A throw in the cloth.

    Parameters
    ----------
    throw : Throw
    number : int
        Which throw of the cloth it is, from 1.
    seq, device, at
        Of the entry that it came with.
    before : Stand
        Where the weaver stood before it.
    below : Laid or None
        The throw before it.
    """

    throw: Throw
    number: int
    seq: int
    device: str
    at: str
    before: Stand
    below: Laid | None


@dataclass(frozen=True, slots=True)
class Held:
    """What another device recorded and nobody has chosen about yet.

    Parameters
    ----------
    seq, kind, device, at, payload
        Of its entry.
    why : str
        ``weaving elsewhere`` or ``already woven``.
    """

    seq: int
    kind: str
    device: str
    at: str
    payload: Mapping[str, Any]
    why: str


@dataclass(frozen=True, slots=True)
class Mark:
    """A measurement, a note, a photograph, or what happened to the warp.

    Parameters
    ----------
    seq, kind, device, at, payload
        Of its entry.
    throws : int
        How many throws lay in the cloth.
    stand : Stand
    """

    seq: int
    kind: str
    device: str
    at: str
    payload: Mapping[str, Any]
    throws: int
    stand: Stand


@dataclass(frozen=True, slots=True, eq=False)
class Woven:
    """What is woven after so many entries.

    Parameters
    ----------
    seq : int
        Place of the last entry of the log, 0 for none.
    top : Laid or None
        The last throw.
    stand : Stand
        Where the weaver stands in the plan.
    device : str or None
        The device that weaves; the first that throws, or the last that took over.
    held : tuple of Held
        What other devices recorded, in order, until a choice is made.
    marks : tuple of Mark
        In order.
    """

    seq: int = 0
    top: Laid | None = None
    stand: Stand = Stand()
    device: str | None = None
    held: tuple[Held, ...] = ()
    marks: tuple[Mark, ...] = ()

    @property
    def count(self) -> int:
        """How many throws lie in the cloth."""
        return 0 if self.top is None else self.top.number

    def last(self, count: int | None = None) -> list[Laid]:
        """Return the throws in the order thrown, all or the last few."""
        found: list[Laid] = []
        laid = self.top
        while laid is not None and (count is None or len(found) < count):
            found.append(laid)
            laid = laid.below
        return found[::-1]


def step(woven: Woven, entry: Entry) -> Woven:
    """Return what is woven after one more entry; entries that are not of the log change nothing."""
    if entry.kind == WEAVE_HERE:
        woven = replace(woven, device=entry.device)
    elif entry.kind == CHOSEN:
        woven = _chosen(woven, entry)
    elif entry.kind in BESIDE:
        mark = Mark(entry.seq, entry.kind, entry.device, entry.at, entry.payload, woven.count, woven.stand)
        woven = replace(woven, marks=(*woven.marks, mark))
    elif entry.kind in WEAVES:
        why = held_because(woven, entry)
        if why is None:
            woven = _done(replace(woven, device=entry.device), entry)
        else:
            held = Held(entry.seq, entry.kind, entry.device, entry.at, entry.payload, why)
            woven = replace(woven, held=(*woven.held, held))
    elif entry.kind == TICKED and woven.top is None and "woven" in entry.payload:
        woven = replace(woven, stand=Stand(Planned(0, int(entry.payload["woven"]) + 1)))
    else:
        return woven
    return replace(woven, seq=entry.seq)


def fold(entries: Iterable[Entry], woven: Woven | None = None) -> Woven:
    """Return what is woven after these entries, from the beginning or from an earlier state."""
    woven = woven or Woven()
    for entry in entries:
        woven = step(woven, entry)
    return woven


def held_because(woven: Woven, entry: Entry) -> str | None:
    """Return why an entry of weaving must be held, None if it may be done.

    Notes
    -----
    ``already`` in the payload says that the planned throw was woven by the plan as it was then; where
    the plan is the same version, that is seen here.
    """
    already = bool(entry.payload.get("already"))
    if entry.kind == THROWN and not already:
        plan = planned_of(entry.payload["throws"][0].get("plan"))
        now = woven.stand.plan
        already = plan is not None and plan.seq == now.seq and plan.ordinal < now.ordinal
    if already:
        return ALREADY
    return None if woven.device in (None, entry.device) else ELSEWHERE


def _done(woven: Woven, entry: Entry | Held) -> Woven:
    payload = entry.payload
    if entry.kind == THROWN:
        for data in payload["throws"]:
            woven = _laid(woven, throw_of(data), entry)
    elif entry.kind == UNWOVEN:
        for _ in range(payload["throws"]):
            if woven.top is None:
                break
            woven = replace(woven, top=woven.top.below, stand=woven.top.before)
    elif entry.kind == SKIPPED and not woven.stand.left:
        now = woven.stand.plan
        after = planned_of(payload.get("plan")) or Planned(now.seq, now.ordinal + payload["throws"])
        woven = replace(woven, stand=Stand(after))
    elif entry.kind == LEFT:
        woven = replace(woven, stand=replace(woven.stand, left=True))
    elif entry.kind == REJOINED:
        woven = replace(woven, stand=Stand(planned_of(payload.get("plan")) or woven.stand.plan))
    return woven


def _laid(woven: Woven, throw: Throw, entry: Entry | Held) -> Woven:
    laid = Laid(throw, woven.count + 1, entry.seq, entry.device, entry.at, woven.stand, woven.top)
    plan = throw.plan
    stand = woven.stand if plan is None else Stand(Planned(plan.seq, plan.ordinal + 1))
    return replace(woven, top=laid, stand=stand)


def _chosen(woven: Woven, entry: Entry) -> Woven:
    chosen = set(entry.payload["entries"])
    taken = [one for one in woven.held if one.seq in chosen]
    woven = replace(woven, held=tuple(one for one in woven.held if one.seq not in chosen))
    if entry.payload["woven"]:
        for one in taken:
            woven = _done(woven, one)
    return woven
