"""A piece as the page that paints it needs it: the tree with its ids, yarns, technique, strips, findings with their nodes."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np

from weftline.core.edges.edge_ends import edge_of
from weftline.core.geometry.sizes import end_pitch_mm
from weftline.core.piece.draft import tree_data
from weftline.core.piece.names import yarn_name
from weftline.core.piece.values import MAX_PICKS
from weftline.drawing.yarn_colours import UNDYED
from weftline.sheets.marks import looks

if TYPE_CHECKING:
    from weftline.core.findings import Finding
    from weftline.core.piece.cloth import StripCloth
    from weftline.core.piece.draft import Node
    from weftline.core.plan.plan import Plan
    from weftline.server.desk import Sheet


def cloth_data(sheet: Sheet, plan: Plan) -> dict[str, Any]:
    """Return a piece as data; sections, strips and their nodes are in the order of the file.

    Parameters
    ----------
    sheet : Sheet
    plan : Plan
        Of the same entry.
    """
    project, technique = plan.project, plan.cloth.technique
    kind, ends = edge_of(project)
    return {
        "seq": sheet.seq,
        "tree": tree_data(sheet.draft),
        "undo": sheet.undo,
        "redo": sheet.redo,
        "yarns": _yarns(plan),
        "ground": project.ground,
        "warp": _warp_colour(plan),
        "technique": {
            "name": technique.name,
            "threading": list(technique.threading),
            "sheds": [list(shed) for shed in technique.sheds],
            "shafts": technique.shafts,
        },
        "face": project.weave.face,
        "edge": {"kind": kind, "ends": ends},
        "line_mm": plan.settings.line_height_mm.value,
        "pitch_mm": end_pitch_mm(plan.settings).value,
        "sections": _sections(sheet.draft, plan),
        "findings": [_finding(finding, sheet.draft, plan) for finding in plan.findings],
        "most_picks": MAX_PICKS,
    }


def _yarns(plan: Plan) -> list[dict[str, Any]]:
    project = plan.project
    return [
        {
            "key": key,
            "name": yarn_name(project.yarns[key], key),
            "colour": look.colour,
            "strands": project.yarns[key].strands,
            "mark": look.mark,
            "lines": look.lines,
            "drawing": look.drawing("currentColor"),
            "is_warp": key == project.warp.yarn,
        }
        for key, look in looks(project).items()
    ]


def _warp_colour(plan: Plan) -> str:
    key = plan.project.warp.yarn
    return UNDYED[0] if key is None else looks(plan.project)[key].colour


def _sections(draft: Node, plan: Plan) -> list[dict[str, Any]]:
    return [
        {
            "node": node.id,
            "name": section.name,
            "strips": [
                {
                    "node": own.id,
                    "name": strip.name,
                    "ends": strip.weaving.ends.tolist(),
                    "gap_mm": strip.written.gap_after_cm * 10,
                }
                for own, strip in zip(node.children, section.strips, strict=True)
            ],
        }
        for node, section in zip(draft.children, plan.cloth.sections, strict=True)
    ]


def _finding(finding: Finding, draft: Node, plan: Plan) -> dict[str, Any]:
    """Return a finding; sections and strips by their index, a band by its index in the strip, and the nodes meant."""
    where = finding.where
    section = _named([one.name for one in plan.cloth.sections], where.section)
    strips = () if section is None else plan.cloth.sections[section].strips
    strip = _named([one.name for one in strips], where.strip)
    band, nodes = None, []
    if section is not None and strip is not None:
        band, written = _written(strips[strip], where.band, where.line)
        bands = draft.children[section].children[strip].children
        nodes = [] if band is None else [bands[band].id]
        nodes += [] if band is None or written is None else [bands[band].children[written].id]
    return {
        "code": finding.code,
        "severity": finding.severity.value,
        "message": finding.message,
        "remedy": finding.remedy,
        "where": {
            "section": section,
            "strip": strip,
            "band": band,
            "line": where.line,
            "pick": where.pick,
            "end": where.end,
        },
        "nodes": nodes,
    }


def _written(strip: StripCloth, band: str | None, line: int | None) -> tuple[int | None, int | None]:
    """Return the band and the written line in it that a finding names."""
    picks = strip.weaving.picks
    if line is not None:
        pick = int(np.searchsorted(picks.line, line - 1))
        if pick < len(picks):
            return int(picks.band[pick]), int(picks.written[pick])
    return _named(list(strip.bands), band), None


def _named(names: list[str], name: str | None) -> int | None:
    """Return the index of a name, the first where several have it."""
    return names.index(name) if name in names else None
