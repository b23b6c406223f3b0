"""The desk: pieces with their plans as the routes ask for them; the one place that meets the services."""

from __future__ import annotations

import hashlib
import secrets
import threading
from collections import OrderedDict
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Literal

from weftline.core.piece.commands import Set
from weftline.core.piece.draft import ROOT
from weftline.core.plan.plan import plan as plan_of
from weftline.core.weaving.log import TICKED
from weftline.errors import PieceError, WeftlineError
from weftline.server.whereabouts import in_place
from weftline.services.answers import Asked, Kept, Written
from weftline.services.readable import read_draft
from weftline.services.requests import Change, Reversal, sender_of
from weftline.services.shelf import SHELF

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from weftline.core.piece.commands import Command
    from weftline.core.piece.draft import Node
    from weftline.core.piece.values import Project
    from weftline.core.plan.plan import Plan
    from weftline.server.announcer import Announcer
    from weftline.services.answers import HistoryLine, Summary
    from weftline.services.following import Link, Place
    from weftline.services.log_answers import Noted
    from weftline.services.log_requests import LogEntry
    from weftline.services.requests import Sender
    from weftline.services.shelf import ShelfState
    from weftline.services.weaving import Weaving
    from weftline.wiring import Services

TICK = TICKED
"""Kind of the entries that say how many ends are threaded; the fold of a piece passes them over."""
PLANS_AT_HAND = 48
NOBODY = "shelf"
"""The device that changes are said to come from which follow what another program did."""


class ClashError(WeftlineError):
    """Another device changed the same; nothing was kept, and the weaver chooses."""

    code = "clash"

    def __init__(self, asked: Asked) -> None:
        super().__init__("another window changed the same place; keep yours or theirs")
        self.asked = asked


@dataclass(frozen=True, slots=True)
class Progress:
    """How far the making has come: ends threaded, and throws woven of the whole warp."""

    threaded: int = 0
    woven: int = 0


@dataclass(frozen=True, slots=True)
class Sheet:
    """A piece as it lies on the desk.

    Parameters
    ----------
    id : str
    seq : int
        Its last entry.
    draft : Node
    undo, redo : str or None
        What this device would take back, and do again.
    put_away : bool
    progress : Progress
    """

    id: str
    seq: int
    draft: Node
    undo: str | None = None
    redo: str | None = None
    put_away: bool = False
    progress: Progress = Progress()


@dataclass(frozen=True, slots=True)
class Hand:
    """Who changes something: the device, the id of the entry, the last entry that the page knew.

    ``choice`` says after a clash what is kept: ``mine`` or ``theirs``.
    """

    device: str
    entry: str
    base: int
    choice: Literal["mine", "theirs"] | None = None


def fresh_id() -> str:
    """Return an id for an entry."""
    return secrets.token_urlsafe(12)


def piece_id(entry: str) -> str:
    """Return the id of the piece that an entry makes, so that sent again it makes no second one."""
    return "p" + hashlib.sha256(entry.encode()).hexdigest()[:15]


class Desk:
    """Everything that the pages are about.

    Parameters
    ----------
    services : Services
    announcer : Announcer
        Told of every new entry.
    """

    def __init__(self, services: Services, announcer: Announcer) -> None:
        self._pieces = services.pieces
        self._designing = services.designing
        self._shelf = services.shelf
        self._following = services.following
        self._weaving = services.weaving
        self._announcer = announcer
        self._heads: Mapping[str, int] | None = None
        self._shelf_turn = threading.RLock()
        self._plans: OrderedDict[tuple[str, int], Plan] = OrderedDict()
        self._ticks: dict[str, tuple[int, int]] = {}
        self._lock = threading.Lock()

    # --- pieces ---

    def summaries(self, *, put_away: bool = False) -> list[Summary]:
        """Return every piece that hangs, or every one that was put away, last changed first."""
        found = self._pieces.list(put_away=True)
        return [one for one in found if one.put_away == put_away]

    def sheet(self, piece: str, device: str) -> Sheet:
        """Return a piece."""
        state = self._pieces.open(piece)
        undo, redo = self._designing.undoable(piece, device), self._designing.redoable(piece, device)
        return Sheet(
            piece,
            state.seq,
            state.draft,
            undo=None if undo is None else undo.name,
            redo=None if redo is None else redo.name,
            put_away=state.put_away,
            progress=self.progress(piece),
        )

    def plan(self, piece: str) -> Plan:
        """Return the plan of a piece as it is now."""
        state = self._pieces.open(piece)
        key = (piece, state.changed)
        with self._lock:
            known = self._plans.get(key)
            if known is not None:
                self._plans.move_to_end(key)
                return known
        found = plan_of(read_draft(state.draft))
        with self._lock:
            self._plans[key] = found
            while len(self._plans) > PLANS_AT_HAND:
                self._plans.popitem(last=False)
        return found

    def progress(self, piece: str) -> Progress:
        """Return how far a piece has come."""
        seq, threaded = self._ticks.get(piece, (0, 0))
        for entry in self._pieces.streams.log.of_kinds_after(piece, (TICK,), seq):
            seq, threaded = entry.seq, int(entry.payload.get("threaded", threaded))
        self._ticks[piece] = (seq, threaded)
        return Progress(threaded, self._weaving.stand(piece).plan.ordinal - 1)

    def file(self, piece: str) -> str:
        """Return a piece as a project file."""
        return self._pieces.export(piece)

    def create(self, project: Project, hand: Hand) -> str:
        """Make a piece; returns its id."""
        return self._made(self._pieces.create(project, hand.device, hand.entry, piece_id(hand.entry)))

    def duplicate(self, piece: str, hand: Hand) -> str:
        """Make a piece like this one; returns its id."""
        return self._made(self._pieces.duplicate(piece, hand.device, None, hand.entry, piece_id(hand.entry)))

    def put_away(self, piece: str, hand: Hand) -> None:
        """Put a piece away."""
        self._tell(self._pieces.put_away(piece, hand.device, hand.entry))

    def bring_back(self, piece: str, hand: Hand) -> None:
        """Bring a piece back."""
        self._tell(self._pieces.bring_back(piece, hand.device, hand.entry))
        self._renew(sender_of(hand.entry, hand.device))

    def change(self, piece: str, command: Command, hand: Hand, name: str | None = None) -> Kept:
        """Change a piece.

        Raises
        ------
        ClashError
            When another device changed the same since the page was made.
        """
        request = Change(id=hand.entry, device=hand.device, base_seq=hand.base, command=command, name=name)
        try:
            return self._settled(self._designing.change(piece, request))
        except PieceError as cause:
            raise in_place(cause, self._pieces.open(piece).draft) from None

    def rename(self, piece: str, name: str, hand: Hand) -> None:
        """Give a piece another name."""
        self.change(piece, Set(node=ROOT, field="name", value=name), hand)

    def undo(self, piece: str, hand: Hand) -> Kept:
        """Take back this device's last change."""
        return self._settled(self._designing.undo(piece, _reversal(hand)))

    def redo(self, piece: str, hand: Hand) -> Kept:
        """Do again what this device took back."""
        return self._settled(self._designing.redo(piece, _reversal(hand)))

    def history(self, piece: str) -> Sequence[HistoryLine]:
        """Return what happened to a piece, in order."""
        return self._pieces.history(piece)

    def then(self, piece: str, seq: int) -> Plan:
        """Return the plan of a piece as it was after so many entries."""
        return plan_of(read_draft(self._pieces.open(piece, seq).draft))

    def restore(self, piece: str, seq: int, hand: Hand) -> Kept:
        """Make a piece what it was after so many entries."""
        return self._settled(self._designing.restore(piece, seq, hand.entry, hand.device, hand.base))

    def tick(self, piece: str, hand: Hand, **done: int) -> Kept:
        """Note how far a piece has come: ``threaded`` ends; ``woven`` throws, which go into its log as planned."""
        if "woven" in done:
            noted = self._weaving.weave_to(piece, done["woven"], hand.entry, hand.device)
            return self._settled(Kept(piece, noted.seq, noted.is_new))
        sender = sender_of(hand.entry, hand.device)
        self._pieces.open(piece)
        payload: dict[str, Any] = dict(done)
        return self._settled(self._pieces.streams.keep(piece, sender, lambda state: Written(TICK, state.seq, payload)))

    # --- the log ---

    @property
    def weaving(self) -> Weaving:
        """The log of every piece."""
        return self._weaving

    def record(self, piece: str, sent: LogEntry) -> Noted:
        """Keep an entry of the log."""
        noted = self._weaving.record(piece, sent)
        self._tell(Kept(piece, noted.seq, noted.is_new))
        return noted

    # --- the shelf ---

    def shelf(self) -> ShelfState:
        """Return yarns, looms, samples and settings."""
        return self._shelf.open()

    def put(self, collection: str, document_id: str, document: Mapping[str, Any], hand: Hand) -> None:
        """Put a document onto the shelf; yarns of pieces that follow it are renewed."""
        sender = sender_of(hand.entry, hand.device)
        with self._shelf_turn:
            self._settled(self._shelf.put((collection, document_id), document, sender))
            if collection == "yarns":
                self._renew(sender)

    def remove(self, collection: str, document_id: str, hand: Hand) -> None:
        """Take a document from the shelf."""
        with self._shelf_turn:
            self._settled(self._shelf.remove((collection, document_id), sender_of(hand.entry, hand.device)))

    def links(self) -> Sequence[Link]:
        """Return which yarns of pieces are to follow the shelf."""
        return self._following.links()

    def take(self, yarn: str, place: Place, hand: Hand, *, follow: bool) -> None:
        """Copy a yarn of the shelf into a piece, and let it follow the shelf or not."""
        with self._shelf_turn:
            for answer in self._following.take(yarn, place, sender_of(hand.entry, hand.device), follow=follow):
                self._settled(answer)

    def unlink(self, place: Place, hand: Hand) -> None:
        """Let a yarn of a piece follow the shelf no longer."""
        with self._shelf_turn:
            for answer in self._following.unlink(place, sender_of(hand.entry, hand.device)):
                self._settled(answer)

    def tell_news(self) -> None:
        """Announce what was written since this was asked last, by whatever program; the first time, nothing."""
        with self._shelf_turn:
            before, self._heads = self._heads, self._pieces.heads()
            shelf, is_foreign = self._heads.get(SHELF, 0), True
            if before is not None:
                is_foreign = shelf > max(before.get(SHELF, 0), self._announcer.told.get(SHELF, 0))
                for stream, seq in self._heads.items():
                    if seq > before.get(stream, 0):
                        self._announcer.tell(stream, seq)
            if is_foreign:
                self._renew(sender_of(f"news {shelf}", NOBODY))

    def _renew(self, sender: Sender) -> None:
        for answer in self._following.renew(sender):
            if isinstance(answer, Kept):
                self._tell(answer)

    def entries_after(self, piece: str, seq: int, limit: int) -> Sequence[Any]:
        """Return the entries of a piece after a place."""
        self._pieces.open(piece)
        return self._pieces.entries_after(piece, seq, limit)

    def _made(self, kept: Kept) -> str:
        self._tell(kept)
        return kept.stream

    def _settled(self, answer: Kept | Asked) -> Kept:
        if isinstance(answer, Asked):
            raise ClashError(answer)
        self._tell(answer)
        return answer

    def _tell(self, kept: Kept) -> None:
        if kept.is_new:
            self._announcer.tell(kept.stream, kept.seq)


def _reversal(hand: Hand) -> Reversal:
    """Return an undo or redo; only after a clash does it say up to where everything was seen."""
    seen = hand.base if hand.choice == "mine" else 0
    return Reversal(id=hand.entry, device=hand.device, choice=hand.choice, base_seq=seen)
