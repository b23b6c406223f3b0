"""Dressing the loom: the warp's length as a sum, its ends, edges, reed, threading and sheds."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from weftline.core.edges.edge_ends import edge_of
from weftline.core.piece.names import yarn_name
from weftline.sheets.reed import reed_data
from weftline.sheets.resley import sections_words
from weftline.sheets.sheds import sheds_data
from weftline.sheets.threading import threading_data
from weftline.sheets.wording import count, printable

if TYPE_CHECKING:
    from weftline.core.plan.plan import Plan
    from weftline.sheets.figures import Rich, Units


def dressing_data(plan: Plan, units: Units) -> dict[str, Any]:
    """Return everything that is needed to dress the loom."""
    return {
        "warp": _warp(plan, units),
        "reed": reed_data(plan, units),
        "between_sections": sections_words(plan, units),
        "threading": threading_data(plan.cloth),
        "sheds": sheds_data(plan.cloth),
    }


def _warp(plan: Plan, units: Units) -> dict[str, Any]:
    warp = plan.warp
    parts = [part for part in warp.parts if part.length_mm.value > 0]
    figures, whole = units.parts([part.length_mm for part in parts], warp.length_mm)
    rows = [
        {"what": printable(part.what[:1].upper() + part.what[1:]), "note": note, "length": figure}
        for part, note, figure in zip(parts, _part_notes(plan, units, len(parts)), figures, strict=True)
    ]
    yarn = plan.project.warp.yarn
    name = (
        "a yarn that the piece does not name" if yarn is None else printable(yarn_name(plan.project.yarns[yarn], yarn))
    )
    return {
        "yarn": name,
        "key": yarn,
        "parts": rows,
        "whole": whole,
        "length": units.warp(warp.length_mm),
        "ends": _ends_words(plan),
        "total": units.yarn(warp.total_mm),
    }


def _part_notes(plan: Plan, units: Units, rows: int) -> list[Rich]:
    """Return for each section what its stretch of warp holds; the other parts speak for themselves."""
    of = plan.settings
    notes: list[Rich] = []
    for section in plan.sections:
        each: Rich = [] if section.pieces == 1 else [f"{section.pieces} pieces, each "]
        note: Rich = [*each, units.short(section.size.lengths.woven_mm), " woven"]
        if of.heading_mm.value:
            note += [", heading ", units.short(of.heading_mm), " twice"]
        note += [", take-up"]
        if of.fringe_each_end_mm.value:
            note += [", fringe ", units.short(of.fringe_each_end_mm), " twice"]
        notes.append(note)
    return [*notes, *([] for _ in range(rows - len(notes)))][:rows]


def _ends_words(plan: Plan) -> str:
    kind, _ = edge_of(plan.project)
    threaded, beside = plan.warp.threaded_ends, plan.warp.edge_ends
    if not beside:
        return f"{count(threaded, 'end')}, all on shafts"
    beside_words = "floating" if kind == "floating" else "to double the edges"
    return f"{threaded:,} ends on shafts + {beside} {beside_words} = {threaded + beside:,} ends"
