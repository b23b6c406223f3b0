"""The fell as a page paints it while one weaves: rows of cloth without colour for the last few picks, and yarn large.

A fell is not in the plan's own bakes, since nothing lies above it. Its bakes hang on nothing but the
sheds of the last picks; so a page that has those of one line woven first, second and third pick
can paint every pick of the piece, with nobody to ask.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING

import numpy as np

from weftline.core.edges.edge_ends import edge_of
from weftline.core.geometry.sizes import end_pitch_mm
from weftline.core.piece.cloth import expand
from weftline.core.piece.settings import settings_of
from weftline.core.piece.values import Project
from weftline.core.weave.picks import Picks, Weaving
from weftline.drawing.wool import View, wool_picture
from weftline.drawing.wool.panels import LIVE
from weftline.drawing.wool.sight import EdgeWarp, Scale, sight, snapped
from weftline.drawing.wool.tiles import Tiles
from weftline.errors import OutOfPlaceError, PictureError
from weftline.formats.bakes import bakes_bytes
from weftline.server.pictures import packed

if TYPE_CHECKING:
    from weftline.core.piece.cloth import Cloth
    from weftline.core.piece.settings import Settings

MOST_PICKS, MOST_ENDS, MOST_LINE = 60, 600, 200
BESIDE = 0.42
"""How far turns and the tips of floats reach beyond the outermost column, in columns."""
YARN_PX, YARN_LINE = 480, 72.0


@dataclass(frozen=True, slots=True)
class FellWish:
    """Some picks up to the fell, the lowest first.

    Parameters
    ----------
    section, strip : int
        From 0.
    line_px : int
        Height of a line of the piece's own height.
    back : bool
    sheds : tuple of int
        Bit mask of the shafts covered by each pick.
    lines : tuple of int
        How many picks each line has.
    wound : tuple of int
        Which shuttle each pick comes from; of meaning for floating edge ends.
    """

    section: int
    strip: int
    line_px: int
    back: bool
    sheds: tuple[int, ...]
    lines: tuple[int, ...]
    wound: tuple[int, ...]


def fell_bakes(cloth: Cloth, settings: Settings, wish: FellWish) -> bytes:
    """Return all bands of the picks at the fell, the bare warp above them.

    Raises
    ------
    OutOfPlaceError
        For a section or a strip that is not there.
    PictureError
        For too many picks or ends, or picks that do not make the lines.
    """
    if wish.section >= len(cloth.sections) or wish.strip >= len(cloth.sections[wish.section].strips):
        raise OutOfPlaceError(f"there is no strip {wish.strip} in section {wish.section}; they are counted from 0")
    count = len(wish.sheds)
    if not 1 <= count <= MOST_PICKS or sum(wish.lines) != count or len(wish.wound) != count or 0 in wish.lines:
        raise PictureError(f"a fell has 1 to {MOST_PICKS} picks, each with its shuttle and in a line")
    if not 1 <= wish.line_px <= MOST_LINE:
        raise PictureError(f"a line is 1 to {MOST_LINE} pixels high, not {wish.line_px}")
    ends = cloth.sections[wish.section].strips[wish.strip].weaving.ends
    if len(ends) > MOST_ENDS:
        raise PictureError(f"a fell of at most {MOST_ENDS} ends is painted here, not of {len(ends):,}")
    line_mm, each = settings.line_height_mm.value, len(cloth.technique.sheds)
    weaving = Weaving(ends, _picks(wish, line_mm / each), ())
    repeat = min(len(cloth.technique.threading), len(ends))
    wide = snapped(wish.line_px * end_pitch_mm(settings).value / line_mm, repeat)
    seen = sight(
        weaving,
        Scale(wide, wish.line_px, line_mm),
        mirrored=wish.back == (cloth.project.weave.face == "up"),
        back=wish.back,
        edge=EdgeWarp(*edge_of(cloth.project)),
        woven=count,
    )
    room = int((BESIDE + (seen.edge.kind == "floating")) * seen.column_px + seen.edge_wider_px) + 2
    return bakes_bytes(Tiles(seen, (room, room), 1, LIVE), range(count + 2))


def _picks(wish: FellWish, step_mm: float) -> Picks:
    count = len(wish.sheds)
    slots = [place for picks in wish.lines for place in range(picks)]
    return Picks(
        shed=np.array(wish.sheds, dtype=np.uint16),
        wound=np.array(wish.wound, dtype=np.int32),
        line=np.repeat(np.arange(len(wish.lines), dtype=np.int32), wish.lines),
        slot=np.array(slots, dtype=np.int16),
        band=np.zeros(count, dtype=np.int16),
        written=np.zeros(count, dtype=np.int32),
        step_mm=np.full(count, step_mm),
    )


@lru_cache(maxsize=64)
def yarn_large(colour: str) -> bytes:
    """Return a square of cloth in one yarn, a thumb's width of it."""
    piece = Project.model_validate(
        {
            "weftline": 1,
            "yarns": {"o": {"colour": colour}},
            "ground": "o",
            "sections": [{"strips": [{"ends": 11, "bands": [{"lines": ["o o o *12"]}]}]}],
        }
    )
    pixels = wool_picture(expand(piece), settings_of(piece), view=View(line_px=YARN_LINE)).pixels
    rows, columns = pixels.shape[:2]
    top, left = (rows - YARN_PX) // 2, (columns - YARN_PX) // 2
    return packed(pixels[top : top + YARN_PX, left : left + YARN_PX])
