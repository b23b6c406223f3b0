"""What an entry of the log says when it is kept: throws filled in from the plan, and what cannot be refused."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from weftline.core.weave.line import is_yarn_key
from weftline.core.weaving.log import Planned, Throw, planned_data, throw_data
from weftline.errors import EntryError, OutOfPlaceError, quoted
from weftline.services.answers import Written
from weftline.services.log_requests import Chosen, Rejoined, Skipped, Thrown, Unwoven, payload_of

if TYPE_CHECKING:
    from weftline.core.piece.entries import PieceState
    from weftline.core.weaving.coming import PlannedThrows
    from weftline.core.weaving.fold import Stand, Woven
    from weftline.services.log_requests import LogEntry, SentPlanned, SentThrow
    from weftline.services.plans import Plans


@dataclass(frozen=True, slots=True)
class LogDesk:
    """A piece as an entry of its log meets it: what is woven, and the place in the plan as it is now."""

    piece: str
    state: PieceState
    woven: Woven
    stand: Stand
    plans: Plans

    @property
    def plan(self) -> PlannedThrows:
        """The plan as it is now."""
        return self.plans.now(self.piece, self.state)


def written(desk: LogDesk, sent: LogEntry) -> Written:
    """Return what is kept of an entry that was sent.

    Raises
    ------
    EntryError
        For what cannot be.
    """
    if sent.base_seq > desk.state.seq:
        raise EntryError(f"base_seq {sent.base_seq} is not there yet, the last entry is {desk.state.seq}; fetch again")
    weaves = desk.woven.device in (None, sent.device)
    payload = payload_of(sent)
    match sent:
        case Thrown():
            payload |= _thrown(desk, sent)
        case Unwoven():
            if weaves and sent.throws > desk.woven.count:
                raise EntryError(f"{sent.throws} cannot be unwoven, {_throws(desk.woven.count)} in the cloth")
            payload["throws"] = sent.throws
        case Skipped():
            payload |= _skipped(desk, sent) if weaves else {"throws": sent.throws}
        case Rejoined() if sent.plan is not None:
            payload["plan"] = planned_data(_known(desk, sent.plan, beyond=1)[0])
        case Chosen():
            held = {one.seq for one in desk.woven.held}
            strange = [seq for seq in sent.entries if seq not in held]
            if strange:
                raise EntryError(f"entry {strange[0]} is not held for a choice; fetch the log again")
            payload["woven"] = sent.woven
        case _:
            pass
    return Written(sent.kind, min(sent.base_seq, desk.state.seq) or desk.state.seq, payload)


def _throws(count: int) -> str:
    return "1 throw lies" if count == 1 else f"{count} throws lie"


def _skipped(desk: LogDesk, sent: Skipped) -> dict[str, Any]:
    if desk.stand.left:
        raise EntryError("the plan is left, nothing of it can be skipped; follow it again first")
    left = desk.plan.total + 1 - desk.stand.plan.ordinal
    if sent.throws > left:
        raise EntryError(f"{sent.throws} throws cannot be skipped; the plan has {left} more")
    after = Planned(desk.stand.plan.seq, desk.stand.plan.ordinal + sent.throws)
    return {"throws": sent.throws, "plan": planned_data(after)}


def _known(desk: LogDesk, plan: SentPlanned, *, beyond: int = 0) -> tuple[Planned, PlannedThrows]:
    """Return a planned throw by the version that its plan has here, and that plan."""
    trouble = f"version {plan.seq} of the plan is not there; the piece has {desk.state.seq} entries, fetch it again"
    if plan.seq > desk.state.seq:
        raise EntryError(trouble)
    seq = desk.state.changed if plan.seq >= desk.state.changed else desk.plans.changed(desk.piece, plan.seq)
    found = desk.plan if seq == desk.state.changed else desk.plans.version(desk.piece, seq)
    if found is None:
        raise EntryError(trouble)
    if plan.ordinal > found.total + beyond:
        raise EntryError(f"throw {plan.ordinal} is not in the plan; it has throws 1 to {found.total}")
    return Planned(seq, plan.ordinal), found


def _thrown(desk: LogDesk, sent: Thrown) -> dict[str, Any]:
    throws = [_throw(desk, one) for one in sent.throws]
    payload: dict[str, Any] = {"throws": [throw_data(one) for one in throws]}
    first = throws[0].plan
    if first is not None and first.seq != desk.stand.plan.seq:
        now = desk.plans.brought(desk.piece, desk.state, first)
        if now.ordinal < desk.stand.plan.ordinal:
            payload["already"] = True
    elif first is not None and first.ordinal < desk.stand.plan.ordinal:
        payload["already"] = True
    return payload


def _throw(desk: LogDesk, sent: SentThrow) -> Throw:
    planned: Throw | None = None
    if sent.plan is not None:
        place, plan = _known(desk, sent.plan)
        planned = plan.throw(place.ordinal, place.seq)
    found = Throw(
        _own(sent.strip, planned and planned.strip),
        sent.piece or (1 if planned is None else planned.piece),
        _own(sent.shed and tuple(sorted(set(sent.shed))), planned and planned.shed),
        _own(sent.strands, planned and planned.strands),
        None if planned is None else planned.plan,
        begins_line=sent.begins_line,
    )
    _check(desk, found)
    if planned is None:
        return found
    same = (found.strip, found.piece, found.shed, found.strands)
    differs = same != (planned.strip, planned.piece, planned.shed, planned.strands)
    return Throw(*same, plan=found.plan, differs=differs, begins_line=found.begins_line)


def _own(sent: Any, planned: Any) -> Any:
    return planned if sent is None else sent


def _check(desk: LogDesk, throw: Throw) -> None:
    """Refuse what no weaver can have thrown on this warp."""
    if throw.plan is None and not any(throw.strip in strips for strips in desk.plan.strips):
        raise OutOfPlaceError(f"no strip has the id {quoted(throw.strip)}; fetch the piece again")
    shafts = desk.plan.cloth.technique.shafts
    if throw.plan is None and max(throw.shed) > shafts:
        raise EntryError(f"shaft {max(throw.shed)} is not there; the piece is threaded on {shafts}")
    for key, _ in throw.strands:
        if not is_yarn_key(key):
            raise EntryError(
                f"a yarn cannot be called {quoted(key, 20)}; use a letter, or a short word of letters and digits"
            )
