"""Floating and doubled ends: extra warp at the sides of each strip."""

from __future__ import annotations

from typing import TYPE_CHECKING

from weftline.core.piece.values import Edge

if TYPE_CHECKING:
    from weftline.core.piece.values import Project


def edge_of(project: Project) -> tuple[str, int]:
    """Return the kind of the edge and the extra ends a side of each strip (0 where there is none)."""
    edge = project.warp.edge
    kind, ends = (edge.kind, edge.ends) if isinstance(edge, Edge) else (edge, 1)
    return kind, 0 if kind == "none" else ends


def edge_ends(project: Project) -> int:
    """Return how many extra ends the warp carries.

    Every strip has two sides; where sections share the warp, the one with most strips decides,
    since an edge end runs the warp's whole length.
    """
    _, ends = edge_of(project)
    return max(2 * ends * len(section.strips) for section in project.sections)
