"""What is needed besides yarn: loom, reed, shuttles and small things, once and in one place."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from weftline.core.edges.edge_ends import edge_of
from weftline.sheets.reed_rows import own_sley
from weftline.sheets.sheds import FRAMES, sheds_of
from weftline.sheets.shuttles import most_shuttles
from weftline.sheets.wording import count

if TYPE_CHECKING:
    from weftline.core.plan.plan import Plan
    from weftline.sheets.figures import Rich, Units


def needs_data(plan: Plan, units: Units) -> list[dict[str, Any]]:
    """Return the list, each a word with what it says."""
    rows: list[tuple[str, Rich]] = [
        ("Loom", _loom(plan, units)),
        ("Reed", _reed(plan, units)),
        ("Shuttles", _shuttles(plan)),
        ("Small things", _small(plan)),
    ]
    return [{"word": word, "says": says} for word, says in rows]


def _loom(plan: Plan, units: Units) -> Rich:
    kind, sheds = plan.project.loom.kind or "", len(sheds_of(plan.cloth))
    moved = (
        "" if kind == "table" or kind in FRAMES else f", {count(sheds, 'treadle')} (one a shed; with fewer see Sheds)"
    )
    widest = max(plan.sections, key=lambda section: section.size.across.in_reed_mm.value).size
    wide = units.short_sum([one.in_reed_mm for one in widest.strips], widest.across.in_reed_mm, 1)
    return [f"{count(plan.cloth.technique.shafts, 'shaft')}{moved}; at least ", wide, " of weaving width."]


def _reed(plan: Plan, units: Units) -> Rich:
    dents = plan.project.loom.reed_dents_per_10cm
    if dents is None or own_sley(plan) is None:
        return ["One that gives ", units.per_length(plan.settings.sett_per_mm, "ends"), "."]
    return [units.dents(float(dents)), ", or another as Dressing the loom says."]


def _shuttles(plan: Plan) -> Rich:
    _, band, _ = most_shuttles(plan)
    each = " on each strip" if max(len(section.strips) for section in plan.sections) > 1 else ""
    return [f"{band}{each}, or butterflies."]


def _small(plan: Plan) -> Rich:
    kind, _ = edge_of(plan.project)
    found = [
        *(["thick scrap yarn for the headings"] if plan.settings.heading_mm.value else []),
        *([f"{count(plan.warp.edge_ends, 'weight')} for the floating ends"] if kind == "floating" else []),
        "a temple if you like to weave with one",
        "a blunt needle",
        "a tape measure",
    ]
    return [f"{', '.join(found)}."[:1].upper() + f"{', '.join(found)}."[1:]]
