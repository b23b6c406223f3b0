"""What the Weave page must know to prompt every pick, offline too: place, throws that can be taken back, signs, yarns."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from weftline.core.edges.edge_ends import edge_of
from weftline.core.piece.names import yarn_name
from weftline.core.weave.technique import shed_mask
from weftline.server.pages.weave import arc_of, passes
from weftline.server.pages.weave_signs import shuttles, signs

if TYPE_CHECKING:
    from weftline.core.plan.plan import Plan
    from weftline.core.weave.picks import Winding
    from weftline.core.weaving.fold import Laid
    from weftline.server.desk import Sheet
    from weftline.services.weaving import Weaving

RECENT = 600
"""So many throws are told to a page, so that it can take them back with nobody to ask."""


def weave_facts(sheet: Sheet, plan: Plan, weaving: Weaving, device: str) -> dict[str, Any]:
    """Return what a page needs to prompt every pick with nobody to ask; ``passes`` are those below ``recent``."""
    account, throws = weaving.account(sheet.id), weaving.throws(sheet.id)
    woven, place = weaving.woven(sheet.id), min(account.stand.plan.ordinal, throws.total + 1)
    recent = woven.last(RECENT)
    counts = passes(woven, throws, place)
    for laid in recent:
        counts[laid.throw.strip][laid.throw.strands] -= 1
    return {
        "seq": weaving.seq(sheet.id),
        "plan_seq": account.stand.plan.seq,
        "ordinal": place,
        "left": account.stand.left,
        "count": woven.count,
        "weaves_here": account.device in (None, device),
        "held": len(account.held),
        "recent": [_laid(laid) for laid in recent],
        "passes": {
            strip: [[_wound(wound), times] for wound, times in one.items() if times] for strip, one in counts.items()
        },
        "signs": {
            str(mask): {"drawing": sign.drawing, "figure": sign.figure, "words": sign.words, "spoken": sign.spoken}
            for mask, sign in signs(plan.cloth).items()
        },
        "shuttles": [
            [_wound(wound), {"name": carried.name, "swatch": carried.swatch}]
            for wound, carried in shuttles(plan).items()
        ],
        "yarns": {key: yarn_name(yarn, key) for key, yarn in plan.project.yarns.items()},
        "edge": edge_of(plan.project)[0],
        "basis": plan.settings.line_height_mm.basis.value,
        "pieces": [section.written.pieces for section in plan.cloth.sections],
        "imperial": plan.project.units == "imperial",
        "arc": {"width_mm": arc_of(plan, woven).width_mm, "share": plan.settings.weft_take_up.value},
    }


def _laid(laid: Laid) -> dict[str, Any]:
    throw, before = laid.throw, laid.before
    return {
        "strip": throw.strip,
        "shed": shed_mask(throw.shed),
        "strands": _wound(throw.strands),
        "before": before.plan.ordinal,
        "left": before.left,
        "plan": None if throw.plan is None else throw.plan.ordinal,
    }


def _wound(winding: Winding) -> list[list[str | int]]:
    return [[key, count] for key, count in winding]
