"""A tile with its masks and the coloured rows that were made of it."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from weftline.drawing.wool.bake import Bake
    from weftline.drawing.wool.tiles import Tile


@dataclass(eq=False)
class BakedPanel:
    """A tile with what was coloured of it.

    Parameters
    ----------
    tile : Tile
        Every band baked.
    even : (bands,) bool
        Bands whose ground is the same as that of all even bands of their look.
    key_of : (bands,) int64
        Bands of one key look alike, their grounds too.
    bakes : dict
        By key.
    masks : dict
        By key and other pick: (rows, bytes) uint8, 255 where that pick shows; of keys that come again.
    layers : dict
        Coloured rows by key, other pick and winding, empty where another pick shows.
    whole : dict
        Coloured rows by key and winding, as if that winding showed everywhere.
    grounds : dict
        What shows where there is no pick, by key, where it is the same for all bands of that key: laid with
        the first layer.
    """

    tile: Tile
    even: NDArray[np.bool_]
    key_of: NDArray[np.int64] = field(init=False)
    keys: list[int] = field(init=False)
    again: frozenset[int] = field(init=False)
    bakes: dict[int, Bake] = field(init=False)
    masks: dict[tuple[int, int], NDArray[np.uint8]] = field(default_factory=dict)
    layers: dict[tuple[int, int, int], NDArray[np.uint8]] = field(default_factory=dict)
    whole: dict[tuple[int, int], NDArray[np.uint8]] = field(default_factory=dict)
    grounds: dict[int, NDArray[np.uint8]] = field(default_factory=dict)
    buffers: dict[int, NDArray[np.uint8]] = field(default_factory=dict)
    _bytes: tuple[tuple[int, int, int, int], ...] | None = None

    def __post_init__(self) -> None:
        self.key_of = self.tile.key_of * 2 + self.even
        self.keys = self.key_of.tolist()
        keys, firsts, counts = np.unique(self.key_of, return_index=True, return_counts=True)
        self.again = frozenset(keys[counts > 1].tolist())
        self.bakes = {key: self.tile.of(band) for key, band in zip(keys.tolist(), firsts.tolist(), strict=True)}

    def bytes_at(self, margin: int) -> tuple[tuple[int, int, int, int], ...]:
        """Return for each place: first and last byte in a row of the panel, first byte in a row of the picture, times."""
        if self._bytes is None:
            self._bytes = tuple(
                (3 * place.source, 3 * (place.source + place.width), 3 * (place.x + margin), place.times)
                for place in self.tile.panel.places
            )
        return self._bytes

    def mask(self, key: int, other: int) -> NDArray[np.uint8]:
        """Return (rows, bytes) uint8, 255 where a pick shows."""
        kept = self.masks.get((key, other))
        if kept is None:
            kept = self._mask(key, other)
            if key in self.again:
                self.masks[key, other] = kept
        return kept

    def _mask(self, key: int, other: int) -> NDArray[np.uint8]:
        shows = np.where(self.bakes[key].which == other, np.uint8(255), np.uint8(0))
        return np.repeat(shows, 3, axis=1)

    def buffer(self, like: NDArray[np.uint8]) -> NDArray[np.uint8]:
        """Return an array of this shape to work in."""
        if len(like) not in self.buffers:
            self.buffers[len(like)] = np.empty_like(like)
        return self.buffers[len(like)]
