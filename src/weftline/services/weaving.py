"""Weaving: what is thrown and what happens on the way, each on disk before it is acknowledged."""

from __future__ import annotations

from collections import OrderedDict
from threading import Lock
from typing import TYPE_CHECKING

from weftline.core.weaving.account import Account, account_of
from weftline.core.weaving.as_woven import as_woven, woven_cloth
from weftline.core.weaving.fold import Stand, Woven, fold
from weftline.core.weaving.log import LOG_KINDS
from weftline.errors import NothingLeftError
from weftline.services.answers import Kept
from weftline.services.log_answers import Noted
from weftline.services.log_requests import MAX_THROWS, Rejoined, SentPlanned, SentThrow, Thrown, Unwoven, WeaveHere
from weftline.services.plans import Plans
from weftline.services.requests import sender_of
from weftline.services.throwing import LogDesk, written

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from weftline.core.piece.entries import PieceState
    from weftline.core.piece.values import Project
    from weftline.core.weaving.as_woven import WovenCloth
    from weftline.core.weaving.coming import PlannedThrow, PlannedThrows
    from weftline.services.answers import Written
    from weftline.services.log_requests import LogEntry
    from weftline.services.pieces import Pieces
    from weftline.services.requests import Sender

LOGS_AT_HAND = 64


class Weaving:
    """The log of every piece.

    Parameters
    ----------
    pieces : Pieces
    """

    def __init__(self, pieces: Pieces) -> None:
        self._pieces = pieces
        self._log = pieces.streams.log
        self._plans = Plans(pieces)
        self._at_hand: OrderedDict[str, tuple[int, Woven]] = OrderedDict()
        self._lock = Lock()

    # --- what is woven ---

    def woven(self, piece: str, state: PieceState | None = None) -> Woven:
        """Return what is woven, now or in a state of the piece.

        Raises
        ------
        OutOfPlaceError
            For a piece that is not there.
        """
        state = state or self._pieces.open(piece)
        with self._lock:
            upto, woven = self._at_hand.get(piece, (0, Woven()))
        if upto > state.seq:
            upto, woven = 0, Woven()
        if upto < state.seq:
            entries = self._log.of_kinds_after(piece, LOG_KINDS, upto)
            woven = fold((entry for entry in entries if entry.seq <= state.seq), woven)
            self._keep_at_hand(piece, state.seq, woven)
        return woven

    def _keep_at_hand(self, piece: str, upto: int, woven: Woven) -> None:
        with self._lock:
            known = self._at_hand.pop(piece, None)
            self._at_hand[piece] = known if known is not None and known[0] > upto else (upto, woven)
            while len(self._at_hand) > LOGS_AT_HAND:
                self._at_hand.popitem(last=False)

    def seq(self, piece: str) -> int:
        """Return the last entry of a piece."""
        return self._pieces.open(piece).seq

    def stand(self, piece: str) -> Stand:
        """Return where the weaver stands in the plan as it is now."""
        state = self._pieces.open(piece)
        stand = self.woven(piece, state).stand
        return Stand(self._plans.brought(piece, state, stand.plan), stand.left)

    def throws(self, piece: str) -> PlannedThrows:
        """Return every throw of the plan as it is now."""
        return self._plans.now(piece, self._pieces.open(piece))

    def coming(self, piece: str, count: int) -> list[PlannedThrow]:
        """Return the next throws of the plan; none while it is left."""
        stand = self.stand(piece)
        return [] if stand.left else self.throws(piece).coming(stand.plan.ordinal, count)

    def woven_cloth(self, piece: str) -> WovenCloth:
        """Return the cloth that was woven, as picks and lines."""
        state = self._pieces.open(piece)
        throws = [laid.throw for laid in self.woven(piece, state).last()]
        return woven_cloth(throws, self._plans.now(piece, state), lambda seq: self._plans.version(piece, seq))

    def as_woven(self, piece: str) -> tuple[Project, ...]:
        """Return the cloth that was woven as projects: one, or one for each piece of a single section."""
        return as_woven(self.woven_cloth(piece), self.throws(piece).cloth)

    def account(self, piece: str) -> Account:
        """Return how far the weaving has come."""
        state = self._pieces.open(piece)
        woven = self.woven(piece, state)
        stand = Stand(self._plans.brought(piece, state, woven.stand.plan), woven.stand.left)
        return account_of(woven, self._plans.now(piece, state), stand, lambda seq: self._plans.version(piece, seq))

    # --- what is recorded ---

    def record(self, piece: str, sent: LogEntry) -> Noted:
        """Keep an entry of the log.

        Raises
        ------
        OutOfPlaceError
            For a piece that is not there.
        EntryError
            For what cannot be: more unwoven than was woven, a planned throw that no plan has.
        """
        return self._record(piece, sent, lambda desk: sent)

    def _record(self, piece: str, sender: Sender, said: Callable[[LogDesk], LogEntry]) -> Noted:
        """Keep what is said when nothing can come in between any more."""

        def decide(state: PieceState) -> Written:
            woven = self.woven(piece, state)
            stand = Stand(self._plans.brought(piece, state, woven.stand.plan), woven.stand.left)
            desk = LogDesk(piece, state, woven, stand, self._plans)
            return written(desk, said(desk))

        kept = self._pieces.keep(piece, sender, decide)
        woven = self.woven(piece)
        laid = woven.top
        while laid is not None and laid.seq > kept.seq:
            laid = laid.below
        number = laid.number if laid is not None and laid.seq == kept.seq else woven.count
        held = next((one.why for one in woven.held if one.seq == kept.seq), None)
        return Noted(sender.id, kept.seq, isinstance(kept, Kept) and kept.is_new, held, number)

    def weave_here(self, piece: str, entry_id: str, device: str) -> Noted:
        """Let this device weave from now on."""
        return self.record(piece, WeaveHere(kind="weave-here", id=entry_id, device=device))

    def throw_next(self, piece: str, entry_id: str, device: str) -> Noted:
        """Keep the next throw of the plan as thrown.

        Raises
        ------
        NothingLeftError
            At the end of the plan, and while it is left.
        """

        def next_throw(desk: LogDesk) -> LogEntry:
            if desk.stand.left:
                raise NothingLeftError("the plan is left, so none of its throws is next; follow it again first")
            if desk.stand.plan.ordinal > desk.plan.total:
                raise NothingLeftError(_nothing_left(desk.plan.total))
            plan = SentPlanned(seq=desk.stand.plan.seq, ordinal=desk.stand.plan.ordinal)
            return Thrown(kind="thrown", id=entry_id, device=device, throws=(SentThrow(plan=plan),))

        return self._record(piece, sender_of(entry_id, device), next_throw)

    def weave_to(self, piece: str, ordinal: int, entry_id: str, device: str) -> Noted:
        """Keep everything planned up to a throw as thrown, or unweave down to it; this device weaves then.

        Parameters
        ----------
        piece : str
        ordinal : int
            The last planned throw that is woven, 0 for none.
        entry_id : str
            Of the first entry; where there must be several, the others are called after it.
        device : str
        """
        known = self._log.entry(piece, entry_id)
        noted = Noted(entry_id, self._pieces.open(piece).seq if known is None else known.seq, False)
        if known is None:
            for number, sent in enumerate(self._way_to(piece, ordinal, device)):
                name = entry_id if number == 0 else f"{entry_id}.{number}"
                noted = self.record(piece, sent.model_copy(update={"id": name}))
        return noted

    def _way_to(self, piece: str, ordinal: int, device: str) -> Iterator[LogEntry]:
        """Yield the entries that bring the weaving to a place; their ids are still to be given."""
        state = self._pieces.open(piece)
        woven, plan = self.woven(piece, state), self._plans.now(piece, state)
        place, target = self.stand(piece).plan.ordinal, min(ordinal, plan.total) + 1
        if place == target:
            return
        if woven.device not in (None, device):
            yield WeaveHere(kind="weave-here", id="-", device=device)
        for first in range(place, target, MAX_THROWS):
            planned = range(first, min(first + MAX_THROWS, target))
            throws = tuple(SentThrow(plan=SentPlanned(seq=state.changed, ordinal=one)) for one in planned)
            yield Thrown(kind="thrown", id="-", device=device, throws=throws)
        back, laid = 0, woven.top
        while laid is not None and place > target:
            place = self._plans.brought(piece, state, laid.before.plan).ordinal
            back, laid = back + 1, laid.below
        if back:
            yield Unwoven(kind="unwoven", id="-", device=device, throws=back)
        if place > target or (back and place < target):
            yield Rejoined(kind="rejoined", id="-", device=device, plan=SentPlanned(seq=state.changed, ordinal=target))


def _nothing_left(total: int) -> str:
    if not total:
        return "nothing is designed yet, so there is nothing to throw; lay the first line"
    return f"all {total} throws of the plan are woven"
