"""Undo and redo: of this device, by name, and asked where another device came in between."""

from typing import Any

import pytest

from tests.services.piece_desk import LAY, Desk, line
from weftline.errors import NothingLeftError, PieceError
from weftline.services.answers import Asked, Kept


def test_undo_takes_back_this_devices_last_change_and_redo_makes_it_again(desk: Desk) -> None:
    desk.send("phone", **LAY)
    desk.send("laptop", **{**LAY, "line": "n4"})
    desk.send("phone", **{**LAY, "line": "n6", "token": "s"})
    assert desk.bands[0] == ["o m o", "s m o", "m s o"]
    desk.take_back("phone")
    assert desk.bands[0] == ["o m o", "s m o", "m o o"]
    desk.take_back("phone")
    assert desk.bands[0] == ["o m o", "s o o", "m o o"]
    with pytest.raises(NothingLeftError, match="nothing of this device is left to undo"):
        desk.take_back("phone")
    desk.take_back("phone", "redo")
    desk.take_back("phone", "redo")
    assert desk.bands[0] == ["o m o", "s m o", "m s o"]
    with pytest.raises(NothingLeftError, match="nothing of this device is left to redo"):
        desk.take_back("phone", "redo")
    desk.take_back("phone")
    assert desk.bands[0] == ["o m o", "s m o", "m o o"]
    kinds = [entry.kind for entry in desk.services.pieces.entries_after(desk.piece, 0)]
    assert kinds == ["create", *["change"] * 3, "undo", "undo", "redo", "redo", "undo"]


def test_a_new_change_ends_what_can_be_redone(desk: Desk) -> None:
    desk.send("phone", **LAY)
    desk.take_back("phone")
    desk.send("laptop", **{**LAY, "line": "n4"})
    assert desk.services.designing.redoable(desk.piece, "phone") is not None
    desk.send("phone", **{**LAY, "line": "n6"})
    assert desk.services.designing.redoable(desk.piece, "phone") is None


def test_what_is_undone_has_a_name(desk: Desk) -> None:
    names = []
    commands: list[dict[str, Any]] = [
        LAY,
        {"op": "set", "node": "n5", "field": "text", "value": "m m m"},
        {"op": "insert", "parent": "n3", "node": line("x", "o o o")},
        {"op": "remove", "node": "n7"},
        {"op": "move", "node": "n5", "parent": "n3", "after": None},
        {"op": "set", "node": "piece", "field": "name", "value": "Rug"},
        {"op": "set", "node": "n3", "field": "name", "value": "Teeth"},
        {"op": "set", "node": "piece", "field": "yarns.o.colour", "value": "#ffffff"},
        {"op": "set", "node": "piece", "field": "ground", "value": "o"},
        {"op": "set", "node": "n2", "field": "ends", "value": 41},
        {"op": "together", "ops": [LAY, {**LAY, "pick": 1}]},
        {"op": "together", "ops": [LAY, {"op": "move", "node": "n5", "parent": "n3", "after": None}]},
    ]
    for command in commands:
        desk.send("phone", **command)
        undoable = desk.services.designing.undoable(desk.piece, "phone")
        assert undoable is not None
        names.append(undoable.name)
    assert names == [
        "lay pick", "write line", "insert line", "remove band", "move line", "rename piece", "rename band",
        "change yarn", "change ground", "change strip", "lay picks", "several changes",
    ]  # fmt: skip
    desk.send("phone", name="mirror corner", **LAY)
    desk.take_back("phone")
    redoable = desk.services.designing.redoable(desk.piece, "phone")
    assert redoable is not None
    assert (redoable.name, redoable.nodes) == ("mirror corner", ("n5",))
    assert desk.services.pieces.history(desk.piece)[-1].name == "undo mirror corner"
    desk.take_back("phone", "redo")
    assert desk.services.pieces.history(desk.piece)[-1].name == "redo mirror corner"
    assert desk.services.designing.undoable(desk.piece, "nobody") is None


def test_an_undo_that_another_device_overtook_is_asked_not_forced(desk: Desk) -> None:
    desk.send("phone", **LAY)
    desk.send("laptop", **{**LAY, "token": "s"})
    answer = desk.take_back("phone")
    assert isinstance(answer, Asked)
    assert [(one.now, one.asked) for one in answer.values] == [("s", "o")]
    assert desk.seq == 3
    later = desk.take_back("phone", choice="mine", base_seq=answer.seq)
    assert isinstance(later, Kept)
    assert desk.bands[0][1] == "s o o"


def test_another_change_after_the_question_is_asked_again(desk: Desk) -> None:
    desk.send("phone", **LAY)
    desk.send("laptop", **{**LAY, "token": "s"})
    answer = desk.take_back("phone")
    desk.send("tablet", **{**LAY, "token": "o+s"})
    again = desk.take_back("phone", choice="mine", base_seq=answer.seq)
    assert isinstance(again, Asked)
    assert [entry.device for entry in again.theirs] == ["tablet"]


def test_leaving_it_as_it_is_goes_on_to_the_change_before(desk: Desk) -> None:
    desk.send("phone", **{**LAY, "line": "n4"})
    desk.send("phone", **LAY)
    desk.send("laptop", **{**LAY, "token": "s"})
    assert isinstance(desk.take_back("phone", choice="theirs"), Kept)
    assert desk.bands[0] == ["o m o", "s s o", "m o o"]
    assert desk.services.pieces.history(desk.piece)[-1].name == "leave lay pick"
    desk.take_back("phone")
    assert desk.bands[0] == ["o o o", "s s o", "m o o"]
    desk.take_back("phone", "redo")
    desk.take_back("phone", "redo")
    assert desk.bands[0] == ["o m o", "s s o", "m o o"]
    answer = desk.take_back("phone")
    assert isinstance(answer, Asked)
    desk.take_back("phone", choice="mine", base_seq=answer.seq)
    assert desk.bands[0] == ["o m o", "s o o", "m o o"]


def test_an_undo_that_would_make_the_piece_unreadable_is_refused(desk: Desk) -> None:
    desk.send("phone", op="set", node="piece", field="yarns.n", value={})
    desk.send("laptop", **{**LAY, "token": "n"})
    with pytest.raises(PieceError, match="no yarn is called n"):
        desk.take_back("phone")
    assert desk.seq == 3


def test_an_undone_removal_finds_its_place_although_neighbours_went(desk: Desk) -> None:
    desk.send("phone", op="remove", node="n6")
    desk.send("laptop", op="remove", node="n5")
    desk.take_back("phone")
    assert desk.bands[0] == ["o o o", "m o o"]


def test_many_devices_each_have_their_own_undo(desk: Desk) -> None:
    for number in range(70):
        desk.send(f"device {number}", op="set", node="piece", field="name", value=f"{number}")
    assert all(desk.services.designing.undoable(desk.piece, f"device {number}") for number in range(70))
    assert isinstance(desk.take_back("device 69"), Kept)
    assert desk.fields["name"] == "68"
    assert isinstance(desk.take_back("device 0"), Asked)
