"""Yarns of pieces that follow the shelf: renewed by an ordinary change, and never over the weaver's own hand."""

from typing import Any

import pytest

from tests.services.piece_desk import Desk
from weftline.errors import OutOfPlaceError, PieceError
from weftline.services import following
from weftline.services.answers import Kept
from weftline.services.following import Place
from weftline.services.requests import Sender, sender_of

MADDER: dict[str, Any] = {"name": "Madder", "size": "Nm 6/2", "colour": "#a8332e", "lot": "11", "on_hand_g": 400.0}
FADED = {**MADDER, "colour": "#c0554e", "on_hand_g": 250.0, "pack": {"mass_g": 100.0}}


class Shelf(Desk):
    """A piece, and a shelf with a skein on it that the piece's yarn m is to follow."""

    def __init__(self) -> None:
        super().__init__()
        self.place = Place(self.piece, "m")
        self.put(MADDER)

    def by(self, device: str = "phone") -> Sender:
        self.count += 1
        return sender_of(f"{device} {self.count}", device)

    def put(self, document: dict[str, Any]) -> None:
        self.services.shelf.put(("yarns", "skein"), document, self.by())

    def take(self, *, follow: bool = True) -> None:
        answers = self.services.following.take("skein", self.place, self.by(), follow=follow)
        assert all(isinstance(answer, Kept) for answer in answers)

    def renew(self, device: str = "phone") -> list[str]:
        """Renew; return the streams that got an entry."""
        answers = self.services.following.renew(self.by(device))
        return [answer.stream for answer in answers if isinstance(answer, Kept)]

    @property
    def yarn(self) -> dict[str, Any]:
        found: dict[str, Any] = self.fields["yarns"]["m"]
        return found

    @property
    def states(self) -> list[str]:
        return [link.state for link in self.services.following.links()]

    @property
    def names(self) -> list[str]:
        return [line.name for line in self.services.pieces.history(self.piece)]


@pytest.fixture
def shelf() -> Shelf:
    return Shelf()


def test_a_copy_that_follows_is_renewed_by_a_named_change(shelf: Shelf) -> None:
    shelf.take()
    assert (shelf.yarn, shelf.states) == (MADDER, [following.FOLLOWING])
    shelf.put(FADED)
    assert shelf.states == [following.BEHIND]
    assert shelf.renew() == [shelf.piece, "shelf"]
    assert (shelf.yarn, shelf.states) == (FADED, [following.FOLLOWING])
    assert shelf.names == ["make piece", "follow shelf yarn Madder", "follow shelf yarn Madder"]
    assert shelf.renew() == []


def test_nothing_of_the_link_is_in_the_file_or_in_a_copy_of_the_piece(shelf: Shelf) -> None:
    shelf.take(follow=False)
    plain = shelf.services.pieces.export(shelf.piece)
    assert shelf.states == []
    shelf.take()
    assert shelf.services.pieces.export(shelf.piece) == plain
    copy = shelf.services.pieces.duplicate(shelf.piece, "phone").stream
    again = shelf.services.pieces.import_file(plain, "phone").stream
    shelf.put(FADED)
    shelf.renew()
    for other in (copy, again):
        assert shelf.services.pieces.project(other).yarns["m"].colour == "#a8332e"


def test_strands_belong_to_the_piece(shelf: Shelf) -> None:
    shelf.send("phone", op="set", node="piece", field="yarns.m.strands", value=3)
    shelf.take()
    shelf.put(FADED)
    shelf.renew()
    assert shelf.yarn == {**FADED, "strands": 3}
    shelf.send("phone", op="set", node="piece", field="yarns.m.strands", value=2)
    assert shelf.states == [following.FOLLOWING]


def test_a_yarn_changed_in_the_piece_is_never_overwritten_until_it_is_taken_again(shelf: Shelf) -> None:
    shelf.take()
    shelf.send("phone", op="set", node="piece", field="yarns.m.colour", value="#000000")
    assert shelf.states == [following.CHANGED]
    shelf.put(FADED)
    assert shelf.renew() == []
    assert shelf.yarn == {**MADDER, "colour": "#000000"}
    shelf.take()
    assert (shelf.yarn, shelf.states) == (FADED, [following.FOLLOWING])


def test_undo_takes_the_renewal_back_and_with_it_the_following_and_redo_both_again(shelf: Shelf) -> None:
    shelf.take()
    shelf.put(FADED)
    shelf.renew("phone")
    undoable = shelf.services.designing.undoable(shelf.piece, "phone")
    assert undoable is not None
    assert undoable.name == "follow shelf yarn Madder"
    shelf.take_back("phone")
    assert (shelf.yarn, shelf.states) == (MADDER, [following.CHANGED])
    shelf.put({**FADED, "lot": "12"})
    assert shelf.renew() == []
    assert shelf.yarn == MADDER
    shelf.put(FADED)
    shelf.take_back("phone", "redo")
    assert (shelf.yarn, shelf.states) == (FADED, [following.FOLLOWING])


def test_a_change_by_hand_that_is_undone_lets_the_copy_follow_again(shelf: Shelf) -> None:
    shelf.take()
    shelf.send("phone", op="set", node="piece", field="yarns.m.lot", value="x")
    shelf.put(FADED)
    shelf.renew()
    shelf.take_back("phone")
    assert shelf.states == [following.BEHIND]
    shelf.renew()
    assert shelf.yarn == FADED


def test_an_unlinked_copy_stays_as_it_is(shelf: Shelf) -> None:
    shelf.take()
    shelf.services.following.unlink(shelf.place, shelf.by())
    shelf.put(FADED)
    assert (shelf.renew(), shelf.yarn, shelf.states) == ([], MADDER, [])


def test_a_copy_taken_without_following_ends_the_link(shelf: Shelf) -> None:
    shelf.take()
    shelf.put(FADED)
    shelf.take(follow=False)
    assert (shelf.yarn, shelf.states) == (FADED, [])


def test_a_piece_put_away_waits_until_it_is_brought_back(shelf: Shelf) -> None:
    shelf.take()
    shelf.services.pieces.put_away(shelf.piece, "phone")
    shelf.put(FADED)
    assert (shelf.renew(), shelf.yarn) == ([], MADDER)
    shelf.services.pieces.bring_back(shelf.piece, "phone")
    shelf.renew()
    assert shelf.yarn == FADED


def test_a_yarn_taken_off_the_shelf_leaves_the_copy(shelf: Shelf) -> None:
    shelf.take()
    shelf.services.shelf.remove(("yarns", "skein"), shelf.by())
    assert (shelf.renew(), shelf.yarn, shelf.states) == ([], MADDER, [following.OFF_SHELF])


def test_a_renewal_that_was_cut_off_is_finished_and_done_once(shelf: Shelf) -> None:
    shelf.take()
    shelf.put(FADED)
    sender = shelf.by()
    link = shelf.services.following.links()[0]
    shelf.services.following._renew(link, FADED, sender)
    assert shelf.states == [following.FOLLOWING]
    assert [answer.stream for answer in shelf.services.following.renew(sender)] == ["shelf"]
    assert shelf.services.following.links()[0].taken == FADED
    assert shelf.names.count("follow shelf yarn Madder") == 2


def test_a_hand_that_comes_in_between_is_not_overwritten(shelf: Shelf) -> None:
    shelf.take()
    shelf.put(FADED)
    link = shelf.services.following.links()[0]
    shelf.send("phone", op="set", node="piece", field="yarns.m.colour", value="#000000")
    assert shelf.services.following._renew(link, FADED, shelf.by()) is None
    assert shelf.yarn == {**MADDER, "colour": "#000000"}


def test_a_form_sent_again_takes_once(shelf: Shelf) -> None:
    sender = shelf.by()
    first = shelf.services.following.take("skein", shelf.place, sender, follow=True)
    again = shelf.services.following.take("skein", shelf.place, sender, follow=True)
    assert [answer.is_new for answer in (*first, *again) if isinstance(answer, Kept)] == [True, True, False]


@pytest.mark.parametrize("key", ["", "m.colour"])
def test_a_key_that_no_yarn_can_have_is_refused(shelf: Shelf, key: str) -> None:
    with pytest.raises(PieceError, match="a yarn has a letter, or a short word of letters and digits"):
        shelf.services.following.take("skein", Place(shelf.piece, key), shelf.by(), follow=True)
    with pytest.raises(OutOfPlaceError, match="this yarn is no longer on the shelf"):
        shelf.services.following.take("gone", shelf.place, shelf.by(), follow=True)
    assert shelf.seq == 1
