"""What each device could undo and redo: two lists that follow the log."""

from __future__ import annotations

from collections import OrderedDict
from dataclasses import dataclass, field
from threading import Lock
from typing import TYPE_CHECKING

from weftline.core.piece.entries import CHANGE, REDO, RESTORE, UNDO

if TYPE_CHECKING:
    from weftline.services.ports import EntryLog

TRAILS_AT_HAND = 64


@dataclass(slots=True)
class Trail:
    """One device's changes of one piece.

    Parameters
    ----------
    seq : int
        Place up to which it was followed.
    done : list of int
        Places of changes and redos that undo would take back, the next one last.
    undone : list of int
        Places of undos that redo would take back, the next one last.
    """

    seq: int = 0
    done: list[int] = field(default_factory=list)
    undone: list[int] = field(default_factory=list)

    def follow(self, seq: int, kind: str) -> None:
        """Take in one more entry; a new change ends what can be redone."""
        self.seq = seq
        if kind in (CHANGE, RESTORE):
            self.done.append(seq)
            self.undone.clear()
        elif kind == UNDO and self.done:
            self.done.pop()
            self.undone.append(seq)
        elif kind == REDO and self.undone:
            self.undone.pop()
            self.done.append(seq)


class Trails:
    """The trails of all devices on all pieces; those at hand are only followed on.

    Parameters
    ----------
    log : EntryLog
    """

    def __init__(self, log: EntryLog) -> None:
        self._log = log
        self._at_hand: OrderedDict[tuple[str, str], Trail] = OrderedDict()
        self._lock = Lock()

    def last(self, piece: str, device: str, kind: str) -> int | None:
        """Return the place of the entry that undo or redo would take back."""
        with self._lock:
            trail = self._at_hand.pop((piece, device), None) or Trail()
            self._at_hand[piece, device] = trail
            while len(self._at_hand) > TRAILS_AT_HAND:
                self._at_hand.popitem(last=False)
            for seq, entry_kind in self._log.kinds_after(piece, device, trail.seq):
                trail.follow(seq, entry_kind)
            places = trail.done if kind == UNDO else trail.undone
            return places[-1] if places else None
