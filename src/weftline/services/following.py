"""Yarns of pieces that follow a yarn of the shelf: a copy that is renewed when its shelf yarn changes.

A piece holds a whole copy of every yarn, so that its file can be followed anywhere. That a copy
follows is noted beside it, on the shelf (collection ``follows``), and never in the piece: files,
versions and duplicates know nothing of it. The note keeps the yarn as it was last taken, and so the
rule is one comparison. A copy that is what was taken last follows; when the shelf yarn is another by
now, the piece gets it as an ordinary change with a name, which can be undone. A copy that differs was
changed in the piece, by hand, by undo or by going back to a version: it is left alone until it is
linked again. How many strands are wound together belongs to the piece and is never taken.
"""

from __future__ import annotations

import hashlib
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, NamedTuple

from weftline.core.piece.commands import Set
from weftline.core.piece.draft import ROOT
from weftline.errors import EntryError, OutOfPlaceError, PieceError
from weftline.services.answers import Asked, Kept
from weftline.services.requests import Change, Sender, sender_of

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from weftline.core.piece.draft import Node
    from weftline.services.designing import Designing
    from weftline.services.pieces import Pieces
    from weftline.services.shelf import Shelf

FOLLOWS, YARNS = "follows", "yarns"
OF_THE_PIECE = ("strands",)
"""What a yarn has in a piece and not on the shelf."""
FOLLOWING, BEHIND, CHANGED, OFF_SHELF = "following", "behind", "changed", "off the shelf"


class Place(NamedTuple):
    """A yarn of a piece: the piece's id and the yarn's key in it."""

    piece: str
    key: str

    @property
    def id(self) -> str:
        """Id of its note."""
        return _mark(self.piece, self.key)


@dataclass(frozen=True, slots=True)
class Link:
    """A yarn of a piece that is to follow a yarn of the shelf.

    Parameters
    ----------
    place : Place
    yarn : str
        Id on the shelf.
    taken : mapping
        The shelf yarn as it was last taken.
    state : str
        ``following``; ``behind`` where the shelf yarn is another by now; ``changed`` where the copy was
        changed in the piece; ``off the shelf`` where there is nothing to follow.
    """

    place: Place
    yarn: str
    taken: Mapping[str, Any]
    state: str


class _ChangedHereError(EntryError):
    """The copy was changed in the piece a moment ago."""


class Following:
    """Which yarns follow the shelf.

    Parameters
    ----------
    pieces : Pieces
    designing : Designing
    shelf : Shelf
    """

    def __init__(self, pieces: Pieces, designing: Designing, shelf: Shelf) -> None:
        self._pieces = pieces
        self._designing = designing
        self._shelf = shelf

    def links(self) -> Sequence[Link]:
        """Return every yarn that is to follow, and whether it does."""
        documents = self._shelf.open().documents
        found = []
        for note in documents.get(FOLLOWS, {}).values():
            place = Place(note["piece"], note["key"])
            shelf = documents.get(YARNS, {}).get(note["yarn"])
            own = _copy(self._pieces.open(place.piece).draft, place.key)
            found.append(Link(place, note["yarn"], note["taken"], _state(own, note["taken"], shelf)))
        return found

    def take(self, yarn: str, place: Place, sender: Sender, *, follow: bool) -> Sequence[Kept | Asked]:
        """Copy a yarn of the shelf into a piece, under a key; the key's yarn is exchanged if it has one.

        Parameters
        ----------
        yarn : str
            Id on the shelf.
        place : Place
        sender : Sender
        follow : bool
            Whether the copy follows the shelf from now on; if not, it no longer does.

        Returns
        -------
        sequence of Kept or Asked
            What was appended, to the piece and to the shelf.

        Raises
        ------
        OutOfPlaceError
            For a yarn that is not on the shelf, or a piece that is not there.
        PieceError
            For a key that no yarn can have.
        """
        document = self._shelf.get(YARNS, yarn)
        if document is None:
            raise OutOfPlaceError("this yarn is no longer on the shelf")
        if not place.key or "." in place.key:
            raise PieceError("", "a yarn has a letter, or a short word of letters and digits")
        answers: list[Kept | Asked] = []
        state = self._pieces.open(place.piece)
        if not follow or _copy(state.draft, place.key) != document:
            change = _renewal(state.draft, place.key, document, sender, state.seq)
            answers.append(self._designing.change(place.piece, change))
        if follow:
            answers.append(self._note(place, yarn, document, sender))
        elif self._shelf.get(FOLLOWS, place.id) is not None:
            answers += self.unlink(place, sender)
        return answers

    def unlink(self, place: Place, sender: Sender) -> Sequence[Kept | Asked]:
        """Let a yarn of a piece follow no longer; it stays as it is."""
        return [self._shelf.remove((FOLLOWS, place.id), _after(sender, place))]

    def renew(self, sender: Sender) -> Sequence[Kept | Asked]:
        """Give every piece that follows the yarns of the shelf as they are now; pieces put away wait.

        Parameters
        ----------
        sender : Sender
            Whose changes these are, and a word from which their ids are made, so that doing it again
            changes nothing twice.

        Returns
        -------
        sequence of Kept or Asked
            ``Asked`` where another device changes the same yarn at this moment: it is left alone.
        """
        answers: list[Kept | Asked] = []
        for link in self.links():
            document = self._shelf.get(YARNS, link.yarn)
            state = self._pieces.open(link.place.piece)
            if document is None or state.put_away:
                continue
            if link.state == BEHIND:
                kept = self._renew(link, document, sender)
                answers += [] if kept is None else [kept]
                if not isinstance(kept, Kept):
                    continue
            if link.state in (BEHIND, FOLLOWING) and link.taken != document:
                answers.append(self._note(link.place, link.yarn, document, sender))
        return answers

    def _renew(self, link: Link, document: Mapping[str, Any], sender: Sender) -> Kept | Asked | None:
        """Write the shelf yarn into the piece; None where it was changed there meanwhile, or cannot hold it."""
        state = self._pieces.open(link.place.piece)
        own = sender_of(_mark(sender.id, link.place.id, str(state.seq)), sender.device)
        change = _renewal(state.draft, link.place.key, document, own, state.seq)

        def look(draft: Node) -> None:
            if _copy(draft, link.place.key) != link.taken:
                raise _ChangedHereError("this yarn was changed in the piece")

        try:
            return self._designing.change(link.place.piece, change, look)
        except (_ChangedHereError, PieceError):
            return None  # the link goes on telling how it stands

    def _note(self, place: Place, yarn: str, taken: Mapping[str, Any], sender: Sender) -> Kept | Asked:
        note = {"piece": place.piece, "key": place.key, "yarn": yarn, "taken": dict(taken)}
        return self._shelf.put((FOLLOWS, place.id), note, _after(sender, place))


def _renewal(draft: Node, key: str, document: Mapping[str, Any], sender: Sender, base_seq: int) -> Change:
    own = draft.fields.get(YARNS, {}).get(key, {})
    value = {**document, **{name: own[name] for name in OF_THE_PIECE if name in own}}
    name = f"follow shelf yarn {document.get('name') or key}"[:80]
    command = Set(node=ROOT, field=f"{YARNS}.{key}", value=value)
    return Change(id=sender.id, device=sender.device, base_seq=base_seq, command=command, name=name)


def _copy(draft: Node, key: str) -> dict[str, Any] | None:
    """Return what a piece's yarn has from its label; None where it has no such yarn."""
    own = draft.fields.get(YARNS, {}).get(key)
    return None if own is None else {name: value for name, value in own.items() if name not in OF_THE_PIECE}


def _state(own: Mapping[str, Any] | None, taken: Mapping[str, Any], shelf: Mapping[str, Any] | None) -> str:
    if shelf is None:
        return OFF_SHELF
    if own == shelf:
        return FOLLOWING
    return BEHIND if own == taken else CHANGED


def _after(sender: Sender, place: Place) -> Sender:
    """Return the sender of the note that goes with a change."""
    return sender_of(_mark(sender.id, place.id), sender.device)


def _mark(*words: str) -> str:
    return hashlib.sha256("\n".join(words).encode()).hexdigest()[:24]
