"""The throws of a plan by their place: what is next, and where a place went when the plan was changed.

Places are worked out, never listed: a piece of a thousand pieces of twelve strips costs no more than
its picks. The order is that of ``plan.steps``: each shed is used on every strip before it changes.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

import numpy as np

from weftline.core.weave.technique import mask_shafts
from weftline.core.weaving.log import Planned, Throw

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from weftline.core.piece.cloth import Cloth, SectionCloth
    from weftline.core.piece.draft import Node
    from weftline.core.weave.picks import Winding

Address = tuple[str, int, str, str, int, int]
"""Strip, piece, band, written line, shed of the line, how often that came before: what stays when a plan is changed."""


@dataclass(frozen=True, slots=True)
class PlannedThrow:
    """One throw of the plan.

    Parameters
    ----------
    ordinal : int
        From 1 through the whole warp.
    section, strip : int
        From 0.
    piece : int
        Which of the section's pieces, from 1.
    index : int
        Pick of the strip, from 0.
    line, pick : int
        Running line of the piece and place of the throw in its line, from 1.
    shed : tuple of int
        Shafts covered on the face.
    strands : Winding
    """

    ordinal: int
    section: int
    piece: int
    strip: int
    index: int
    line: int
    pick: int
    shed: tuple[int, ...]
    strands: Winding


class PlannedThrows:
    """Every throw of one version of a plan.

    Parameters
    ----------
    cloth : Cloth
        The piece, expanded.
    draft : Node
        The same piece with its ids.
    """

    def __init__(self, cloth: Cloth, draft: Node) -> None:
        self.cloth = cloth
        self.draft = draft
        self._sections = [_Order(section) for section in cloth.sections]
        sizes = [order.throws * section.written.pieces for order, section in self._parts]
        self._feet: list[int] = [0, *np.cumsum(sizes, dtype=np.int64).tolist()]

    @property
    def _parts(self) -> list[tuple[_Order, SectionCloth]]:
        return list(zip(self._sections, self.cloth.sections, strict=True))

    @property
    def total(self) -> int:
        """How many throws the whole warp takes."""
        return self._feet[-1]

    @cached_property
    def strips(self) -> tuple[tuple[str, ...], ...]:
        """Ids of the strips, by section."""
        return tuple(tuple(strip.id for strip in section.children) for section in self.draft.children)

    def at(self, ordinal: int) -> PlannedThrow:
        """Return one throw.

        Raises
        ------
        IndexError
            For an ordinal that the plan does not have.
        """
        if not 1 <= ordinal <= self.total:
            raise IndexError(f"the plan has throws 1 to {self.total}, not {ordinal}")
        section = int(np.searchsorted(self._feet, ordinal - 1, side="right")) - 1
        order, cloth = self._sections[section], self.cloth.sections[section]
        piece, place = divmod(ordinal - 1 - self._feet[section], order.throws)
        index, strip = order.pick_at(place)
        weaving = cloth.strips[strip].weaving
        picks, line = weaving.picks, int(order.line[index])
        return PlannedThrow(
            ordinal,
            section,
            piece + 1,
            strip,
            index,
            line + 1,
            index - int(order.starts[line]) + 1,
            mask_shafts(int(picks.shed[index])),
            weaving.windings[picks.wound[index]],
        )

    def throw(self, ordinal: int, seq: int) -> Throw:
        """Return one throw as it is thrown when the plan is followed; ``seq`` is the version of this plan."""
        found = self.at(ordinal)
        strip = self.strips[found.section][found.strip]
        return Throw(strip, found.piece, found.shed, found.strands, Planned(seq, ordinal))

    def coming(self, ordinal: int, count: int) -> list[PlannedThrow]:
        """Return the next throws from a place on, fewer at the end of the plan."""
        return [self.at(one) for one in range(max(ordinal, 1), min(ordinal + count, self.total + 1))]

    def ordinal_of(self, section: int, piece: int, strip: int, index: int) -> int | None:
        """Return the ordinal of a pick of a strip, None where there is no such throw."""
        if piece > self.cloth.sections[section].written.pieces:
            return None
        order = self._sections[section]
        return self._feet[section] + (piece - 1) * order.throws + order.place_of(index, strip) + 1

    @cached_property
    def _addresses(self) -> dict[tuple[int, int], list[tuple[str, str, int, int]]]:
        return {
            (section, strip): self._addresses_of(section, strip)
            for section, cloth in enumerate(self.cloth.sections)
            for strip in range(len(cloth.strips))
        }

    def _addresses_of(self, section: int, strip: int) -> list[tuple[str, str, int, int]]:
        bands = self.draft.children[section].children[strip].children
        picks = self.cloth.sections[section].strips[strip].weaving.picks
        seen: dict[tuple[str, str, int], int] = {}
        found = []
        for band, written, slot in zip(picks.band.tolist(), picks.written.tolist(), picks.slot.tolist(), strict=True):
            key = (bands[band].id, bands[band].children[written].id, slot)
            seen[key] = seen.get(key, 0) + 1
            found.append((*key, seen[key]))
        return found

    @cached_property
    def _indices(self) -> dict[tuple[str, str, str, int, int], tuple[int, int, int]]:
        return {
            (self.strips[section][strip], *address): (section, strip, index)
            for (section, strip), addresses in self._addresses.items()
            for index, address in enumerate(addresses)
        }

    def address(self, ordinal: int) -> Address:
        """Return what tells this throw in other versions of the plan."""
        one = self.at(ordinal)
        band, line, slot, times = self._addresses[one.section, one.strip][one.index]
        return self.strips[one.section][one.strip], one.piece, band, line, slot, times

    def find(self, address: Address) -> int | None:
        """Return the ordinal of a throw by its address, None where this plan does not have it."""
        strip, piece, band, line, slot, times = address
        found = self._indices.get((strip, band, line, slot, times))
        return None if found is None else self.ordinal_of(found[0], piece, found[1], found[2])


class _Order:
    """The order of throws within one piece of a section."""

    def __init__(self, section: SectionCloth) -> None:
        self.lengths = [len(strip.weaving.picks) for strip in section.strips]
        longest = max(range(len(self.lengths)), key=self.lengths.__getitem__)
        self.line: NDArray[np.int32] = section.strips[longest].weaving.picks.line
        self.starts = np.flatnonzero(np.diff(self.line, prepend=-1))
        indices = np.arange(max(self.lengths) + 1, dtype=np.int64)
        self.before = np.minimum(indices[:, None], np.array(self.lengths)[None, :]).sum(axis=1)
        self.throws = sum(self.lengths)

    def pick_at(self, place: int) -> tuple[int, int]:
        """Return pick and strip of a place in the piece, all from 0."""
        index = int(np.searchsorted(self.before, place, side="right")) - 1
        across = [strip for strip, length in enumerate(self.lengths) if length > index]
        return index, across[place - int(self.before[index])]

    def place_of(self, index: int, strip: int) -> int:
        """Return the place of a pick of a strip."""
        return int(self.before[index]) + sum(length > index for length in self.lengths[:strip])


def moved(old: PlannedThrows, new: PlannedThrows, ordinal: int) -> int:
    """Return which throw is next when a plan was changed: the one after the last woven that is still there.

    Parameters
    ----------
    old, new : PlannedThrows
    ordinal : int
        The throw of the old plan that was next; one more than it has when all is woven.

    Notes
    -----
    What was put in at the fell is next; what was taken away below the fell is passed over. Where nothing
    of what was woven is in the new plan any more, the count alone is kept.
    """
    for before in range(min(ordinal - 1, old.total), 0, -1):
        found = new.find(old.address(before))
        if found is not None:
            return found + 1
    return min(ordinal, new.total + 1)
