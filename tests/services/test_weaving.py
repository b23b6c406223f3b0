"""The weaver's log through its use cases: sent twice, by several devices, with the plan changing under it."""

import random
import re
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from typing import Any

import pytest

from tests.core.weaving.log_model import SlowLog
from tests.pieces import TWO_STRAPS, read
from tests.services.piece_desk import LAY, Desk
from weftline.core.piece.cloth import expand
from weftline.core.piece.entries import fold as fold_piece
from weftline.core.plan.steps import steps
from weftline.core.weaving.fold import ALREADY, ELSEWHERE
from weftline.core.weaving.log import Planned
from weftline.errors import EntryError, NothingLeftError, OutOfPlaceError
from weftline.services.answers import Kept, Written
from weftline.services.log_answers import Noted
from weftline.services.log_requests import MAX_THROWS, log_entry_of
from weftline.services.weaving import Weaving
from weftline.wiring import Services, Settings, opened


class Loom(Desk):
    """One piece, and devices that weave it."""

    @property
    def weaving(self) -> Weaving:
        return self.services.weaving

    def log(self, kind: str, device: str = "phone", name: str | None = None, **more: Any) -> Noted:
        self.count += 1
        data = {"kind": kind, "id": name or f"{device} {self.count}", "device": device, **more}
        return self.weaving.record(self.piece, log_entry_of(data))

    def throw(self, ordinal: int, device: str = "phone", seq: int | None = None, **more: Any) -> Noted:
        plan = {"seq": self.seq if seq is None else seq, "ordinal": ordinal}
        return self.log("thrown", device, throws=[{"plan": plan, **more}])

    def next(self, device: str = "phone") -> Noted:
        self.count += 1
        return self.weaving.throw_next(self.piece, f"{device} {self.count}", device)

    @property
    def place(self) -> int:
        return self.weaving.stand(self.piece).plan.ordinal

    @property
    def woven(self) -> list[tuple[tuple[int, ...], tuple[tuple[str, int], ...]]]:
        return [(laid.throw.shed, laid.throw.strands) for laid in self.weaving.woven(self.piece).last()]


@pytest.fixture
def loom() -> Loom:
    return Loom()


def test_the_plan_is_thrown_in_its_order_to_its_end(loom: Loom) -> None:
    loom.piece = loom.services.pieces.create(read(TWO_STRAPS), "loom").stream
    planned = list(steps(expand(loom.services.pieces.project(loom.piece))))
    numbers = [loom.next().woven_picks for _ in planned]
    assert numbers == [step.ordinal for step in planned]
    assert loom.woven == [(step.shed, step.strands) for step in planned]
    with pytest.raises(NothingLeftError, match=f"all {len(planned)} throws of the plan are woven"):
        loom.next()
    account = loom.weaving.account(loom.piece)
    assert (account.woven_picks, account.next, account.departures) == (len(planned), None, ())
    assert account.lines == 6 + 2 * 6


def test_a_bare_warp_has_nothing_to_throw(loom: Loom) -> None:
    for node in ("n3", "n7"):
        loom.send("phone", op="remove", node=node)
    with pytest.raises(NothingLeftError, match="nothing is designed yet"):
        loom.next()
    account = loom.weaving.account(loom.piece)
    assert (account.woven_picks, account.plan.total, account.next) == (0, 0, None)


def test_a_change_that_was_made_before_the_throws_is_merged_after_them(loom: Loom) -> None:
    for _ in range(3):
        loom.next()
    assert isinstance(loom.send("tablet", base=1, **LAY), Kept)
    assert loom.bands[0][1] == "s m o"
    assert loom.place == 4


def test_an_id_seen_twice_answers_with_its_first_place(loom: Loom) -> None:
    first = loom.log("thrown", name="one", throws=[{"plan": {"seq": 1, "ordinal": 1}}])
    assert first == Noted("one", 2, True, None, 1)
    loom.next()
    assert loom.log("thrown", name="one", throws=[{"plan": {"seq": 1, "ordinal": 1}}]) == Noted(
        "one", 2, False, None, 1
    )
    assert loom.log("note", "tablet", name="one", text="x") == Noted("one", 2, False, None, 1)
    assert len(loom.woven) == 2


def test_what_is_left_out_is_as_planned_and_what_is_said_differs(loom: Loom) -> None:
    loom.throw(1)
    loom.throw(2, strands=[["m", 1]])
    loom.throw(3, strands=[["o", 1]])
    assert loom.woven == [((1,), (("o", 1),)), ((2,), (("m", 1),)), ((3,), (("o", 1),))]
    assert [laid.throw.differs for laid in loom.weaving.woven(loom.piece).last()] == [False, True, False]
    (departure,) = loom.weaving.account(loom.piece).departures
    assert (departure.kind, departure.first, departure.plan.ordinal) == ("instead", 2, 2)


def test_the_plan_is_left_and_followed_again(loom: Loom) -> None:
    loom.next()
    loom.log("left")
    with pytest.raises(NothingLeftError, match="the plan is left"):
        loom.next()
    loom.log("thrown", throws=[{"strip": "n2", "shed": [2], "strands": [["m", 1]]}] * 2)
    account = loom.weaving.account(loom.piece)
    assert (account.stand.left, account.stand.plan.ordinal, account.next) == (True, 2, None)
    assert loom.weaving.coming(loom.piece, 5) == []
    loom.log("rejoined")
    assert loom.next().woven_picks == 4
    assert loom.place == 3
    loom.log("rejoined", plan={"seq": loom.seq, "ordinal": 7})
    assert [one.ordinal for one in loom.weaving.coming(loom.piece, 2)] == [7, 8]
    assert [one.kind for one in loom.weaving.account(loom.piece).departures] == ["extra", "passed over"]


def test_one_device_weaves_and_what_another_sends_is_held_for_a_choice(loom: Loom) -> None:
    loom.next()
    assert loom.throw(2, "tablet").held == ELSEWHERE
    assert loom.log("unwoven", "tablet", throws=50).held == ELSEWHERE
    assert loom.log("note", "tablet", text="red is short").held is None
    assert (len(loom.woven), loom.place) == (1, 2)
    loom.weaving.weave_here(loom.piece, "here", "tablet")
    assert loom.next("tablet").held is None
    late = loom.throw(2, "phone")
    assert late.held == ALREADY
    held = [one.seq for one in loom.weaving.woven(loom.piece).held]
    loom.log("chosen", "tablet", entries=[late.seq], woven=True)
    assert [laid.device for laid in loom.weaving.woven(loom.piece).last()] == ["phone", "tablet", "phone"]
    loom.log("chosen", "tablet", entries=held[:2], woven=False)
    assert loom.weaving.woven(loom.piece).held == ()
    with pytest.raises(EntryError, match=f"entry {late.seq} is not held for a choice"):
        loom.log("chosen", "tablet", entries=[late.seq], woven=True)


@pytest.mark.parametrize(
    "kind,more,says",
    [
        (
            "thrown",
            {"throws": [{"plan": {"seq": 1, "ordinal": 99}}]},
            "throw 99 is not in the plan; it has throws 1 to 15",
        ),
        ("thrown", {"throws": [{"plan": {"seq": 9, "ordinal": 1}}]}, "version 9 of the plan is not there"),
        ("thrown", {"throws": []}, "throws: "),
        ("thrown", {"throws": [{"shed": [1]}]}, "a throw without a planned pick says its strip, shed and strands"),
        ("thrown", {"throws": [{"strip": "n2", "shed": [5], "strands": [["o", 1]]}]}, "shaft 5 is not there"),
        (
            "thrown",
            {"throws": [{"plan": {"seq": 1, "ordinal": 1}, "strands": [["?", 1]]}]},
            "a yarn cannot be called '?'",
        ),
        (
            "thrown",
            {"throws": [{"plan": {"seq": 1, "ordinal": 1}, "strands": [["o", 0]]}]},
            "greater than or equal to 1",
        ),
        ("unwoven", {}, "1 cannot be unwoven, 0 throws lie in the cloth"),
        ("skipped", {"throws": 16}, "16 throws cannot be skipped; the plan has 15 more"),
        ("rejoined", {"plan": {"seq": 1, "ordinal": 17}}, "throw 17 is not in the plan"),
        ("measured", {"lines": 4}, "a measurement has a length or a width"),
        ("happened", {"what": "tea"}, "what happened is one of: warp advanced"),
        ("photograph", {"name": "../x"}, "name: "),
        ("note", {"text": ""}, "text: "),
        ("note", {"text": "x", "base_seq": 7}, "base_seq 7 is not there yet, the last entry is 1"),
        ("tick", {"woven": 3}, "the entry: "),
    ],
)
def test_what_cannot_be_is_refused_and_nothing_is_kept(loom: Loom, kind: str, more: dict[str, Any], says: str) -> None:
    with pytest.raises(EntryError, match=re.escape(says)):
        loom.log(kind, **more)
    assert loom.seq == 1


def test_nothing_is_skipped_while_the_plan_is_left(loom: Loom) -> None:
    loom.log("left")
    with pytest.raises(EntryError, match="the plan is left, nothing of it can be skipped"):
        loom.log("skipped")


def test_a_strip_or_a_piece_that_is_not_there_is_told(loom: Loom) -> None:
    with pytest.raises(OutOfPlaceError, match="no strip has the id 'n99'"):
        loom.log("thrown", throws=[{"strip": "n99", "shed": [1], "strands": [["o", 1]]}])
    with pytest.raises(OutOfPlaceError, match="no piece has the id 'gone'"):
        loom.weaving.woven("gone")


def test_undo_takes_back_the_plan_and_never_a_throw(loom: Loom) -> None:
    loom.send("phone", **LAY)
    changed = loom.services.pieces.open(loom.piece).changed
    for _ in range(4):
        loom.next()
    loom.log("note", text="x")
    state = loom.services.pieces.open(loom.piece)
    assert (state.changed, state.seq) == (changed, 7)
    undoable = loom.services.designing.undoable(loom.piece, "phone")
    assert undoable is not None
    assert undoable.seq == 2
    loom.take_back("phone")
    assert loom.bands[0][1] == "s o o"
    assert (len(loom.woven), loom.place) == (4, 5)
    loom.next()
    assert loom.services.designing.redoable(loom.piece, "phone") is not None
    loom.take_back("phone", "redo")
    assert loom.bands[0][1] == "s m o"
    assert fold_piece(loom.services.pieces.entries_after(loom.piece, 0)) == loom.services.pieces.open(loom.piece)


def test_the_place_follows_a_plan_that_is_changed_below_and_above(loom: Loom) -> None:
    for _ in range(4):
        loom.next()
    node = {"id": "new", "kind": "line", "fields": {"text": "m m m"}, "children": []}
    loom.send("tablet", op="insert", parent="n3", after=None, node=node)
    assert loom.place == 8
    assert loom.next().woven_picks == 5
    assert loom.place == 9
    loom.log("skipped", throws=2)
    assert loom.place == 11
    loom.take_back("tablet")
    assert loom.place == 8
    assert loom.log("unwoven").held is None
    assert loom.place == 5
    cloth = loom.weaving.woven_cloth(loom.piece)
    assert cloth.pieces[0].strips[0].weaving.picks.line.tolist() == [0, 0, 0, 1]


def test_a_throw_of_an_older_plan_is_known_by_where_it_went(loom: Loom) -> None:
    for _ in range(4):
        loom.next()
    old = loom.seq
    node = {"id": "new", "kind": "line", "fields": {"text": "m m m"}, "children": []}
    loom.send("tablet", op="insert", parent="n3", after=None, node=node)
    assert loom.throw(3, seq=old).held == ALREADY
    assert loom.throw(5, seq=old).held is None
    assert loom.place == 9
    assert loom.next().held is None
    assert loom.throw(6, seq=old).held == ALREADY
    assert loom.throw(7, seq=old).held is None
    assert loom.place == 11


@pytest.mark.parametrize("ordinals", [[15], [3, 9, 4, 0, 15], [5, 5, 2, 2], [0, 1, 0]])
def test_the_weaving_is_brought_to_a_line_forth_and_back(loom: Loom, ordinals: list[int]) -> None:
    for number, ordinal in enumerate(ordinals):
        loom.weaving.weave_to(loom.piece, ordinal, f"to {number}", ["phone", "tablet"][number % 2])
        assert (loom.place, len(loom.woven)) == (ordinal + 1, ordinal)
        seq = loom.seq
        loom.weaving.weave_to(loom.piece, ordinal, f"to {number}", "phone")
        assert loom.seq == seq


def test_bringing_it_further_than_the_plan_goes_ends_with_the_plan(loom: Loom) -> None:
    loom.weaving.weave_to(loom.piece, 10**6, "all", "phone")
    assert len(loom.woven) == 15


def test_more_throws_than_an_entry_holds_are_several(loom: Loom) -> None:
    loom.send("phone", op="set", node="n7", field="times", value=1000)
    loom.weaving.weave_to(loom.piece, MAX_THROWS + 7, "far", "phone")
    assert (len(loom.woven), loom.place, loom.seq) == (MAX_THROWS + 7, MAX_THROWS + 8, 4)


def test_ticks_of_an_older_store_go_on_in_the_log(loom: Loom) -> None:
    from weftline.services.requests import sender_of

    loom.services.pieces.keep(
        loom.piece, sender_of("t", "phone"), lambda state: Written("tick", state.seq, {"woven": 6})
    )
    assert (loom.place, loom.woven) == (7, [])
    loom.weaving.weave_to(loom.piece, 3, "back", "phone")
    assert (loom.place, loom.woven) == (4, [])
    loom.next()
    assert (loom.place, len(loom.woven)) == (5, 1)


def test_history_tells_throws_that_follow_each_other_as_one(loom: Loom) -> None:
    for _ in range(3):
        loom.next()
    loom.log("unwoven", throws=2)
    loom.next()
    loom.log("happened", what="end broken", end=12)
    found = [(line.seq, line.name) for line in loom.services.pieces.history(loom.piece)]
    assert found == [
        (1, "make piece"),
        (4, "weave 3 throws"),
        (5, "unweave 2 throws"),
        (6, "weave 1 throw"),
        (7, "end broken"),
    ]


def test_everything_is_there_again_when_the_store_is_opened_again(tmp_path: Path) -> None:
    with opened(Settings(tmp_path)) as services:
        piece = services.pieces.create(read(TWO_STRAPS), "loom").stream
        for number in range(7):
            services.weaving.throw_next(piece, f"t{number}", "phone")
        services.weaving.record(
            piece, log_entry_of({"kind": "measured", "id": "m", "device": "phone", "length_mm": 12.5, "lines": 3})
        )
        before = services.weaving.account(piece)
    with opened(Settings(tmp_path)) as services:
        after = services.weaving.account(piece)
    assert (after.woven_picks, after.lines, after.length_mm, after.stand, after.next, after.marks) == (
        before.woven_picks,
        before.lines,
        before.length_mm,
        before.stand,
        before.next,
        before.marks,
    )
    assert after.marks[0].payload == {"length_mm": 12.5, "lines": 3}
    assert after.marks[0].throws == 7


def test_two_programs_weave_on_one_store_and_no_throw_is_lost_or_held(tmp_path: Path) -> None:
    with opened(Settings(tmp_path)) as here, opened(Settings(tmp_path)) as there:
        piece = here.pieces.create(read(TWO_STRAPS), "loom").stream

        def weave(services: Services, word: str) -> list[int]:
            weaving = services.weaving
            return [weaving.throw_next(piece, f"{word}{number}", "loom").woven_picks for number in range(20)]

        with ThreadPoolExecutor(2) as pool:
            numbers = [*pool.map(weave, (here, there), ("a", "b"))]
        woven = here.weaving.woven(piece)
    assert sorted(numbers[0] + numbers[1]) == list(range(1, 41))
    assert (woven.count, woven.held) == (40, ())
    assert [laid.throw.plan for laid in woven.last()] == [Planned(1, number) for number in range(1, 41)]


@pytest.mark.parametrize("seed", range(20))
def test_random_entries_sent_twice_by_three_devices_come_out_as_the_slow_reading_says(seed: int) -> None:
    rng, loom, slow = random.Random(seed), Loom(), SlowLog()
    loom.send("phone", op="set", node="n7", field="times", value=40)
    sent: list[dict[str, Any]] = []
    while loom.seq < 80:
        again = rng.random() < 0.15 and bool(sent)
        data = rng.choice(sent) if again else _random_data(rng, loom, f"r{len(sent)}")
        try:
            noted = loom.weaving.record(loom.piece, log_entry_of(data))
        except EntryError:
            assert not again
            continue
        assert noted.is_new is not again
        if not again:
            sent.append(data)
        kept = loom.services.pieces.entries_after(loom.piece, noted.seq - 1, 1)[0]
        assert slow.take(kept.seq, kept.id, kept.kind, kept.device, dict(kept.payload)) == noted.seq
        woven = loom.weaving.woven(loom.piece)
        assert loom.woven == [(tuple(one["shed"]), tuple(map(tuple, one["strands"]))) for one in slow.throws]
        assert (woven.stand.plan.ordinal, woven.stand.left, woven.device) == (slow.place[0], slow.place[2], slow.device)
        assert [one.seq for one in woven.held] == [one[0] for one in slow.held]
    assert len({one["kind"] for one in sent}) == 8


def _random_data(rng: random.Random, loom: Loom, name: str) -> dict[str, Any]:
    woven = loom.weaving.woven(loom.piece)
    device = rng.choice([woven.device or "phone"] * 4 + ["phone", "tablet", "laptop"])
    kinds = ["thrown"] * 5 + ["unwoven", "skipped", "left", "rejoined", "weave-here", "chosen", "note"]
    kind = rng.choice(kinds)
    ordinal = max(1, loom.place + rng.choice([0, 0, 0, 0, 2, -1]))
    planned = {"seq": rng.choice([2, loom.seq]), "ordinal": ordinal}
    extra = {"strip": "n2", "shed": [rng.randint(1, 3)], "strands": [["m", rng.randint(1, 3)]]}
    more: dict[str, dict[str, Any]] = {
        "thrown": {"throws": [rng.choice([{"plan": planned}, {"plan": planned, "strands": [["s", 2]]}, extra])]},
        "unwoven": {"throws": rng.randint(1, 3)},
        "skipped": {"throws": rng.randint(1, 3)},
        "rejoined": rng.choice([{}, {"plan": planned}]),
        "chosen": {"entries": [one.seq for one in woven.held[:2]] or [1], "woven": rng.random() < 0.5},
        "note": {"text": name},
    }
    return {"kind": kind, "id": name, "device": device, **more.get(kind, {})}
