"""What a weaver wishes of another size, and what she gets."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field
from types import MappingProxyType
from typing import TYPE_CHECKING

from weftline.core.piece.written import listed
from weftline.errors import PieceError, quoted

if TYPE_CHECKING:
    from weftline.core.piece.values import Project, Section, Yarn

MOST_MM = 1_000_000.0
MOST_PIECES = 1000
SETTS, BEATS = (0.1, 60.0), (0.05, 200.0)
"""Ends and lines per cm that a project file takes."""
NOTHING: Mapping[str, float] = MappingProxyType({})
NO_YARNS: Mapping[str, Yarn] = MappingProxyType({})


@dataclass(frozen=True)
class Wish:
    """What is to be different; what is left out stays as it is.

    Parameters
    ----------
    width_mm, length_mm : float, optional
        Finished, of one piece; the width with its open gaps.
    sett_per_cm, lines_per_cm : float, optional
        Ends in the reed, lines in the cloth. Without a width or length beside them the size stays.
    yarns : mapping of str to Yarn
        New yarns by the keys of those whose place they take.
    loom_width_mm : float, optional
        Weaving width of the loom; the piece's own where it is left out.
    as_wide_as_loom : bool
        In place of a width: as wide as the loom weaves.
    from_wool : bool
        In place of a length, or as its upper bound: as long as the wool reaches.
    on_hand_g : mapping of str to float
        Grams at hand by yarn; the piece's own where a yarn is left out.
    pieces : int, optional
        How many of it on one warp.
    section : int
        Which section of the piece, from 0.
    """

    width_mm: float | None = None
    length_mm: float | None = None
    sett_per_cm: float | None = None
    lines_per_cm: float | None = None
    yarns: Mapping[str, Yarn] = field(default_factory=lambda: NO_YARNS)
    loom_width_mm: float | None = None
    as_wide_as_loom: bool = False
    from_wool: bool = False
    on_hand_g: Mapping[str, float] = field(default_factory=lambda: NOTHING)
    pieces: int | None = None
    section: int = 0


@dataclass(frozen=True, slots=True)
class CheckMark:
    """A mark for the length of two widths: so high on the loom, in this line (from 1)."""

    woven_mm: float
    line: int


@dataclass(frozen=True, slots=True)
class TwoWidths:
    """A piece woven in two widths that are sewn together.

    Parameters
    ----------
    left, right : int
        Sections of the new piece, from 0; the seam is the left one's right edge and the right one's left.
    left_ends, right_ends : int
        Working ends of each.
    seam_shafts : tuple of int
        On which shaft the left width ends at the seam, and on which the right one begins.
    gives_up : tuple of int
        Shafts of the ends that the left width gives up at the seam, left to right; it would be balanced with them.
    marks : tuple of CheckMark
        Every 10 cm of the woven length.
    """

    left: int
    right: int
    left_ends: int
    right_ends: int
    seam_shafts: tuple[int, int]
    gives_up: tuple[int, ...]
    marks: tuple[CheckMark, ...]


@dataclass(frozen=True, slots=True)
class Resized:
    """A piece in another size.

    Parameters
    ----------
    project : Project
        As written; bands stay bands.
    sentences : tuple of str
        What changed, each a whole sentence.
    refusals : tuple of str
        What of the wish is not met, why, and what is nearest.
    two_widths : TwoWidths or None
    ends_first : str or None
        Key of the yarn that ends first, where the length was asked of the wool.
    """

    project: Project
    sentences: tuple[str, ...]
    refusals: tuple[str, ...] = ()
    two_widths: TwoWidths | None = None
    ends_first: str | None = None


def check_wish(project: Project, wish: Wish) -> None:
    """Refuse a wish that no loom could meet.

    Raises
    ------
    PieceError
        For sizes, setts and counts that are none, yarns and sections that are not there.
    """
    for what, value in (("width", wish.width_mm), ("length", wish.length_mm), ("loom's width", wish.loom_width_mm)):
        if value is not None and not 0 < value <= MOST_MM:
            raise PieceError("", f"a {what} of {value / 10:g} cm is none; give more than 0 and at most 1 km")
    _check_density("sett", "ends", wish.sett_per_cm, SETTS)
    _check_density("beat", "lines", wish.lines_per_cm, BEATS)
    if wish.pieces is not None and not 1 <= wish.pieces <= MOST_PIECES:
        raise PieceError("", f"{wish.pieces} pieces cannot be on one warp; give 1 to {MOST_PIECES:,}")
    if not 0 <= wish.section < len(project.sections):
        raise PieceError("", f"there is no section {wish.section + 1}; this piece has {len(project.sections)}")
    if wish.width_mm is not None and wish.as_wide_as_loom:
        raise PieceError("", "a width and as wide as the loom are two wishes; give one of them")
    for key in (*wish.yarns, *wish.on_hand_g):
        if key not in project.yarns:
            raise PieceError("yarns", f"no yarn is called {quoted(key, 20)}; use {listed(project.yarns)}")
    for key, grams in wish.on_hand_g.items():
        if not (math.isfinite(grams) and grams >= 0):
            raise PieceError("yarns", f"{grams:g} g of {key} cannot be on hand; give 0 or more")


def _check_density(what: str, threads: str, value: float | None, bounds: tuple[float, float]) -> None:
    if value is not None and not bounds[0] <= value <= bounds[1]:
        raise PieceError(
            "", f"a {what} of {value:g} {threads} per cm is none; give {bounds[0]:g} to {bounds[1]:g} per cm"
        )


def with_section(project: Project, place: int, section: Section) -> Project:
    """Return the project with one section in the place of another."""
    sections = (*project.sections[:place], section, *project.sections[place + 1 :])
    return project.model_copy(update={"sections": sections})
