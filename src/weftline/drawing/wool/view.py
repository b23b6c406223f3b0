"""What somebody wants to see of a cloth, and how large that makes it."""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil
from typing import TYPE_CHECKING

from weftline.core.edges.edge_ends import edge_of
from weftline.core.geometry.sizes import end_pitch_mm
from weftline.drawing.layout import Layout, layout
from weftline.drawing.wool.ground import BENCH
from weftline.drawing.wool.sight import EDGE_WIDER, EdgeWarp, snapped
from weftline.errors import PictureError

if TYPE_CHECKING:
    from weftline.core.piece.cloth import Cloth
    from weftline.core.piece.settings import Settings

MM_PER_INCH = 25.4
HAND_LINE = 24.0
"""Pixels a line at a hand's distance."""
SMOOTH_LINE = 16
"""Below so many pixels a line, a picture is painted larger and averaged by area."""
CRISP_LINE = 40
"""Up to so many pixels a line, the borders between colours are smoothed too, where the picture is not too large."""
MOST_PAINTED = 40_000_000
MOST_TIMES = 16
MIN_DPI, MAX_DPI = 10.0, 1200.0
MIN_WIDTH, MAX_WIDTH = 16, 20_000
MAX_LINE = 400.0
MAX_PIXELS = 60_000_000
FRINGE_MM = 30.0
"""A fringe is drawn at most so long."""


@dataclass(frozen=True, slots=True)
class View:
    """What to see of a cloth.

    Parameters
    ----------
    back : bool
        The back, as seen from behind.
    dpi : float, optional
        Pixels an inch of cloth on the loom, 10 to 1,200.
    width_px : int, optional
        The whole picture so wide, 16 to 20,000.
    line_px : float, optional
        Pixels a line, at most 400; 24 where nothing else is asked for.
    marks : bool
        Each yarn's mark where a run of it begins in a column, on beads of at least 10 px.
    woven_picks : int, optional
        Only so many picks are woven yet, counted in weaving order (each shed once, however many
        strips it is thrown on); bare warp above the fell.
    fringe : bool
        The warp's ends drawn at both ends of the cloth.
    seed : int
        What the chance of the wool is drawn from.
    bench : int
        Grey level of what the cloth lies on, 0 to 255; 255 on paper.
    smooth : bool
        Borders between colours smoothed, for a picture that is looked at and not painted on.
    """

    back: bool = False
    dpi: float | None = None
    width_px: int | None = None
    line_px: float | None = None
    marks: bool = False
    woven_picks: int | None = None
    fringe: bool = False
    seed: int = 1
    bench: int = BENCH
    smooth: bool = False

    @property
    def on_loom(self) -> bool:
        """Whether the cloth is still in the loom."""
        return self.woven_picks is not None


@dataclass(frozen=True, eq=False)
class Canvas:
    """How large a view is drawn; pixels of the raster that is painted, ``times`` larger than the picture.

    Parameters
    ----------
    layout : Layout
    edge : EdgeWarp
    column_px, line_px : float
        In the raster; a repeat is whole pixels.
    pitch_mm, line_mm : float
    times : int
    rows, columns : int
        Of the picture.
    left, foot : int
        Bench beside and below the cloth, px of the raster.
    fringe_mm : float
    """

    layout: Layout
    edge: EdgeWarp
    column_px: float
    line_px: float
    pitch_mm: float
    line_mm: float
    times: int
    rows: int
    columns: int
    left: int
    foot: int
    fringe_mm: float

    @property
    def dpi(self) -> tuple[float, float]:
        """Pixels of the picture an inch of cloth, across and upwards."""
        across = self.column_px / self.times / self.pitch_mm
        return across * MM_PER_INCH, self.line_px / self.times / self.line_mm * MM_PER_INCH

    def across(self, mm: float) -> int:
        """Return a length across the cloth in pixels of the raster."""
        return round(mm / self.pitch_mm * self.column_px)

    def upwards(self, mm: float) -> int:
        """Return a length along the warp in pixels of the raster."""
        return round(mm / self.line_mm * self.line_px)


def canvas(cloth: Cloth, settings: Settings, view: View) -> Canvas:
    """Return how large a view is drawn.

    Raises
    ------
    PictureError
        For a size out of range, more than one size, or more than 60 million pixels.
    """
    _check(view)
    kind, extra = edge_of(cloth.project)
    edge = EdgeWarp(kind, extra)
    fringe = min(FRINGE_MM, settings.fringe_each_end_mm.value) if view.fringe else 0.0
    placed = layout(cloth, settings, ends_mm=fringe)
    pitch, line = end_pitch_mm(settings).value, settings.line_height_mm.value
    beside = 0.9 + {"floating": 1.0, "doubled": EDGE_WIDER * extra}.get(kind, 0.0)
    repeat = min(len(cloth.technique.threading), max(strip.strip.written.ends for strip in placed.strips))
    column, line_px = _sizes(view, (placed.width_mm / pitch + 2 * beside), (pitch, line), repeat)
    area = placed.width_mm / pitch * column * placed.height_mm / line * line_px
    times = _times(line_px, area, finely=view.smooth and not view.marks)
    column = snapped(column * times, repeat)
    tall = float(max(1, round(line_px * times)))
    columns = ceil((placed.width_mm / pitch + 2 * beside) * column / times)
    rows = ceil((placed.height_mm + 2 * fringe + 1.8 * line) / line * tall / times)
    columns = max(columns, view.width_px or 0)
    if rows * columns > MAX_PIXELS:
        raise PictureError(
            f"this picture has {rows * columns / 1e6:,.0f} million pixels, more than {MAX_PIXELS / 1e6:g}; ask for "
            f"{int(100 * (MAX_PIXELS / (rows * columns)) ** 0.5)} % of that size"
        )
    cloth_px = round(placed.width_mm / pitch * column), round(placed.height_mm / line * tall)
    left, foot = (columns * times - cloth_px[0]) // 2, (rows * times - cloth_px[1]) // 2
    return Canvas(placed, edge, column, tall, pitch, line, times, rows, columns, left, foot, fringe)


def _times(line_px: float, area_px: float, *, finely: bool) -> int:
    """Return how many times larger a picture is painted before it is averaged by area."""
    times = 1
    while times < MOST_TIMES and times * line_px < SMOOTH_LINE:
        times += 1
    crisp = finely and times * line_px < CRISP_LINE and area_px * (2 * times) ** 2 <= MOST_PAINTED
    return 2 * times if crisp else times


def _sizes(view: View, wide: float, mm: tuple[float, float], repeat: int) -> tuple[float, float]:
    """Return the width of a column and the height of a line, px of the picture; ``wide`` counts columns."""
    pitch, line = mm
    if view.dpi is not None:
        return pitch * view.dpi / MM_PER_INCH, line * view.dpi / MM_PER_INCH
    if view.width_px is not None:
        column = view.width_px / wide
        whole = int(repeat * column)
        column = whole / repeat if whole else column
        tall = column * line / pitch
        return column, 1.0 if 0.75 < tall < 1 else tall
    tall = HAND_LINE if view.line_px is None else view.line_px
    return tall * pitch / line, tall


def _check(view: View) -> None:
    sizes = {"dpi": view.dpi, "width_px": view.width_px, "line_px": view.line_px}
    given = [name for name, size in sizes.items() if size is not None]
    if len(given) > 1:
        raise PictureError(f"a picture has one size, not {' and '.join(given)}; leave out all but one")
    if view.dpi is not None and not MIN_DPI <= view.dpi <= MAX_DPI:
        raise PictureError(f"a picture has {MIN_DPI:g} to {MAX_DPI:g} dots per inch, not {view.dpi:g}")
    if view.width_px is not None and not MIN_WIDTH <= view.width_px <= MAX_WIDTH:
        raise PictureError(f"a picture is {MIN_WIDTH} to {MAX_WIDTH:,} pixels wide, not {view.width_px:,}")
    if view.line_px is not None and not 0 < view.line_px <= MAX_LINE:
        raise PictureError(f"a line is up to {MAX_LINE:g} pixels high, not {view.line_px:g}")
    if view.woven_picks is not None and view.woven_picks < 0:
        raise PictureError(f"0 picks or more are woven, not {view.woven_picks}")
