"""A run of woven lines of one kind as numbers: equal lines have equal numbers."""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import cached_property
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from numpy.typing import NDArray

Coded = tuple[int, tuple[int, ...]]
"""Direction (1 forth, -1 back, 0 a single pick) and a yarn's number for each shed, -1 where none was thrown."""


@dataclass(slots=True)
class Alphabet:
    """Numbers for lines, and for what is left of them when they are turned or lose their first pick."""

    lines: list[Coded] = field(default_factory=list)
    _numbers: dict[Coded, int] = field(default_factory=dict)

    def number(self, line: Coded) -> int:
        """Return the number of a line, a new one if it was not met before."""
        found = self._numbers.get(line)
        if found is None:
            found = self._numbers[line] = len(self.lines)
            self.lines.append(line)
        return found

    def turned(self, number: int) -> int:
        """Return the number of the line thrown the other way round."""
        direction, tokens = self.lines[number]
        return self.number((-direction, tokens))

    def order(self, number: int) -> list[int]:
        """Return the sheds of a line in the order thrown."""
        direction, tokens = self.lines[number]
        slots = [slot for slot, token in enumerate(tokens) if token >= 0]
        return slots[::-1] if direction < 0 else slots

    def clipped(self, number: int) -> int | None:
        """Return the number of the line without its first pick, None where nothing is left."""
        order = self.order(number)
        if len(order) < 2:
            return None
        direction, tokens = self.lines[number]
        left = tuple(-1 if slot == order[0] else token for slot, token in enumerate(tokens))
        return self.number((direction if len(order) > 2 else 0, left))

    def words(self, number: int) -> int:
        """Return how many words the line takes to write: one a shed, one for ``back``."""
        direction, tokens = self.lines[number]
        return len(tokens) + (direction < 0)


@dataclass(frozen=True, eq=False)
class Stretch:
    """Woven lines of one kind.

    Parameters
    ----------
    tokens : (lines, sheds) int32
        Yarn thrown in each shed, -1 where none was.
    direction : (lines,) int8
        1 forth, -1 back, 0 for a single pick.
    masks : tuple of int
        Bit mask of each shed.
    before : int or None
        Bit mask of the last pick below the stretch.
    kind_words : int
        Words that each band takes for sheds and a beat of its own.
    """

    tokens: NDArray[np.int32]
    direction: NDArray[np.int8]
    masks: tuple[int, ...]
    before: int | None
    kind_words: int = 0

    def __len__(self) -> int:
        return len(self.tokens)

    @cached_property
    def alphabet(self) -> Alphabet:
        """Numbers of the lines and of their turned and clipped forms."""
        return Alphabet()

    @cached_property
    def ids(self) -> NDArray[np.int64]:
        """(lines,) int64: the number of each line."""
        pairs = zip(self.direction.tolist(), self.tokens.tolist(), strict=True)
        return np.array([self.alphabet.number((way, tuple(row))) for way, row in pairs], dtype=np.int64)

    def _of_each(self, found: dict[int, int]) -> NDArray[np.int64]:
        return np.array([found[number] for number in self.ids.tolist()], dtype=np.int64)

    @cached_property
    def turned(self) -> NDArray[np.int64]:
        """(lines,) int64: the number of each line turned."""
        return self._of_each({number: self.alphabet.turned(number) for number in set(self.ids.tolist())})

    @cached_property
    def clipped(self) -> NDArray[np.int64]:
        """(lines,) int64: the number of each line without its first pick; -1 where nothing is left."""
        found = {}
        for number in set(self.ids.tolist()):
            left = self.alphabet.clipped(number)
            found[number] = -1 if left is None else left
        return self._of_each(found)

    @cached_property
    def turned_clipped(self) -> NDArray[np.int64]:
        """(lines,) int64: the number of each line turned and then without its first pick; -1 where nothing is left."""
        found = {}
        for number in set(self.ids.tolist()):
            left = self.alphabet.clipped(self.alphabet.turned(number))
            found[number] = -1 if left is None else left
        return self._of_each(found)

    @cached_property
    def thrown(self) -> NDArray[np.int64]:
        """(lines,) int64: bit mask of the sheds of the line that were thrown."""
        return np.asarray((self.tokens >= 0) @ (1 << np.arange(len(self.masks), dtype=np.int64)), dtype=np.int64)

    @cached_property
    def picks(self) -> NDArray[np.int64]:
        """(lines,) int64: picks thrown in each line."""
        return np.asarray((self.tokens >= 0).sum(axis=1), dtype=np.int64)

    @cached_property
    def shed_before(self) -> list[int | None]:
        """The shed of the pick before each line."""
        last = [self.masks[self.alphabet.order(number)[-1]] for number in self.ids.tolist()]
        return [self.before, *last[:-1]]

    def first_shed(self, number: int) -> int:
        """Return the shed that a line is begun in."""
        return self.masks[self.alphabet.order(number)[0]]
