"""Versions of a plan by the last entry that changed it: their throws, and where a place went from one to another."""

from __future__ import annotations

from collections import OrderedDict
from threading import Lock
from typing import TYPE_CHECKING

from weftline.core.piece.cloth import expand
from weftline.core.weaving.coming import PlannedThrows, moved
from weftline.core.weaving.log import FIRST, Planned
from weftline.errors import WeftlineError
from weftline.services.readable import read_draft

if TYPE_CHECKING:
    from weftline.core.piece.entries import PieceState
    from weftline.services.pieces import Pieces

PLANS_AT_HAND = 24


class Plans:
    """The plans of all pieces; those at hand are not expanded again.

    Parameters
    ----------
    pieces : Pieces
    """

    def __init__(self, pieces: Pieces) -> None:
        self._pieces = pieces
        self._at_hand: OrderedDict[tuple[str, int], PlannedThrows] = OrderedDict()
        self._moved: OrderedDict[tuple[str, int, int, int], int] = OrderedDict()
        self._lock = Lock()

    def now(self, piece: str, state: PieceState) -> PlannedThrows:
        """Return the plan of a piece as it is in this state."""
        key = (piece, state.changed)
        with self._lock:
            known = self._at_hand.get(key)
            if known is not None:
                self._at_hand.move_to_end(key)
                return known
        found = PlannedThrows(expand(read_draft(state.draft)), state.draft)
        with self._lock:
            self._at_hand[key] = found
            while len(self._at_hand) > PLANS_AT_HAND:
                self._at_hand.popitem(last=False)
        return found

    def changed(self, piece: str, seq: int) -> int:
        """Return which version of the plan a piece had after so many entries."""
        return self._pieces.open(piece, seq).changed

    def version(self, piece: str, seq: int) -> PlannedThrows | None:
        """Return the plan of a piece as it was after so many entries, None where there is none."""
        with self._lock:
            known = self._at_hand.get((piece, seq))
        if known is not None:
            return known
        try:
            return self.now(piece, self._pieces.open(piece, seq))
        except WeftlineError:
            return None  # no such version, or one of an older Weftline that cannot be followed now

    def brought(self, piece: str, state: PieceState, plan: Planned) -> Planned:
        """Return a place in the plan as it is in this state."""
        if plan.seq == state.changed or plan == FIRST:
            return Planned(state.changed, plan.ordinal)
        key = (piece, plan.seq, plan.ordinal, state.changed)
        with self._lock:
            known = self._moved.get(key)
        if known is None:
            now, old = self.now(piece, state), None if plan.seq == 0 else self.version(piece, plan.seq)
            known = min(plan.ordinal, now.total + 1) if old is None else moved(old, now, plan.ordinal)
            with self._lock:
                self._moved[key] = known
                while len(self._moved) > 16 * PLANS_AT_HAND:
                    self._moved.popitem(last=False)
        return Planned(state.changed, known)
