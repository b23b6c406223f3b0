"""The weaver's log as plain data."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from weftline.core.weaving.log import planned_data, throw_data
from weftline.formats.plan_json import figure

if TYPE_CHECKING:
    from weftline.core.weaving.account import Account
    from weftline.core.weaving.coming import PlannedThrow, PlannedThrows
    from weftline.core.weaving.fold import Held, Laid, Mark


def account_data(account: Account) -> dict[str, Any]:
    """Return how far the weaving has come; ``plan_left_at`` is the planned throw before which the plan was left."""
    stand, plan = account.stand, account.plan
    return {
        "woven_picks": account.woven_picks,
        "lines": account.lines,
        "length_mm": figure(account.length_mm),
        "planned_picks": plan.total,
        "plan_left_at": stand.plan.ordinal if stand.left else None,
        "next": None if account.next is None else planned_throw_data(plan, account.next),
        "departures": [
            {"kind": one.kind, "first": one.first, "picks": one.throws, "plan": planned_data(one.plan)}
            for one in account.departures
        ],
        "device": account.device,
        "held": [held_data(one) for one in account.held],
        "marks": [mark_data(one) for one in account.marks],
    }


def planned_throw_data(plan: PlannedThrows, throw: PlannedThrow) -> dict[str, Any]:
    """Return a throw of the plan, as it is said at the loom and as it is sent back when it was thrown."""
    section = plan.cloth.sections[throw.section]
    strip = section.strips[throw.strip]
    return {
        "ordinal": throw.ordinal,
        "section": section.name,
        "piece": throw.piece,
        "strip": plan.strips[throw.section][throw.strip],
        "strip_name": strip.name,
        "band": strip.bands[int(strip.weaving.picks.band[throw.index])],
        "line": throw.line,
        "pick": throw.pick,
        "shed": list(throw.shed),
        "strands": [[key, count] for key, count in throw.strands],
    }


def laid_data(laid: Laid) -> dict[str, Any]:
    """Return a throw in the cloth."""
    return {
        "number": laid.number,
        "seq": laid.seq,
        "device": laid.device,
        "at": laid.at,
        **throw_data(laid.throw),
    }


def held_data(held: Held) -> dict[str, Any]:
    """Return what another device recorded."""
    return {**_entry_data(held), "why": held.why}


def mark_data(mark: Mark) -> dict[str, Any]:
    """Return a measurement, a note, a photograph, or what happened to the warp."""
    return {**_entry_data(mark), "woven_picks": mark.throws, "plan": planned_data(mark.stand.plan)}


def _entry_data(one: Held | Mark) -> dict[str, Any]:
    return {"seq": one.seq, "kind": one.kind, "device": one.device, "at": one.at, "payload": dict(one.payload)}
