"""Checks a project as a whole: what no single value can know about the others."""

from __future__ import annotations

from typing import TYPE_CHECKING

from weftline.core.piece.cloth import expand
from weftline.core.piece.values import MAX_BANDS
from weftline.errors import PieceTooLargeError

if TYPE_CHECKING:
    from weftline.core.piece.values import Project


def check_project(project: Project) -> None:
    """Refuse a project that cannot be followed.

    Raises
    ------
    PieceError
        For unknown yarns, unknown techniques, lines that do not fit their sheds.
    PieceTooLargeError
        Beyond the limits of a piece.
    """
    bands = sum(len(strip.bands) for section in project.sections for strip in section.strips)
    if bands > MAX_BANDS:
        raise PieceTooLargeError("sections", f"a piece has at most {MAX_BANDS:,} bands, this one {bands:,}")
    expand(project)
