"""Versions: a piece taken back to how it was."""

import pytest

from tests.services.piece_desk import LAY, Desk
from weftline.errors import OutOfPlaceError
from weftline.services.answers import Asked, Kept


def test_a_version_is_restored_by_an_entry_and_that_can_be_undone(desk: Desk) -> None:
    first = desk.services.pieces.export(desk.piece)
    desk.send("phone", **LAY)
    desk.send("phone", op="remove", node="n7")
    last = desk.services.pieces.export(desk.piece)
    restored = desk.services.designing.restore(desk.piece, 1, "back", "phone", 3)
    assert restored == Kept(desk.piece, 4)
    assert desk.services.pieces.export(desk.piece) == first
    assert desk.services.pieces.history(desk.piece)[-1].name == "restore version"
    desk.take_back("phone")
    assert desk.services.pieces.export(desk.piece) == last
    assert [desk.services.pieces.export(desk.piece, seq) == last for seq in (1, 3, 5)] == [False, True, True]


def test_restoring_clashes_with_whatever_others_did_meanwhile(desk: Desk) -> None:
    desk.send("laptop", **LAY)
    assert isinstance(desk.services.designing.restore(desk.piece, 1, "back", "phone", 1), Asked)
    desk.services.designing.restore(desk.piece, 1, "back", "phone", 2)
    assert isinstance(desk.send("laptop", base=2, **{**LAY, "line": "n4"}), Asked)


def test_a_version_that_is_not_there_is_told(desk: Desk) -> None:
    with pytest.raises(OutOfPlaceError, match="there is no version 7; the last one is 1"):
        desk.services.designing.restore(desk.piece, 7, "back", "phone", 1)
    with pytest.raises(OutOfPlaceError, match="counted from 1"):
        desk.services.pieces.open(desk.piece, 0)
    with pytest.raises(OutOfPlaceError, match="there is no version -1"):
        desk.services.pieces.open(desk.piece, -1)
