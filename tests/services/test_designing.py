"""Changes of a piece: what merges, what is asked, what is refused, undo and redo."""

from typing import Any

import pytest

from tests.fakes import fake_services
from tests.pieces import read
from weftline.core.piece.commands import command_of
from weftline.core.piece.draft import file_data
from weftline.errors import EntryError, EntryTooLargeError, NothingLeftError, OutOfPlaceError, PieceError
from weftline.services.answers import Asked, Kept
from weftline.services.requests import Change, change_of, reversal_of
from weftline.wiring import Services

PIECE = {
    "weftline": 1,
    "name": "Mat",
    "yarns": {"o": {}, "s": {"colour": "#203040"}, "m": {}},
    "sections": [
        {
            "strips": [
                {
                    "ends": 37,
                    "bands": [{"lines": ["o o o", "s o o", "m o o"]}, {"lines": ["o o s *2"]}],
                }
            ]
        }
    ],
}
# Ids by tests.fakes.CountedIds: section n1, strip n2, band n3 with lines n4 n5 n6, band n7 with line n8; the piece n10.


class Desk:
    """One piece, and hands that send changes to it."""

    def __init__(self) -> None:
        self.services: Services = fake_services()
        self.piece = self.services.pieces.create(read(PIECE), "loom").stream
        self.count = 0

    def send(self, device: str, base: int | None = None, name: str | None = None, **command: Any) -> Kept | Asked:
        """Send a change that was made when the last entry was ``base``."""
        self.count += 1
        change = Change(
            id=f"{device} {self.count}",
            device=device,
            base_seq=self.seq if base is None else base,
            command=command_of(command),
            name=name,
        )
        return self.services.designing.change(self.piece, change)

    def take_back(self, device: str, verb: str = "undo", **more: Any) -> Kept | Asked:
        """Undo or redo."""
        self.count += 1
        reversal = reversal_of({"id": f"{device} {self.count}", "device": device, **more})
        designing = self.services.designing
        return (designing.undo if verb == "undo" else designing.redo)(self.piece, reversal)

    @property
    def seq(self) -> int:
        return self.services.pieces.open(self.piece).seq

    @property
    def bands(self) -> list[list[str]]:
        """Written lines by band."""
        bands = file_data(self.services.pieces.open(self.piece).draft)["sections"][0]["strips"][0]["bands"]
        return [band["lines"] for band in bands]

    @property
    def fields(self) -> dict[str, Any]:
        return dict(self.services.pieces.open(self.piece).draft.fields)


@pytest.fixture
def desk() -> Desk:
    return Desk()


def line(name: str, text: str) -> dict[str, Any]:
    return {"id": name, "kind": "line", "fields": {"text": text}, "children": []}


LAY: dict[str, Any] = {"op": "lay", "line": "n5", "pick": 2, "token": "m"}
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


def test_an_id_seen_twice_answers_with_its_first_place(desk: Desk) -> None:
    change = Change(id="once", device="phone", base_seq=1, command=command_of(LAY))
    assert desk.services.designing.change(desk.piece, change) == Kept(desk.piece, 2)
    desk.send("laptop", **{**LAY, "token": "s"})
    assert desk.services.designing.change(desk.piece, change) == Kept(desk.piece, 2, is_new=False)
    assert desk.seq == 3


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


# --- undo and redo ---------------------------------------------------------------------------------------------------


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


# --- versions --------------------------------------------------------------------------------------------------------


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


def test_many_devices_each_have_their_own_undo(desk: Desk) -> None:
    for number in range(70):
        desk.send(f"device {number}", op="set", node="piece", field="name", value=f"{number}")
    assert all(desk.services.designing.undoable(desk.piece, f"device {number}") for number in range(70))
    assert isinstance(desk.take_back("device 69"), Kept)
    assert desk.fields["name"] == "68"
    assert isinstance(desk.take_back("device 0"), Asked)


def test_renaming_is_a_change_of_a_field(desk: Desk) -> None:
    assert isinstance(desk.services.designing.rename(desk.piece, "‮<b>/..\n", "r", "phone", 1), Kept)
    assert desk.fields["name"] == "‮<b>/..\n"
    assert isinstance(desk.services.designing.rename(desk.piece, "Rug", "s", "laptop", 1), Asked)
