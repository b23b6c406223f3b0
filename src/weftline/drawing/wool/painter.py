"""The painter of one strip: lays coloured rows of its tiles side by side.

A picture of w x h pixels is never looked up pixel by pixel. For every band, pick and winding that
comes up, rows of one tile are coloured once, empty where another pick shows; painting a band is
``bitwise_or`` of a few such rows and one copy across the picture.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

import numpy as np

from weftline.drawing.wool.bake import BARE
from weftline.drawing.wool.baked import BakedPanel
from weftline.drawing.wool.dye import table
from weftline.drawing.wool.panels import FINE, Grain
from weftline.drawing.wool.stock import seen_shades
from weftline.drawing.wool.tiles import Tiles

if TYPE_CHECKING:
    from collections.abc import Iterator

    from numpy.typing import NDArray

    from weftline.drawing.wool.ground import Ground
    from weftline.drawing.wool.hairs import Hairs
    from weftline.drawing.wool.sight import Sight
    from weftline.drawing.wool.spots import Spot

HAIR_SHADE = 160
"""The shade of a hair: lit from all around."""


@dataclass(eq=False)
class StripPainter:
    """Paints one strip, whole or pick by pick.

    Parameters
    ----------
    sight : Sight
    lights : (windings, 3) float64
        Linear colour of each winding.
    ground : Ground
    margins : (int, int)
        Pixels painted beyond the left and the right edge.
    seed : int
    grain : Grain
    """

    sight: Sight
    lights: NDArray[np.float64]
    ground: Ground
    margins: tuple[int, int]
    seed: int = 0
    grain: Grain = FINE
    wound: NDArray[np.int32] = field(init=False)
    tiles: Tiles = field(init=False)

    def __post_init__(self) -> None:
        self.wound = self.sight.wound.copy()
        tiles = self.tiles = Tiles(self.sight, self.margins, self.seed, self.grain)
        tiles.bake(range(tiles.bands))
        self.band_feet = tiles.band_feet
        even = np.array([self._is_even(band) for band in range(tiles.bands)])
        self._panels = tuple(BakedPanel(tile, even) for tile in tiles.tiles)
        for baked in self._panels:
            self._lay_grounds(baked)
        seen = seen_shades(self.sight.line_px, self.grain.finest_line, back=self.sight.back)
        self._tables = np.stack([table(light, seen) for light in self.lights])

    @property
    def overhang(self) -> int:
        """Rows painted below the foot and above the fell."""
        return self.tiles.overhang

    @property
    def shape(self) -> tuple[int, int, int]:
        """Rows, columns and channels of the strip's picture."""
        return *self.tiles.shape, 3

    def _lay_grounds(self, baked: BakedPanel) -> None:
        """Keep the ground of all bands that have the same."""
        for band in np.unique(baked.key_of, return_index=True)[1].tolist():
            if self._is_even(band) and baked.tile.of(band).bare:
                baked.grounds[baked.keys[band]] = self._bare(baked, band)

    def _is_even(self, band: int) -> bool:
        return self.ground.even((int(self.band_feet[band]), int(self.band_feet[band + 1])))

    def paint(self, out: NDArray[np.uint8], first: int = 0, last: int | None = None) -> None:
        """Paint bands into an array that holds just them.

        Parameters
        ----------
        out : (rows, columns, 3) uint8
            The strip's picture from the top of band ``last`` to the foot of band ``first``.
        first, last : int
            Bands; band 0 lies below the foot, band i + 1 is that of pick i. All where left out.
        """
        last = self.tiles.bands - 1 if last is None else last
        top = int(self.band_feet[last + 1])
        flat = out.reshape(out.shape[0], -1)
        for band in range(first, last + 1):
            low, high = top - int(self.band_feet[band]), top - int(self.band_feet[band + 1])
            if low > high:
                for baked in self._panels:
                    self._paint_band(flat[high:low], baked, band)

    def forget_colours(self) -> None:
        """Forget all coloured rows; what has no colour stays."""
        for baked in self._panels:
            baked.layers.clear()
            baked.whole.clear()

    def repaint(self, out: NDArray[np.uint8], pick: int) -> tuple[int, int]:
        """Paint again, into the strip's whole picture, the bands in which one pick shows.

        Returns
        -------
        (int, int)
            From row to row of the picture.
        """
        first, last = self.bands_of(pick)
        top = int(self.band_feet[-1])
        rows = top - int(self.band_feet[last + 1]), top - int(self.band_feet[first])
        self.paint(out[rows[0] : rows[1]], first, last)
        return rows

    def bands_of(self, pick: int) -> tuple[int, int]:
        """Return the first and the last band in which a pick shows."""
        own = pick + 1
        found = [own]
        for baked in self._panels:
            for band in range(max(0, own - 64), min(self.tiles.bands, own + 65)):
                bake = baked.tile.of(band)
                if own - band in bake.others or own - band in bake.hairs.pick:
                    found.append(band)
        return min(found), max(found)

    def _paint_band(self, rows: NDArray[np.uint8], baked: BakedPanel, band: int) -> None:
        key = baked.keys[band]
        bake, known, wound = baked.bakes[key], baked.layers, self.wound
        layers = []
        for other in bake.others:
            winding = int(wound[band - 1 + other])
            layer = known.get((key, other, winding))
            layers.append(self._dyed(baked, key, other, winding) if layer is None else layer)
        if not layers or (bake.bare and key not in baked.grounds):
            layers.append(self._bare(baked, band))
        tile = layers[0]
        if len(layers) > 1 or len(bake.hairs.row):
            tile = baked.buffer(layers[0])
            np.bitwise_or(layers[0], layers[-1], out=tile)
            for layer in layers[1:-1]:
                np.bitwise_or(tile, layer, out=tile)
            if len(bake.hairs.row):
                self._lay_hairs(tile, bake.hairs, band)
        for first, stop, start, times in baked.bytes_at(self.margins[0]):
            wide = stop - first
            if times == 1:
                rows[:, start : start + wide] = tile[:, first:stop]
            else:
                target = rows[:, start : start + wide * times].reshape(len(rows), times, wide)
                target[:] = tile[:, None, first:stop]

    def _lay_hairs(self, tile: NDArray[np.uint8], hairs: Hairs, band: int) -> None:
        pixels = tile.reshape(len(tile), -1, 3)
        under = pixels[hairs.row, hairs.column].astype(np.float32)
        windings = self.wound[np.clip(hairs.pick + band - 1, 0, len(self.wound) - 1)]
        laid = under + hairs.opacity[:, None] * (self._tables[windings, HAIR_SHADE] - under)
        pixels[hairs.row, hairs.column] = np.rint(laid).astype(np.uint8)

    def _dyed(self, baked: BakedPanel, key: int, other: int, winding: int) -> NDArray[np.uint8]:
        whole = baked.whole.get((key, winding))
        if whole is None:
            shade = baked.bakes[key].shade
            whole = self._tables[winding].take(shade, axis=0).reshape(len(shade), -1)
        layer = whole & baked.mask(key, other)
        if key in baked.grounds and other == baked.bakes[key].others[0]:
            layer |= baked.grounds[key]
        if key in baked.again:
            baked.whole[key, winding], baked.layers[key, other, winding] = whole, layer
        return layer

    def _bare(self, baked: BakedPanel, band: int) -> NDArray[np.uint8]:
        """Return the ground where no pick shows, empty elsewhere."""
        reach = int(self.band_feet[band]), int(self.band_feet[band + 1])
        ground = np.concatenate([self.ground.rows(reach, stretch) for stretch in baked.tile.panel.stretches], axis=1)
        bare: NDArray[np.uint8] = ground.reshape(len(ground), -1) & baked.mask(baked.keys[band], BARE)
        return bare

    def spots_by_column(self) -> Iterator[tuple[Spot, int]]:
        """Yield every bead or float with the pick that shows below it in its column, -1 at the foot."""
        return self.tiles.cover.by_column()

    def pick_map(self) -> NDArray[np.int32]:
        """Return (rows, columns) int32: the pick under each pixel of the strip's picture, -1 where there is none."""
        return self.tiles.pick_map()
