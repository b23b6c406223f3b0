"""Streams and what they fold to: states at hand, one writer at a time, snapshots on the way."""

from __future__ import annotations

import json
from collections import OrderedDict
from dataclasses import dataclass
from threading import Lock, RLock
from typing import TYPE_CHECKING, Any, Generic, Protocol, TypeVar, overload

from weftline.core.piece.entries import Entry
from weftline.errors import OutOfPlaceError
from weftline.services.answers import Asked, Kept, Written
from weftline.services.requests import payload_data

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

    from weftline.services.ports import Cache, Clock, EntryLog
    from weftline.services.requests import Sender

FOLD_VERSION = 2
"""Snapshots of another version are passed over: raise it when states are written differently."""
SNAPSHOT_EVERY = 256
PAGE = 2000
STATES_AT_HAND = 32
LOCKS = 64


class HasSeq(Protocol):
    """A state that knows how many entries it holds."""

    @property
    def seq(self) -> int:
        """Place of its last entry."""
        ...


State = TypeVar("State", bound=HasSeq)


@dataclass(frozen=True)
class Fold(Generic[State]):
    """How a kind of stream folds: where it starts, one step, and the state as data and back."""

    start: State
    step: Callable[[State, Entry], State]
    data: Callable[[State], Mapping[str, Any]]
    read: Callable[[Mapping[str, Any]], State]


class Streams(Generic[State]):
    """The streams of one kind.

    Parameters
    ----------
    log : EntryLog
    cache : Cache
    clock : Clock
    fold : Fold
    """

    def __init__(self, log: EntryLog, cache: Cache, clock: Clock, fold: Fold[State]) -> None:
        self.log = log
        self._cache = cache
        self._clock = clock
        self._fold = fold
        self._at_hand: OrderedDict[str, State] = OrderedDict()
        self._at_hand_lock = Lock()
        self._locks = [RLock() for _ in range(LOCKS)]

    def now(self, stream: str) -> State:
        """Return the state of a stream with everything in it; the start for one that is not there."""
        with self._at_hand_lock:
            known = self._at_hand.get(stream)
        state = self._forward(stream, known or self._snapshot(stream, None), None)
        self._keep_at_hand(stream, state)
        return state

    def at(self, stream: str, seq: int) -> State:
        """Return the state of a stream after so many entries.

        Raises
        ------
        OutOfPlaceError
            When there are fewer.
        """
        with self._at_hand_lock:
            known = self._at_hand.get(stream)
        state = known if known and known.seq == seq else self._forward(stream, self._snapshot(stream, seq), seq)
        if state.seq != seq or seq < 0:
            raise OutOfPlaceError(f"there is no version {seq}; the last one is {self.now(stream).seq}")
        return state

    @overload
    def keep(self, stream: str, sender: Sender, decide: Callable[[State], Written]) -> Kept: ...

    @overload
    def keep(
        self, stream: str, sender: Sender, decide: Callable[[State], Written | Asked], limit: int | None = None
    ) -> Kept | Asked: ...

    def keep(
        self, stream: str, sender: Sender, decide: Callable[[State], Written | Asked], limit: int | None = None
    ) -> Kept | Asked:
        """Append what is decided, unless the sender's id is there already.

        Parameters
        ----------
        stream : str
        sender : Sender
        decide : callable
            Told the state; answers what is to be written, or asks. It may be called again when
            another process was quicker.
        limit : int, optional
            Most bytes of the payload.
        """
        with self._locks[hash(stream) % LOCKS]:
            while True:
                known = self.log.entry(stream, sender.id)
                if known is not None:
                    return Kept(stream, known.seq, is_new=False)
                state = self.now(stream)
                decided = decide(state)
                if isinstance(decided, Asked):
                    return decided
                payload = payload_data(decided.payload, limit)
                place = state.seq + 1
                at = self._clock.now()
                entry = Entry(stream, place, sender.id, decided.kind, decided.base_seq, sender.device, at, payload)
                seq = self.log.append(entry)
                if seq == place:
                    self.now(stream)
                if seq is not None:
                    return Kept(stream, seq, is_new=seq == place)

    def _forward(self, stream: str, state: State, until: int | None) -> State:
        """Fold on from a state, to the end or to a place."""
        while until is None or state.seq < until:
            limit = PAGE if until is None else min(PAGE, until - state.seq)
            entries = self.log.entries_after(stream, state.seq, limit)
            for entry in entries:
                state = self._fold.step(state, entry)
                self._keep_snapshot(stream, state, entries[-1].seq, whole=len(entries) == PAGE)
            if len(entries) < limit:
                break
        return state

    def _keep_snapshot(self, stream: str, state: State, last: int, *, whole: bool) -> None:
        """Keep a snapshot now and then; on a long way, only the last one and a few between."""
        seq = state.seq
        near = not whole and last - seq < SNAPSHOT_EVERY
        if seq % SNAPSHOT_EVERY == 0 and (near or seq % (16 * SNAPSHOT_EVERY) == 0):
            known = self._cache.snapshot(stream, seq)
            if known is None or known[0] != seq:
                data = {"fold": FOLD_VERSION, **self._fold.data(state)}
                self._cache.keep_snapshot(stream, seq, json.dumps(data, ensure_ascii=False))

    def _snapshot(self, stream: str, seq: int | None) -> State:
        """Return the latest state kept, at this place or before; the start if there is none that can be read."""
        found = self._cache.snapshot(stream, 2**53 if seq is None else seq)
        if found is not None:
            try:
                data = json.loads(found[1])
                if data["fold"] == FOLD_VERSION:
                    state = self._fold.read(data)
                    return state if state.seq == found[0] else self._fold.start
            except (ValueError, LookupError, TypeError):
                pass  # a cache that cannot be read is no cache
        return self._fold.start

    def _keep_at_hand(self, stream: str, state: State) -> None:
        with self._at_hand_lock:
            known = self._at_hand.pop(stream, None)
            self._at_hand[stream] = known if known and known.seq > state.seq else state
            while len(self._at_hand) > STATES_AT_HAND:
                self._at_hand.popitem(last=False)
