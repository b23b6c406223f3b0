"""Panels: upright stretches of a strip that are baked together, and where in a picture they come again."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from weftline.drawing.wool.cover import Cover
    from weftline.drawing.wool.sight import Sight


@dataclass(frozen=True, slots=True)
class Grain:
    """How much work the wool is worth.

    Parameters
    ----------
    finest_line : float
        A line is raised at so many pixels at least, and taken smaller afterwards.
    tile_px : int
        A tile is at least so wide ...
    tile_repeats : int
        ... and has at least so many repeats of the threading.
    picks : int
        After about so many picks, in whole lines, the variation comes again.
    lines_at_once : float
        Bands are baked together until they are so high.
    """

    finest_line: float = 40.0
    tile_px: int = 440
    tile_repeats: int = 4
    picks: int = 18
    lines_at_once: float = 1000.0


FINE = Grain()
"""For a painter that has to be quick."""
LIVE = Grain(24.0, 440, 4, 27, 4.0)
"""For cloth that is painted on, and for pictures of it: little is baked at a time."""
COARSE = Grain(1.0, 120, 2, 18)
"""For pictures that are averaged."""


@dataclass(frozen=True, slots=True)
class Place:
    """Where a stretch of a panel comes to lie: ``width`` pixels from ``source``, ``times`` side by side from ``x``."""

    source: int
    width: int
    x: int
    times: int = 1


@dataclass(frozen=True, slots=True)
class Panel:
    """Stretches of a strip that are baked side by side.

    Parameters
    ----------
    stretches : tuple of (int, int)
        From x to x, px from the strip's left edge.
    places : tuple of Place
    edges : bool
        Whether an edge of the strip is among them.
    """

    stretches: tuple[tuple[int, int], ...]
    places: tuple[Place, ...]
    edges: bool

    @property
    def width(self) -> int:
        """Pixels from side to side."""
        return sum(right - left for left, right in self.stretches)


def tile_ends(sight: Sight, grain: Grain) -> int:
    """Return after how many ends the variation of a strip comes again."""
    repeat_px = sight.repeat * sight.column_px
    return sight.repeat * max(grain.tile_repeats, -int(-grain.tile_px // repeat_px))


def panels(cover: Cover, tile: int, margins: tuple[int, int]) -> tuple[Panel, ...]:
    """Return the panels of a strip: both edges and one tile, or everything where that is not wider.

    Parameters
    ----------
    cover : Cover
    tile : int
        Ends after which the variation comes again.
    margins : (int, int)
        Pixels beyond the left and the right edge.
    """
    sight = cover.sight
    left, right = -margins[0], sight.width_px + margins[1]
    first, last = round(cover.plain * sight.column_px), round((len(sight.ends) - cover.plain) * sight.column_px)
    tile_px = round(tile * sight.column_px)
    apart = sight.edge.kind == "floating"
    whole = abs(tile * sight.column_px - tile_px) > 1e-6  # a tile must be whole pixels
    if whole or last - first <= 1.5 * tile_px:
        if not apart or last <= first:
            return (Panel(((left, right),), (Place(0, right - left, left),), True),)
        middle = Panel(((first, last),), (Place(0, last - first, first),), False)
    else:
        times, rest = divmod(last - first, tile_px)
        places = [Place(0, tile_px, first, times)]
        if rest:
            places.append(Place(0, rest, first + times * tile_px))
        middle = Panel(((first, first + tile_px),), tuple(places), False)
    ends = (left, first), (last, right)
    if apart:
        return (middle, *(Panel((end,), (Place(0, end[1] - end[0], end[0]),), True) for end in ends))
    wide = first - left
    shifted = tuple(Place(place.source + wide, place.width, place.x, place.times) for place in middle.places)
    far = Place(wide + middle.width, right - last, last)
    return (Panel((ends[0], *middle.stretches, ends[1]), (Place(0, wide, left), *shifted, far), True),)
