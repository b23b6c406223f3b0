"""Bakes for the page that paints cloth: which strip of which entry of a piece, at which size, and which of its bands.

What has no colour stays the same while yarns are laid: tiles are kept by how a strip is built, not
by the entry, so that a stroke costs nothing here.
"""

from __future__ import annotations

import threading
from collections import OrderedDict
from dataclasses import dataclass
from typing import TYPE_CHECKING, Generic, TypeVar

from weftline.core.edges.edge_ends import edge_of
from weftline.core.geometry.sizes import end_pitch_mm
from weftline.core.piece.cloth import Cloth, expand
from weftline.core.piece.entries import PieceState, fold
from weftline.core.piece.settings import Settings, settings_of
from weftline.drawing.wool.panels import LIVE
from weftline.drawing.wool.sight import EdgeWarp, Scale, Sight, sight, snapped
from weftline.drawing.wool.stock import stock_weaving
from weftline.drawing.wool.tiles import Tiles
from weftline.errors import OutOfPlaceError, PictureError
from weftline.formats.bakes import bakes_bytes
from weftline.server.pictures import Part, part_of
from weftline.services.readable import read_draft

if TYPE_CHECKING:
    from collections.abc import Callable, Hashable

    from weftline.core.piece.cloth import StripCloth
    from weftline.server.desk import Desk

MOST_BANDS, MOST_ENDS, MOST_LINE = 600, 600, 200.0
MOST_PIXELS = 16_000_000
"""Of one answer."""
STOCK_LINES = 24
BESIDE = 0.42
"""How far turns and the tips of floats reach beyond the outermost column, in columns."""
STATES_KEPT, CLOTHS_KEPT, TILES_KEPT = 16, 8, 8
PIXELS_KEPT = 40_000_000
"""Of bakes in memory, three bytes each."""

Thing = TypeVar("Thing")


@dataclass(frozen=True, slots=True)
class BakeWish:
    """What is asked for.

    Parameters
    ----------
    seq : int
        The entry of the piece.
    section, strip : int
        From 0.
    ends : int
        How many ends are shown; the others lie in the tuck.
    line_px : float
        Height of a line of the piece's own height, px.
    back : bool
    bands : tuple of int
        Rising.
    stock : bool
        Whole lines in the technique's sheds instead of the strip's own picks.
    """

    seq: int
    section: int
    strip: int
    ends: int
    line_px: float
    back: bool
    bands: tuple[int, ...]
    stock: bool = False


class _Shelf(Generic[Thing]):
    """Keeps what was last asked for."""

    def __init__(self, most: int) -> None:
        self._most = most
        self.kept: OrderedDict[tuple[Hashable, ...], Thing] = OrderedDict()

    def get(self, key: tuple[Hashable, ...], make: Callable[[], Thing]) -> Thing:
        """Return what is kept under a key; made if it is not there."""
        if key not in self.kept:
            self.kept[key] = make()
        self.kept.move_to_end(key)
        while len(self.kept) > self._most:
            self.kept.popitem(last=False)
        return self.kept[key]


class Bakery:
    """Bakes for pages, one at a time.

    Parameters
    ----------
    desk : Desk
    """

    def __init__(self, desk: Desk) -> None:
        self._desk = desk
        self._lock = threading.Lock()
        self._states: _Shelf[PieceState] = _Shelf(STATES_KEPT)
        self._cloths: _Shelf[tuple[Cloth, Settings]] = _Shelf(CLOTHS_KEPT)
        self._tiles: _Shelf[Tiles] = _Shelf(TILES_KEPT)

    def bakes(self, piece: str, wish: BakeWish) -> bytes:
        """Return the bytes of some bands.

        Raises
        ------
        OutOfPlaceError
            For a piece, an entry, a section, a strip or a band that is not there.
        PictureError
            For more than is baked at once.
        """
        if not 1 <= wish.line_px <= MOST_LINE:
            raise PictureError(f"a line is 1 to {MOST_LINE:g} pixels high, not {wish.line_px:g}")
        if len(wish.bands) > MOST_BANDS:
            raise PictureError(f"ask for at most {MOST_BANDS} bands at once, not {len(wish.bands):,}")
        with self._lock:
            seen, seed = self._seen(piece, wish)
            if wish.bands[-1] > len(seen.shed) + 1:
                raise OutOfPlaceError(
                    f"there is no band {wish.bands[-1]}; this strip has 0 to {len(seen.shed) + 1}, two more than picks"
                )
            tiles = self._tiles_of(seen, seed)
            pixels = tiles.pixels(wish.bands)
            if pixels > MOST_PIXELS:
                most = MOST_PIXELS // 1_000_000
                raise PictureError(
                    f"these bands have {pixels / 1e6:,.0f} million pixels, more than {most}; ask for fewer at once"
                )
            every = list(self._tiles.kept.values())
            if sum(one.kept for one in every) + pixels > PIXELS_KEPT:
                for one in every:
                    one.forget()
            return bakes_bytes(tiles, wish.bands, stock=wish.stock)

    def _tiles_of(self, seen: Sight, seed: int) -> Tiles:
        floating = seen.over_at[0].tobytes() if seen.edge.kind == "floating" else b""
        structure = _structure(seen), seed

        def make() -> Tiles:
            made = Tiles(seen, _margins(seen), seed, LIVE)
            for known in self._tiles.kept.values():
                if known.seed == seed and _structure(known.sight) == structure[0]:
                    made.take_over(known)
            return made

        return self._tiles.get((*structure, floating), make)

    def _seen(self, piece: str, wish: BakeWish) -> tuple[Sight, int]:
        """Return the strip as it is looked at, and what its chance is drawn from."""
        cloth, settings = self._cloths.get((piece, wish.seq), lambda: self._cloth(piece, wish.seq))
        strips = _strips(cloth, wish.section, wish.strip)
        strip = strips[wish.strip]
        there = len(strip.weaving.ends)
        if not 1 <= wish.ends <= min(there, MOST_ENDS):
            raise PictureError(f"of this strip 1 to {min(there, MOST_ENDS)} ends can be shown, not {wish.ends:,}")
        cut = part_of(cloth, Part(wish.section, wish.strip, 1, strip.weaving.picks.line_count, wish.ends))
        weaving, line_mm = cut.sections[0].strips[0].weaving, settings.line_height_mm.value
        if wish.stock:
            weaving = stock_weaving(weaving.ends, cloth.technique.sheds, STOCK_LINES, line_mm)
        if not len(weaving.picks):
            raise OutOfPlaceError(f"{strip.name} is a bare warp; ask for stock cloth")
        repeat = min(len(cloth.technique.threading), len(weaving.ends))
        wide = snapped(wish.line_px * end_pitch_mm(settings).value / line_mm, repeat)
        seen = sight(
            weaving,
            Scale(wide, wish.line_px, line_mm),
            mirrored=wish.back == (cloth.project.weave.face == "up"),
            back=wish.back,
            edge=EdgeWarp(*edge_of(cloth.project)),
            woven=len(weaving.picks),
        )
        number = sum(len(section.strips) for section in cloth.sections[: wish.section]) + wish.strip
        return seen, 1 + 101 * number

    def _cloth(self, piece: str, seq: int) -> tuple[Cloth, Settings]:
        project = read_draft(self._state(piece, seq).draft)
        return expand(project), settings_of(project)

    def _state(self, piece: str, seq: int) -> PieceState:
        """Return a piece after so many entries, from the nearest state before that is kept."""
        kept = [state for (name, _), state in self._states.kept.items() if name == piece and state.seq <= seq]
        near = max(kept, key=lambda state: state.seq, default=PieceState())
        state = fold(self._desk.entries_after(piece, near.seq, max(0, seq - near.seq)), near)
        if state.seq != seq:
            raise OutOfPlaceError(f"this piece has no entry {seq:,}; the last one is {state.seq:,}")
        return self._states.get((piece, seq), lambda: state)


def _strips(cloth: Cloth, section: int, strip: int) -> tuple[StripCloth, ...]:
    if section >= len(cloth.sections):
        raise OutOfPlaceError(f"there is no section {section}; they are counted from 0 to {len(cloth.sections) - 1}")
    strips = cloth.sections[section].strips
    if strip >= len(strips):
        raise OutOfPlaceError(f"there is no strip {strip}; they are counted from 0 to {len(strips) - 1}")
    return strips


def _margins(seen: Sight) -> tuple[int, int]:
    """Return what is painted beyond both edges: turns, and what doubled and floating ends take."""
    columns = BESIDE + (1 if seen.edge.kind == "floating" else 0)
    room = int(columns * seen.column_px + seen.edge_wider_px) + 2
    return room, room


def _structure(seen: Sight) -> Hashable:
    """Return everything that the tiles of a strip depend on, but for what shows on floating ends."""
    arrays = seen.ends, seen.shed, seen.line, seen.feet
    return (*(array.tobytes() for array in arrays), seen.column_px, seen.line_px, seen.back, seen.edge)
