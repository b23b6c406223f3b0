"""The fold of the weaver's log, held against a slow second reading of it by random entries."""

import random
from typing import Any

import pytest

from tests.core.weaving.log_model import SlowLog
from weftline.core.piece.entries import Entry
from weftline.core.weaving.departures import EXTRA, INSTEAD, PASSED, departures
from weftline.core.weaving.fold import ALREADY, ELSEWHERE, Stand, Woven, fold, step
from weftline.core.weaving.log import Planned, Throw, throw_data, throw_of

DEVICES = ["phone", "tablet", "loom room"]


def entry(seq: int, kind: str, device: str = "phone", **payload: Any) -> Entry:
    return Entry("mat", seq, f"e{seq}", kind, seq - 1, device, "2026-05-01", payload)


def throw(ordinal: int | None, version: int = 1, **more: bool | int) -> dict[str, Any]:
    plan = {} if ordinal is None else {"plan": {"seq": version, "ordinal": ordinal}}
    return {"strip": "n2", "piece": 1, "shed": [1], "strands": [["o", 2]], **plan, **more}


def thrown(seq: int, *ordinals: int | None, device: str = "phone", version: int = 1) -> Entry:
    return entry(seq, "thrown", device, throws=[throw(one, version) for one in ordinals])


def random_entry(rng: random.Random, slow: SlowLog, seq: int) -> tuple[str, str, dict[str, Any]]:
    """Return kind, device and payload of something that a weaver might do, or a device might send late."""
    device = rng.choice([slow.device or "phone"] * 3 + DEVICES)
    ordinal, version, _ = slow.place
    version = rng.choice([version, version, max(version, 1), version + 1])
    kinds = ["thrown"] * 6 + ["unwoven", "unwoven", "skipped", "left", "rejoined", "weave-here", "chosen", "note"]
    kind = rng.choice(kinds)
    if kind == "thrown":
        first = rng.choice([ordinal, ordinal, ordinal, ordinal + 2, max(1, ordinal - 2), None])
        many = rng.choice([1, 1, 1, 2, 3])
        throws = [throw(None if first is None else first + more, version, number=seq) for more in range(many)]
        return kind, device, {"throws": throws}
    if kind in ("unwoven", "skipped"):
        back = rng.choice([1, 1, 2, 5])
        after = {"plan": {"seq": version, "ordinal": ordinal + back}} if rng.random() < 0.5 else {}
        return kind, device, {"throws": back, **(after if kind == "skipped" else {})}
    if kind == "rejoined":
        plan = {"seq": version, "ordinal": rng.randint(1, ordinal + 3)}
        return kind, device, rng.choice([{}, {"plan": plan}])
    if kind == "chosen":
        held = [one[0] for one in slow.held]
        return kind, device, {"entries": held[: rng.randint(0, 3)] or [seq + 99], "woven": rng.random() < 0.6}
    return kind, device, {"text": "x"} if kind == "note" else {}


@pytest.mark.parametrize("seed", range(60))
def test_random_logs_fold_as_the_slow_reading_says(seed: int) -> None:
    rng, slow, woven = random.Random(seed), SlowLog(), Woven()
    entries: list[Entry] = []
    for seq in range(1, 150):
        kind, device, payload = random_entry(rng, slow, seq)
        entries.append(entry(seq, kind, device, **payload))
        slow.take(seq, f"e{seq}", kind, device, payload)
        woven = step(woven, entries[-1])
        assert [laid.throw for laid in woven.last()] == [throw_of(one) for one in slow.throws]
        assert [laid.number for laid in woven.last()] == list(range(1, woven.count + 1))
        now = woven.stand
        assert (now.plan.ordinal, now.plan.seq, now.left) == slow.place
        assert woven.device == slow.device
        assert [(one.seq, one.why) for one in woven.held] == [(one[0], one[3]) for one in slow.held]
        assert [(mark.seq, mark.throws) for mark in woven.marks] == slow.marks
    cut = rng.randrange(len(entries))
    again = fold(entries[cut:], fold(entries[:cut]))
    assert [laid.throw for laid in again.last()] == [laid.throw for laid in woven.last()]
    assert (again.stand, again.device, again.held, again.marks) == (
        woven.stand,
        woven.device,
        woven.held,
        woven.marks,
    )


def test_the_random_logs_do_everything() -> None:
    seen: set[str] = set()
    for seed in range(60):
        rng, slow = random.Random(seed), SlowLog()
        for seq in range(1, 150):
            kind, device, payload = random_entry(rng, slow, seq)
            slow.take(seq, f"e{seq}", kind, device, payload)
            seen |= {kind, *(one[3] for one in slow.held), f"left {slow.place[2]}"}
    assert {ALREADY, ELSEWHERE, "left True", "chosen", "weave-here"} <= seen


def test_other_entries_of_the_piece_change_nothing() -> None:
    woven = fold([thrown(2, 1)])
    for kind in ("change", "undo", "restore", "put-away", "something new"):
        assert step(woven, entry(3, kind, "tablet", op={"op": "set"})) is woven


def test_unweaving_brings_everything_back_as_it_was_before_the_throw() -> None:
    woven = fold([thrown(1, 1), thrown(2, 2), entry(3, "skipped", throws=4), entry(4, "left"), thrown(5, None)])
    assert (woven.count, woven.stand) == (3, Stand(Planned(1, 7), True))
    woven = fold([entry(6, "unwoven", throws=2)], woven)
    assert (woven.count, woven.stand) == (1, Stand(Planned(1, 2)))
    assert fold([entry(7, "unwoven", throws=9)], woven).stand == Stand()


def test_a_throw_for_a_place_that_is_woven_is_held_even_from_the_same_device() -> None:
    woven = fold([thrown(1, 1), thrown(2, 2), thrown(3, 2)])
    assert (woven.count, [one.why for one in woven.held]) == (2, [ALREADY])
    joined = fold([entry(4, "chosen", entries=[3], woven=True)], woven)
    assert (joined.count, joined.held) == (3, ())
    dropped = fold([entry(4, "chosen", entries=[3], woven=False)], woven)
    assert (dropped.count, dropped.held) == (2, ())


def test_taking_over_holds_what_comes_late_from_the_other_device() -> None:
    woven = fold([thrown(1, 1), entry(2, "weave-here", "tablet"), thrown(3, 2), thrown(4, 2, device="tablet")])
    assert (woven.count, woven.device, [one.why for one in woven.held]) == (2, "tablet", [ELSEWHERE])
    assert woven.top is not None
    assert woven.top.device == "tablet"


def test_ticks_of_older_stores_say_where_the_weaving_stands_until_something_is_thrown() -> None:
    woven = fold([entry(1, "tick", threaded=44), entry(2, "tick", woven=9)])
    assert (woven.count, woven.stand) == (0, Stand(Planned(0, 10)))
    assert fold([thrown(3, 10), entry(4, "tick", woven=3)], woven).stand == Stand(Planned(1, 11))


def test_fifty_thousand_throws_fold_in_a_moment_and_share_what_lies_below() -> None:
    woven = fold(thrown(number, number) for number in range(1, 50_001))
    assert woven.count == 50_000
    back = fold([entry(50_001, "unwoven", throws=1)], woven)
    assert woven.top is not None
    assert back.top is woven.top.below
    assert [laid.number for laid in woven.last(2)] == [49_999, 50_000]


def test_departures_say_what_was_extra_instead_and_passed_over() -> None:
    other = entry(4, "thrown", throws=[throw(3, differs=True), throw(4, differs=True)])
    entries = [thrown(1, 1), thrown(2, 2), thrown(3, None, None), other, entry(5, "skipped", throws=2), thrown(6, 7)]
    woven = fold([*entries, entry(7, "skipped", throws=1)])
    found = [(one.kind, one.first, one.throws, one.plan.ordinal) for one in departures(woven.last(), woven.stand)]
    assert found == [(EXTRA, 3, 2, 3), (INSTEAD, 5, 2, 3), (PASSED, 7, 2, 5), (PASSED, 8, 1, 8)]


@pytest.mark.parametrize(
    "one",
    [
        Throw("n2", 1, (1, 3), (("o", 2), ("s", 1)), Planned(4, 17), True, False),
        Throw("n2", 12, (2,), (("o", 1),), None, False, True),
        Throw("n2", 1, (2,), (("o", 1),)),
    ],
)
def test_a_throw_comes_back_from_its_data(one: Throw) -> None:
    assert throw_of(throw_data(one)) == one
