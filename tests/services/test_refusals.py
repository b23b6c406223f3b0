"""What is refused, in one sentence: changes that leave no piece, and what is no change at all."""

from typing import Any

import pytest

from tests.services.piece_desk import LAY, Desk, line
from weftline.core.piece.commands import command_of
from weftline.errors import EntryError, EntryTooLargeError, OutOfPlaceError, PieceError
from weftline.services.requests import Change, change_of, reversal_of

BAD: list[tuple[dict[str, Any], str]] = [
    ({"op": "lay", "line": "n5", "pick": 4, "token": "s"}, "has 3 sheds, so there is no pick 4"),
    ({"op": "lay", "line": "n5", "pick": 1, "token": "x"}, "no yarn is called x; use o, s or m"),
    ({"op": "lay", "line": "n5", "pick": 1, "token": "s s"}, "cannot be laid in one shed"),
    ({"op": "lay", "line": "n5", "pick": 3, "token": "back"}, "cannot be laid in one shed"),
    ({"op": "lay", "line": "n3", "pick": 1, "token": "s"}, "only a line has picks"),
    ({"op": "lay", "line": "gone", "pick": 1, "token": "s"}, "is no longer in this piece"),
    ({"op": "set", "node": "n5", "field": "text", "value": "s o"}, "gives 2 yarns for 3 sheds"),
    ({"op": "set", "node": "n5", "field": "text", "value": None}, "a line has its text and nothing else"),
    ({"op": "set", "node": "n5", "field": "text.x", "value": "s"}, "a line has its text and nothing else"),
    ({"op": "set", "node": "piece", "field": "weftline", "value": 2}, "this program reads version 1"),
    ({"op": "set", "node": "piece", "field": "sections", "value": []}, "insert, move or remove them"),
    ({"op": "set", "node": "n3", "field": "lines", "value": ["o o o"]}, "insert, move or remove them"),
    ({"op": "set", "node": "n2", "field": "ends", "value": 0}, "must be 1 or more"),
    ({"op": "set", "node": "n2", "field": "end", "value": 37}, "did you mean 'ends'"),
    ({"op": "set", "node": "piece", "field": "yarns.s", "value": None}, "no yarn is called s"),
    ({"op": "set", "node": "piece", "field": "name", "value": "x" * 201}, "at most 200 characters"),
    ({"op": "set", "node": "n3", "field": "times", "value": 200_000}, "at most"),
    ({"op": "remove", "node": "n1"}, "is empty; it needs at least 1"),
    ({"op": "remove", "node": "n8"}, "is empty; it needs at least 1"),
    ({"op": "remove", "node": "piece"}, "cannot be taken away"),
    ({"op": "move", "node": "n3", "parent": "n3", "after": None}, "no longer in this piece"),
    ({"op": "move", "node": "n5", "parent": "n2", "after": None}, "a line cannot stand in a strip"),
    ({"op": "insert", "parent": "n3", "node": line("n5", "o o o")}, "give it a fresh one"),
    ({"op": "insert", "parent": "n3", "node": line("piece", "o o o")}, "needs an id of its own"),
    ({"op": "insert", "parent": "n3", "node": {}}, "cannot hold 'None'"),
    ({"op": "insert", "parent": "n3", "node": {"id": "x", "kind": "line", "fields": {}}}, "has its text and"),
    ({"op": "insert", "parent": "n3", "node": {"id": "x", "kind": "line", "fields": []}}, "fields in an object"),
    ({"op": "insert", "parent": "n2", "node": {"id": "x", "kind": "band", "fields": {}, "children": [1]}}, "an object"),
    ({"op": "insert", "parent": "n2", "node": {"id": "x", "kind": "band", "fields": {"lines": ["o"]}}}, "not a field"),
    ({"op": "insert", "parent": "n2", "node": {"id": "x", "kind": "band", "fields": {},
      "children": [line("y", "o o o"), line("y", "o o o")]}}, "two parts have the same id"),
    ({"op": "become", "tree": line("x", "o o o")}, "cannot become a line"),
    ({"op": "become", "tree": {"id": "piece", "kind": "piece", "fields": {}, "children": []}}, "version is missing"),
]  # fmt: skip


@pytest.mark.parametrize("command, says", BAD, ids=range(len(BAD)))
def test_what_would_make_the_piece_unreadable_is_refused_in_one_sentence(
    desk: Desk, command: dict[str, Any], says: str
) -> None:
    with pytest.raises(PieceError, match=says.replace("[", r"\[")) as refused:
        desk.send("phone", **command)
    assert "\n" not in str(refused.value)
    assert desk.seq == 1


def test_the_last_thrown_shed_stays_thrown(desk: Desk) -> None:
    desk.send("phone", op="set", node="n5", field="text", value="s - -")
    with pytest.raises(PieceError, match="no pick is thrown"):
        desk.send("phone", op="lay", line="n5", pick=1, token="-")


def deep(levels: int) -> Any:
    value: Any = 1
    for _ in range(levels):
        value = [value]
    return value


@pytest.mark.parametrize(
    "data, says",
    [
        ({}, "id: field required"),
        ({"id": "", "device": "d", "base_seq": 0, "command": LAY}, "id: string should have at least 1"),
        ({"id": "x" * 201, "device": "d", "base_seq": 0, "command": LAY}, "id: string should have at most 200"),
        ({"id": "\ud800", "device": "d", "base_seq": 0, "command": LAY}, "id: .*unicode"),
        ({"id": 5, "device": "d", "base_seq": 0, "command": LAY}, "id: input should be a valid string"),
        ({"id": "i", "device": "d", "base_seq": -1, "command": LAY}, "base_seq: input should be greater"),
        ({"id": "i", "device": "d", "base_seq": True, "command": LAY}, "base_seq: input should be a valid integer"),
        ({"id": "i", "device": "d", "base_seq": 0, "command": {"op": "drop"}}, "command: input tag 'drop'"),
        ({"id": "i", "device": "d", "base_seq": 0, "command": LAY, "when": 1}, "when: extra inputs"),
        ({"id": "i", "device": "d", "base_seq": 0, "command": {"op": "together", "ops": []}}, "at least 1 item"),
    ],
)
def test_what_is_no_change_is_refused_in_one_sentence(data: dict[str, Any], says: str) -> None:
    with pytest.raises(EntryError, match=says) as refused:
        change_of(data)
    assert "\n" not in str(refused.value)


@pytest.mark.parametrize(
    "value, says",
    [(deep(50_000), "JSON"), (float("nan"), "JSON"), ("\ud800", "JSON"), ({1, 2}, "JSON"), ("x" * 4_000_001, "4 MB")],
    ids=["deep", "nan", "surrogate", "set", "large"],
)
def test_what_no_entry_can_hold_is_refused(desk: Desk, value: Any, says: str) -> None:
    with pytest.raises(EntryError, match=says):
        desk.send("phone", op="set", node="piece", field="name", value=value)
    assert desk.seq == 1


def test_over_four_megabytes_is_its_own_error(desk: Desk) -> None:
    with pytest.raises(EntryTooLargeError, match=r"an entry has at most 4 MB, this one 4\.0 MB; send it in parts"):
        desk.send("phone", op="set", node="piece", field="name", value="x" * 4_000_001)


def large_band(number: int) -> dict[str, Any]:
    lines = [line(f"{number} {place}", f"o o o{' ' * 390}") for place in range(4000)]
    return {"id": f"b{number}", "kind": "band", "fields": {}, "children": lines}


def test_a_piece_cannot_grow_beyond_what_a_file_may_hold(desk: Desk) -> None:
    for number in range(2):
        desk.send("phone", op="insert", parent="n2", node=large_band(number))
    with pytest.raises(PieceError, match="a project file has at most 4 MB"):
        desk.send("phone", op="insert", parent="n2", node=large_band(2))
    assert desk.seq == 3


def test_a_base_that_is_not_there_yet_is_refused(desk: Desk) -> None:
    with pytest.raises(EntryError, match="base_seq 9 is not there yet, the last entry is 1; fetch again"):
        desk.send("phone", base=9, **LAY)


@pytest.mark.parametrize("piece", ["nowhere", "shelf", "", "../n10"])
def test_a_piece_that_is_not_there_is_told(desk: Desk, piece: str) -> None:
    change = Change(id="i", device="phone", base_seq=0, command=command_of(LAY))
    with pytest.raises(OutOfPlaceError, match="no piece has the id"):
        desk.services.designing.change(piece, change)
    with pytest.raises(OutOfPlaceError, match="no piece has the id"):
        desk.services.designing.undo(piece, reversal_of({"id": "i", "device": "d"}))
    with pytest.raises(OutOfPlaceError, match="no piece has the id"):
        desk.services.designing.restore(piece, 1, "i", "phone", 0)
    assert set(desk.services.pieces.streams.log.heads()) == {desk.piece}
