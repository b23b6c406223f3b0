"""Changes of a piece: kept once, under their ids."""

from tests.services.piece_desk import LAY, Desk
from weftline.core.piece.commands import command_of
from weftline.services.answers import Asked, Kept
from weftline.services.requests import Change


def test_an_id_seen_twice_answers_with_its_first_place(desk: Desk) -> None:
    change = Change(id="once", device="phone", base_seq=1, command=command_of(LAY))
    assert desk.services.designing.change(desk.piece, change) == Kept(desk.piece, 2)
    desk.send("laptop", **{**LAY, "token": "s"})
    assert desk.services.designing.change(desk.piece, change) == Kept(desk.piece, 2, is_new=False)
    assert desk.seq == 3


def test_renaming_is_a_change_of_a_field(desk: Desk) -> None:
    assert isinstance(desk.services.designing.rename(desk.piece, "‮<b>/..\n", "r", "phone", 1), Kept)
    assert desk.fields["name"] == "‮<b>/..\n"
    assert isinstance(desk.services.designing.rename(desk.piece, "Rug", "s", "laptop", 1), Asked)
