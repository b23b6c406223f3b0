"""Cloth as it would be: a piece with one change made, without keeping it."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING

import numpy as np

from weftline.core.piece.cloth import expand
from weftline.core.piece.commands import Set, apply
from weftline.core.piece.draft import path_to
from weftline.core.weave.line import LineTextError, read_line
from weftline.drawing.wool import View, pick_map
from weftline.errors import OutOfPlaceError, PieceError
from weftline.server.pictures import Part, drawn, packed, part_of
from weftline.services.readable import read_draft

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from weftline.core.piece.cloth import Cloth
    from weftline.core.piece.commands import Command
    from weftline.core.piece.draft import Node
    from weftline.core.piece.settings import Settings
    from weftline.core.weave.picks import Picks

MIDDLE_LINES = 5
"""Lines that a picture of a band's middle shows."""
MIDDLE_ENDS = 7
MIDDLE_LINE_PX = 34.0


@dataclass(frozen=True, slots=True)
class Middle:
    """The middle of a band as it would come out.

    Parameters
    ----------
    mirror : str
        none, lines or picks.
    lines : int
        Running lines of the whole band.
    mm : float
        Woven length of the band.
    twice : tuple of str
        What falls twice: ``line 13``, ``shed 1 in line 15``.
    """

    mirror: str
    lines: int
    mm: float
    twice: tuple[str, ...]


def changed(draft: Node, command: Command) -> Cloth:
    """Return the cloth of a draft with a change made.

    Raises
    ------
    PieceError
        For a change that cannot be made.
    """
    return expand(read_draft(apply(draft, command)[0]))


def with_mirror(draft: Node, band: str, mirror: str) -> Cloth:
    """Return the cloth with one band mirrored in another way."""
    return changed(draft, Set(node=band, field="mirror", value=None if mirror == "none" else mirror))


def place_of_band(draft: Node, band: str) -> tuple[int, int, int]:
    """Return section, strip and place of a band, each from 0.

    Raises
    ------
    OutOfPlaceError
        When it is no longer there.
    """
    path = path_to(draft, band)
    if len(path) != 4:
        raise OutOfPlaceError("this band is no longer in the piece; load the page again")
    section, strip, place = (above.children.index(below) for above, below in pairwise(path))
    return section, strip, place


def middle_of(cloth: Cloth, draft: Node, band: str, mirror: str) -> Middle:
    """Return what a band's middle is like."""
    section, strip, place = place_of_band(draft, band)
    picks = cloth.sections[section].strips[strip].weaving.picks
    own = np.flatnonzero(picks.band == place)
    if not len(own):
        return Middle(mirror, 0, 0.0, ())
    lines = int(picks.line[own[-1]] - picks.line[own[0]]) + 1
    often = {place for place, line in enumerate(path_to(draft, band)[-1].children) if _times(line) > 1}
    return Middle(mirror, lines, float(picks.step_mm[own].sum()), _twice(picks, own, often))


def _twice(picks: Picks, own: NDArray[np.int64], often: set[int]) -> tuple[str, ...]:
    """Tell sheds and lines that come twice in a row; lines that are written to come ``often`` are left out."""
    beyond = min(int(own[-1]) + 1, len(picks) - 1)
    reach = np.arange(own[0], beyond + 1)
    again = reach[:-1][picks.shed[reach[:-1]] == picks.shed[reach[1:]]]
    found = [f"shed {int(picks.slot[pick]) + 1} at line {int(picks.line[pick]) + 1}" for pick in again[:2].tolist()]
    starts = own[np.flatnonzero(np.diff(picks.line[own], prepend=-1))]
    same = starts[1:][picks.written[starts[1:]] == picks.written[starts[:-1]]]
    lines = [int(picks.line[pick]) + 1 for pick in same.tolist() if int(picks.written[pick]) not in often]
    return tuple(found + [f"line {line}" for line in lines[:1]])


def _middle_part(cloth: Cloth, draft: Node, band: str) -> Part:
    """Return the five lines around the last written line of a band."""
    section, strip, place = place_of_band(draft, band)
    weaving = cloth.sections[section].strips[strip].weaving
    picks = weaving.picks
    own = np.flatnonzero(picks.band == place)
    if not len(own):
        raise OutOfPlaceError("nothing of this band is woven")
    node = path_to(draft, band)[-1]
    foot = int(picks.line[own[0]]) + 1
    first = max(1, foot + _written_lines(node) - 1 - MIDDLE_LINES // 2)
    last = min(picks.line_count, first + MIDDLE_LINES - 1)
    first = max(1, last - MIDDLE_LINES + 1)
    return Part(section, strip, first, last, min(MIDDLE_ENDS, len(weaving.ends)))


def _written_lines(band: Node) -> int:
    return sum(_times(line) for line in band.children)


def _times(line: Node) -> int:
    try:
        return read_line(line.fields["text"]).times
    except LineTextError:
        return 1


def middle_picture(draft: Node, band: str, mirror: str, settings: Settings) -> bytes:
    """Draw the middle of a band; what differs between the two mirrors is outlined."""
    cloth = with_mirror(draft, band, mirror)
    view = View(line_px=MIDDLE_LINE_PX)
    part = part_of(cloth, _middle_part(cloth, draft, band))
    pixels = drawn(part, settings, view)
    if mirror != "none":
        other = with_mirror(draft, band, "picks" if mirror == "lines" else "lines")
        theirs = part_of(other, _middle_part(other, draft, band))
        _outline(pixels, _differing(_wound_map(part, settings, view), _wound_map(theirs, settings, view)))
    return packed(pixels)


def _wound_map(cloth: Cloth, settings: Settings, view: View) -> NDArray[np.int32]:
    """Return (rows, columns) int32: what is wound on the shuttle of the pick under each pixel, -1 for none."""
    picks, _ = pick_map(cloth, settings, view)
    weaving = cloth.sections[0].strips[0].weaving
    names = {winding: number for number, winding in enumerate(sorted(weaving.windings))}
    wound = np.array([names[winding] for winding in weaving.windings], dtype=np.int32)[weaving.picks.wound]
    return np.where(picks >= 0, wound[np.maximum(picks, 0)], -1).astype(np.int32)


def _differing(own: NDArray[np.int32], theirs: NDArray[np.int32]) -> NDArray[np.bool_]:
    rows, columns = min(len(own), len(theirs)), min(own.shape[1], theirs.shape[1])
    found = np.zeros(own.shape, dtype=np.bool_)
    a, b = own[len(own) - rows :, :columns], theirs[len(theirs) - rows :, :columns]
    differs = (a != b) & (a >= 0) & (b >= 0)
    found[len(own) - rows :, :columns] = _opened(differs)
    return found


def _opened(mask: NDArray[np.bool_]) -> NDArray[np.bool_]:
    """Return a mask without specks: what three steps of erosion leave, grown back."""
    small = mask
    for _ in range(3):
        small = small & _shifted(small, all_of=True)
    for _ in range(4):
        small = small | _shifted(small, all_of=False)
    return small & mask


def _shifted(mask: NDArray[np.bool_], *, all_of: bool) -> NDArray[np.bool_]:
    padded = np.pad(mask, 1)
    around = [padded[1 + dy : padded.shape[0] - 1 + dy, 1 + dx : padded.shape[1] - 1 + dx] for dy, dx in _STEPS]
    found: NDArray[np.bool_] = np.logical_and.reduce(around) if all_of else np.logical_or.reduce(around)
    return found


_STEPS = ((0, 1), (0, -1), (1, 0), (-1, 0))


def _outline(pixels: NDArray[np.uint8], mask: NDArray[np.bool_]) -> None:
    """Ring a mask: light at its rim, dark around."""
    rim = mask & ~_shifted(mask, all_of=True)
    around = _shifted(rim, all_of=False) & ~mask
    pixels[around] = (22, 22, 22, 255)
    pixels[rim] = (247, 247, 247, 255)


def swapped(draft: Node, command: Command) -> Cloth:
    """Return the cloth with a yarn exchanged.

    Raises
    ------
    PieceError
        Where nothing would change.
    """
    if not getattr(command, "ops", (command,)):
        raise PieceError("", "this yarn is not used here")
    return changed(draft, command)
