"""The tiles that a strip is painted of: bands without colour, baked once and only where they are asked for.

Bands of one key look alike, so the first of them is baked for all. Neighbouring first bands are
baked together, in *runs* that are the same whatever is asked for: a band's light depends a little
on what is raised with it, and the picture must not depend on what was looked at before.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

import numpy as np

from weftline.drawing.wool.bake import BARE, ROOM, Oven
from weftline.drawing.wool.cover import band_keys, cover, enlarged, reach, variation
from weftline.drawing.wool.panels import panels, tile_ends
from weftline.drawing.wool.spots import OVERHANG

if TYPE_CHECKING:
    from collections.abc import Iterable

    from numpy.typing import NDArray

    from weftline.drawing.wool.bake import Bake
    from weftline.drawing.wool.cover import Cover
    from weftline.drawing.wool.panels import Grain, Panel
    from weftline.drawing.wool.sight import Sight

MOST_FINER = 4
INNER = 1.7
"""Columns between those that floating ends bend and what is baked apart from the edges, at least."""


@dataclass(eq=False)
class Tile:
    """One panel of a strip with its bakes.

    Parameters
    ----------
    panel : Panel
    key_of : (bands,) int64
        Bands of one key look alike.
    oven : Oven
    most_rows : float
        About so many rows are baked together at most.
    bakes : dict
        By key, as far as they were asked for.
    """

    panel: Panel
    key_of: NDArray[np.int64]
    oven: Oven
    most_rows: float
    bakes: dict[int, Bake] = field(default_factory=dict)
    keys: list[int] = field(init=False)
    _run_of: dict[int, tuple[int, int]] = field(init=False)

    def __post_init__(self) -> None:
        self.keys = self.key_of.tolist()
        self._run_of = self._runs()

    def _runs(self) -> dict[int, tuple[int, int]]:
        """Return by key the first and the last band of the run in which it is baked."""
        firsts = np.sort(np.unique(self.key_of, return_index=True)[1]).tolist()
        feet = self.oven.band_feet.tolist()
        found: dict[int, tuple[int, int]] = {}
        start = 0
        for place, band in enumerate(firsts):
            is_last = place + 1 == len(firsts) or firsts[place + 1] != band + 1
            if is_last or feet[band + 1] - feet[firsts[start]] >= self.most_rows:
                run = firsts[start], band
                found.update((self.keys[one], run) for one in firsts[start : place + 1])
                start = place + 1
        return found

    def bake(self, bands: Iterable[int]) -> None:
        """Bake what is missing of some bands."""
        for key in {self.keys[band] for band in bands} - self.bakes.keys():
            if key not in self.bakes:
                first, last = self._run_of[key]
                made = self.oven.bake(self.panel.stretches, first, last)
                self.bakes.update(zip(self.keys[first : last + 1], made, strict=True))

    def of(self, band: int) -> Bake:
        """Return the bake of a band; it must have been asked for."""
        return self.bakes[self.keys[band]]

    def pixels(self, bands: Iterable[int]) -> int:
        """Return how many pixels there are to bake for some bands, those that are baked too."""
        runs = {self._run_of[self.keys[band]] for band in bands}
        feet = self.oven.band_feet
        return self.panel.width * sum(int(feet[last + 1] - feet[first]) for first, last in runs)


@dataclass(eq=False)
class Tiles:
    """All tiles of one strip: everything about its picture but the colours.

    Parameters
    ----------
    sight : Sight
        At least one pick.
    margins : (int, int)
        Pixels painted beyond the left and the right edge.
    seed : int
    grain : Grain

    Notes
    -----
    Band 0 lies below the foot, band i + 1 is that of pick i, the last lies above the fell. The
    picture of a strip reaches ``overhang`` rows below its foot and above its fell.
    """

    sight: Sight
    margins: tuple[int, int]
    seed: int
    grain: Grain
    overhang: int = field(init=False)
    band_feet: NDArray[np.int64] = field(init=False)
    phase: int = field(init=False)
    cover: Cover = field(init=False)
    tiles: tuple[Tile, ...] = field(init=False)

    def __post_init__(self) -> None:
        sight, grain = self.sight, self.grain
        self.overhang = int(np.ceil(1.4 * OVERHANG * sight.line_px))
        tops = [sight.height_px + self.overhang]
        self.band_feet = np.concatenate([[-self.overhang], sight.feet, tops]).astype(np.int64)
        self.phase = variation(sight, grain.picks)
        ends = tile_ends(sight, grain)
        coarse = self.cover = cover(sight, ends)
        finer = 1
        while finer * sight.line_px < grain.finest_line and finer < MOST_FINER:
            finer *= 2
        fine = coarse if finer == 1 else cover(enlarged(sight, finer), ends)
        oven = Oven(fine, self.band_feet, finer, self.phase, self.seed)
        made = panels(coarse, ends, self.margins)
        keys = {edges: band_keys(coarse, self.phase, edges=edges) for edges in {panel.edges for panel in made}}
        self.tiles = tuple(
            Tile(
                panel,
                keys[panel.edges],
                oven,
                min(oven.rows_at_once(panel.width), grain.lines_at_once * sight.line_px),
            )
            for panel in made
        )

    @property
    def bands(self) -> int:
        """How many bands there are: two more than picks."""
        return len(self.band_feet) - 1

    @property
    def shape(self) -> tuple[int, int]:
        """Rows and columns of the strip's picture."""
        return int(self.band_feet[-1] - self.band_feet[0]), self.sight.width_px + sum(self.margins)

    @property
    def around(self) -> int:
        """On how many picks below and above a band depends."""
        return reach(self.sight)

    def bake(self, bands: Iterable[int]) -> None:
        """Bake what is missing of some bands."""
        wanted = list(bands)
        for tile in self.tiles:
            tile.bake(wanted)

    def pixels(self, bands: Iterable[int]) -> int:
        """Return how many pixels there are to bake for some bands, those that are baked too."""
        wanted = list(bands)
        return sum(tile.pixels(wanted) for tile in self.tiles)

    @property
    def kept(self) -> int:
        """How many pixels are baked."""
        return sum(bake.which.size for tile in self.tiles for bake in tile.bakes.values())

    def forget(self) -> None:
        """Forget all bakes; they come back alike."""
        for tile in self.tiles:
            tile.bakes.clear()

    def take_over(self, other: Tiles) -> None:
        """Take over what is baked of a strip that differs at most in which picks show on its floating ends.

        The edges are left out, and everything where lines are so high that the light of the
        outermost columns reaches what lies between the edges.
        """
        if ROOM * self.sight.line_px < INNER * self.sight.column_px:
            for own, known in zip(self.tiles, other.tiles, strict=True):
                if not own.panel.edges:
                    own.bakes.update(known.bakes)

    def pick_map(self) -> NDArray[np.int32]:
        """Return (rows, columns) int32: the pick under each pixel of the strip's picture, -1 where there is none."""
        self.bake(range(self.bands))
        found = np.empty(self.shape, dtype=np.int32)
        top = int(self.band_feet[-1])
        for band in range(self.bands):
            rows = found[top - int(self.band_feet[band + 1]) : top - int(self.band_feet[band])]
            for tile in self.tiles:
                which = tile.of(band).which
                absolute = np.where(which == BARE, -1, which.astype(np.int32) + band - 1)
                for place in tile.panel.places:
                    start = place.x + self.margins[0]
                    source = absolute[:, place.source : place.source + place.width]
                    rows[:, start : start + place.width * place.times] = np.tile(source, (1, place.times))
        return found
