"""The painter of one strip: bakes what has no colour once, then lays coloured rows side by side.

A picture of w x h pixels is never looked up pixel by pixel. For every band, pick and winding that
comes up, rows of one tile are coloured once, empty where another pick shows; painting a band is
``bitwise_or`` of a few such rows and one copy across the picture.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

import numpy as np

from weftline.drawing.wool.bake import BARE, Oven
from weftline.drawing.wool.baked import BakedPanel
from weftline.drawing.wool.cover import band_keys, cover, enlarged, variation
from weftline.drawing.wool.dye import SHADES, table
from weftline.drawing.wool.panels import FINE, Grain, panels, tile_ends
from weftline.drawing.wool.spots import OVERHANG

if TYPE_CHECKING:
    from collections.abc import Iterator

    from numpy.typing import NDArray

    from weftline.drawing.wool.cover import Cover
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

    Notes
    -----
    The picture of a strip reaches ``overhang`` rows below its foot and above its fell.
    """

    sight: Sight
    lights: NDArray[np.float64]
    ground: Ground
    margins: tuple[int, int]
    seed: int = 0
    grain: Grain = FINE
    wound: NDArray[np.int32] = field(init=False)
    overhang: int = field(init=False)
    cover: Cover = field(init=False)

    def __post_init__(self) -> None:
        sight = self.sight
        self.wound = sight.wound.copy()
        self.overhang = int(np.ceil(1.4 * OVERHANG * sight.line_px))
        tops = [sight.height_px + self.overhang]
        self.band_feet = np.concatenate([[-self.overhang], sight.feet, tops]).astype(np.int64)
        tile = tile_ends(sight, self.grain)
        phase = variation(sight, self.grain.picks)
        coarse = self.cover = cover(sight, tile)
        finer = 1
        while finer * sight.line_px < self.grain.finest_line and finer < 4:
            finer *= 2
        fine = coarse if finer == 1 else cover(enlarged(sight, finer), tile)
        self._oven = Oven(fine, self.band_feet, finer, phase, self.seed)
        even = np.array([self._is_even(band) for band in range(len(self.band_feet) - 1)])
        self._panels = tuple(
            BakedPanel(panel, band_keys(coarse, phase, edges=panel.edges) * 2 + even)
            for panel in panels(coarse, tile, self.margins)
        )
        for baked in self._panels:
            self._bake(baked)
        seen = np.zeros(SHADES)
        for baked in self._panels:
            for bake in baked.bakes.values():
                seen += np.bincount(bake.shade[bake.which != BARE], minlength=SHADES)
        self._tables = np.stack([table(light, seen) for light in self.lights])

    @property
    def shape(self) -> tuple[int, int, int]:
        """Rows, columns and channels of the strip's picture."""
        return int(self.band_feet[-1] - self.band_feet[0]), self.sight.width_px + sum(self.margins), 3

    def _bake(self, baked: BakedPanel) -> None:
        """Bake every key once, neighbours together."""
        _, firsts = np.unique(baked.key_of, return_index=True)
        new = np.sort(firsts)
        rows = self._oven.rows_at_once(baked.panel.width)
        start = 0
        for place in range(1, len(new) + 1):
            run_ends = place == len(new) or new[place] != new[place - 1] + 1
            tall = self.band_feet[new[place - 1] + 1] - self.band_feet[new[start]]
            if run_ends or tall >= rows:
                bands = int(new[start]), int(new[place - 1])
                for offset, bake in enumerate(self._oven.bake(baked.panel.stretches, *bands)):
                    band = bands[0] + offset
                    baked.add(baked.keys[band], bake)
                    if bake.bare and self._is_even(band):
                        baked.grounds[baked.keys[band]] = self._bare(baked, band)
                start = place

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
        last = len(self.band_feet) - 2 if last is None else last
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
            for band in range(max(0, own - 64), min(len(self.band_feet) - 1, own + 65)):
                bake = baked.bakes[int(baked.key_of[band])]
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
        ground = np.concatenate([self.ground.rows(reach, stretch) for stretch in baked.panel.stretches], axis=1)
        bare: NDArray[np.uint8] = ground.reshape(len(ground), -1) & baked.mask(baked.keys[band], BARE)
        return bare

    def spots_by_column(self) -> Iterator[tuple[Spot, int]]:
        """Yield every bead or float with the pick that shows below it in its column, -1 at the foot."""
        return self.cover.by_column()

    def pick_map(self) -> NDArray[np.int32]:
        """Return (rows, columns) int32: the pick under each pixel of the strip's picture, -1 where there is none."""
        found = np.empty(self.shape[:2], dtype=np.int32)
        top = int(self.band_feet[-1])
        for band in range(len(self.band_feet) - 1):
            rows = found[top - int(self.band_feet[band + 1]) : top - int(self.band_feet[band])]
            for baked in self._panels:
                which = baked.bakes[int(baked.key_of[band])].which
                absolute = np.where(which == BARE, -1, which.astype(np.int32) + band - 1)
                for place in baked.panel.places:
                    start = place.x + self.margins[0]
                    source = absolute[:, place.source : place.source + place.width]
                    rows[:, start : start + place.width * place.times] = np.tile(source, (1, place.times))
        return found
