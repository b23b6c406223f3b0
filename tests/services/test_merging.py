"""Two devices at one piece: what merges, and what is asked."""

from typing import Any

import pytest

from tests.services.piece_desk import LAY, Desk, line
from weftline.errors import PieceError
from weftline.services.answers import Asked, Kept

CLASHES: list[tuple[str, dict[str, Any], dict[str, Any]]] = [
    ("the same pick", LAY, {**LAY, "token": "s"}),
    ("the line rewritten", {"op": "set", "node": "n5", "field": "text", "value": "m m m"}, LAY),
    ("the line moved", {"op": "move", "node": "n5", "parent": "n7", "after": None}, LAY),
    ("the line taken away", {"op": "remove", "node": "n5"}, LAY),
    ("the band taken away", {"op": "remove", "node": "n3"}, LAY),
    ("a pick in a band taken away", LAY, {"op": "remove", "node": "n3"}),
    ("both rewrite", {"op": "set", "node": "n5", "field": "text", "value": "m m m"},
     {"op": "set", "node": "n5", "field": "text", "value": "s s s"}),
    ("the same field", {"op": "set", "node": "piece", "field": "name", "value": "Rug"},
     {"op": "set", "node": "piece", "field": "name", "value": "Runner"}),
    ("a field inside another", {"op": "set", "node": "piece", "field": "warp", "value": {"sett_per_cm": 2}},
     {"op": "set", "node": "piece", "field": "warp.sett_per_cm", "value": 3}),
    ("moved twice", {"op": "move", "node": "n5", "parent": "n3", "after": None},
     {"op": "move", "node": "n5", "parent": "n7", "after": None}),
    ("a line put into a band taken away", {"op": "remove", "node": "n3"},
     {"op": "insert", "parent": "n3", "after": "n5", "node": line("x", "o o o")}),
    ("taken away twice", {"op": "remove", "node": "n5"}, {"op": "remove", "node": "n5"}),
    ("one of several", LAY, {"op": "together", "ops": [{**LAY, "line": "n4"}, LAY]}),
]  # fmt: skip
MERGES: list[tuple[str, dict[str, Any], dict[str, Any]]] = [
    ("another pick of the line", LAY, {**LAY, "pick": 3}),
    ("another line", LAY, {**LAY, "line": "n4"}),
    ("a line put in before", {"op": "insert", "parent": "n3", "after": None, "node": line("x", "s s s")}, LAY),
    ("another field of the same object", {"op": "set", "node": "piece", "field": "warp.sett_per_cm", "value": 2},
     {"op": "set", "node": "piece", "field": "warp.yarn", "value": "o"}),
    ("the band's name and its lines", {"op": "set", "node": "n3", "field": "name", "value": "Teeth"}, LAY),
    ("the band moved", {"op": "move", "node": "n3", "parent": "n2", "after": "n7"}, LAY),
    ("a neighbour taken away", {"op": "remove", "node": "n4"}, LAY),
    ("two lines behind the same", {"op": "insert", "parent": "n3", "after": "n5", "node": line("x", "s s s")},
     {"op": "insert", "parent": "n3", "after": "n5", "node": line("y", "m m m")}),
]  # fmt: skip


@pytest.mark.parametrize("theirs, mine", [case[1:] for case in CLASHES], ids=[case[0] for case in CLASHES])
def test_what_two_devices_changed_is_asked_and_nothing_appended(
    desk: Desk, theirs: dict[str, Any], mine: dict[str, Any]
) -> None:
    assert desk.send("laptop", **theirs) == Kept(desk.piece, 2)
    before = desk.bands
    answer = desk.send("phone", base=1, **mine)
    assert isinstance(answer, Asked)
    assert (answer.seq, desk.seq, desk.bands) == (2, 2, before)
    assert [entry.device for entry in answer.theirs] == ["laptop"]
    assert len(answer.values) >= 1
    if theirs["op"] != "remove":
        assert isinstance(desk.send("phone", base=answer.seq, **mine), Kept)


@pytest.mark.parametrize("theirs, mine", [case[1:] for case in MERGES], ids=[case[0] for case in MERGES])
def test_all_else_merges(desk: Desk, theirs: dict[str, Any], mine: dict[str, Any]) -> None:
    desk.send("laptop", **theirs)
    assert desk.send("phone", base=1, **mine) == Kept(desk.piece, 3)


def test_the_question_shows_both_values(desk: Desk) -> None:
    desk.send("laptop", **LAY)
    answer = desk.send("phone", base=1, **{**LAY, "token": "s"})
    assert isinstance(answer, Asked)
    assert [(one.what, one.node, one.key, one.now, one.asked) for one in answer.values] == [
        ("pick", "n5", "2", "m", "s")
    ]
    desk.send("laptop", op="set", node="piece", field="warp.sett_per_cm", value=2)
    answer = desk.send("phone", base=1, op="set", node="piece", field="warp.sett_per_cm", value=3)
    assert isinstance(answer, Asked)
    assert [(one.what, one.key, one.now, one.asked) for one in answer.values] == [("field", "warp.sett_per_cm", 2, 3)]
    desk.send("laptop", op="remove", node="n5")
    answer = desk.send("phone", base=1, **{**LAY, "token": "s"})
    assert isinstance(answer, Asked)
    assert [entry.kind for entry in answer.theirs] == ["change", "change"]
    assert answer.values[0].now is None
    answer = desk.send("phone", base=1, op="move", node="n5", parent="n7", after="n8")
    assert isinstance(answer, Asked)
    assert (answer.values[0].now, answer.values[0].asked) == (None, {"parent": "n7", "after": "n8"})


def test_a_device_never_clashes_with_itself(desk: Desk) -> None:
    for token in "sms":
        assert isinstance(desk.send("phone", base=1, **{**LAY, "token": token}), Kept)
    assert desk.bands[0][1] == "s s o"


def test_an_insert_whose_neighbour_is_gone_goes_behind_the_nearest_earlier_one(desk: Desk) -> None:
    desk.send("laptop", op="remove", node="n6")
    desk.send("laptop", op="remove", node="n5")
    desk.send("phone", base=1, op="insert", parent="n3", after="n6", node=line("x", "s s s"))
    assert desk.bands[0] == ["o o o", "s s s"]
    desk.send("laptop", base=1, op="remove", node="n4")
    desk.send("phone", base=1, op="insert", parent="n3", after="n6", node=line("y", "m m m"))
    assert desk.bands[0] == ["m m m", "s s s"]
    desk.send("laptop", op="move", node="x", parent="n7", after="n8")
    desk.send("phone", base=5, op="move", node="n8", parent="n3", after="x")
    assert desk.bands == [["m m m", "o o s *2"], ["s s s"]]


def test_an_insert_behind_a_line_that_never_was_is_refused(desk: Desk) -> None:
    with pytest.raises(PieceError, match="the part nowhere is no longer in this piece"):
        desk.send("phone", op="insert", parent="n3", after="nowhere", node=line("x", "s s s"))
