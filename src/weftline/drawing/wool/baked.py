"""A panel with its bakes, their masks and the coloured rows that were made of them."""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import cached_property
from typing import TYPE_CHECKING

import numpy as np

from weftline.drawing.wool.bake import BARE

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from weftline.drawing.wool.bake import Bake
    from weftline.drawing.wool.panels import Panel


@dataclass(eq=False)
class BakedPanel:
    """A panel with its bakes.

    Parameters
    ----------
    panel : Panel
    key_of : (bands,) int64
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

    panel: Panel
    key_of: NDArray[np.int64]
    bakes: dict[int, Bake] = field(default_factory=dict)
    masks: dict[tuple[int, int], NDArray[np.uint8]] = field(default_factory=dict)
    layers: dict[tuple[int, int, int], NDArray[np.uint8]] = field(default_factory=dict)
    whole: dict[tuple[int, int], NDArray[np.uint8]] = field(default_factory=dict)
    grounds: dict[int, NDArray[np.uint8]] = field(default_factory=dict)
    buffers: dict[int, NDArray[np.uint8]] = field(default_factory=dict)
    _bytes: tuple[tuple[int, int, int, int], ...] | None = None

    @cached_property
    def keys(self) -> list[int]:
        """The keys of the bands, as whole numbers of the language."""
        return [int(key) for key in self.key_of]

    @cached_property
    def again(self) -> frozenset[int]:
        """The keys that more than one band has: what is made for them is kept."""
        keys, counts = np.unique(self.key_of, return_counts=True)
        return frozenset(keys[counts > 1].tolist())

    def bytes_at(self, margin: int) -> tuple[tuple[int, int, int, int], ...]:
        """Return for each place: first and last byte in a row of the panel, first byte in a row of the picture, times."""
        if self._bytes is None:
            self._bytes = tuple(
                (3 * place.source, 3 * (place.source + place.width), 3 * (place.x + margin), place.times)
                for place in self.panel.places
            )
        return self._bytes

    def add(self, key: int, bake: Bake) -> None:
        """Keep a bake, and the masks of its picks if it comes again."""
        self.bakes[key] = bake
        for other in (*bake.others, BARE) if key in self.again else ():
            self.masks[key, other] = self._mask(key, other)

    def mask(self, key: int, other: int) -> NDArray[np.uint8]:
        """Return (rows, bytes) uint8, 255 where a pick shows."""
        kept = self.masks.get((key, other))
        return self._mask(key, other) if kept is None else kept

    def _mask(self, key: int, other: int) -> NDArray[np.uint8]:
        shows = np.where(self.bakes[key].which == other, np.uint8(255), np.uint8(0))
        return np.repeat(shows, 3, axis=1)

    def buffer(self, like: NDArray[np.uint8]) -> NDArray[np.uint8]:
        """Return an array of this shape to work in."""
        if len(like) not in self.buffers:
            self.buffers[len(like)] = np.empty_like(like)
        return self.buffers[len(like)]
