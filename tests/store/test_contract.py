"""What every log and cache does, the stand-in as well as SQLite: one class of tests for all."""

import threading
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest

from tests.fakes import FakeCache, FakeLog
from weftline.core.piece.entries import Entry
from weftline.services.ports import Cache, EntryLog
from weftline.store.opening import open_store

STRANGE = ["", " ", "a/b", "../../etc", "x\n", "‮abc", "<b>&amp;", "Ünï", "0" * 200, "'; DROP TABLE entries; --", "%_"]


def entry(seq: int, name: str = "", stream: str = "mat", device: str = "loom") -> Entry:
    return Entry(stream, seq, name or f"id {seq}", "change", seq - 1, device, f"2026-05-0{seq % 9 + 1}", {"n": [seq]})


@pytest.fixture(params=["fake", "sqlite"])
def both(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[tuple[EntryLog, Cache]]:
    """A log and a cache of each kind."""
    if request.param == "fake":
        yield FakeLog(), FakeCache()
        return
    store = open_store(tmp_path / "store.sqlite3")
    yield store.log, store.cache
    store.close()


class TestContract:
    @pytest.fixture
    def log(self, both: tuple[EntryLog, Cache]) -> EntryLog:
        return both[0]

    @pytest.fixture
    def cache(self, both: tuple[EntryLog, Cache]) -> Cache:
        both[0].append(entry(1))
        return both[1]

    def test_a_stream_that_is_not_there_is_empty(self, log: EntryLog) -> None:
        assert list(log.entries_after("mat", 0)) == []
        assert log.entry("mat", "id 1") is None
        assert dict(log.heads()) == {}
        assert list(log.kinds_after("mat", "loom", 0)) == []

    def test_entries_come_back_as_they_were_and_in_order(self, log: EntryLog) -> None:
        sent = [entry(seq) for seq in range(1, 12)]
        assert [log.append(one) for one in sent] == list(range(1, 12))
        assert list(log.entries_after("mat", 0)) == sent
        assert list(log.entries_after("mat", 4, 3)) == sent[4:7]
        assert list(log.entries_after("mat", 11)) == []
        assert log.entry("mat", "id 7") == sent[6]

    def test_entries_are_asked_for_by_kind(self, log: EntryLog) -> None:
        kinds = ("change", "thrown", "note", "thrown", "change")
        sent = [replace(entry(seq), kind=kind) for seq, kind in enumerate(kinds, 1)]
        for one in sent:
            log.append(one)
        assert list(log.of_kinds_after("mat", ("thrown", "note"), 0)) == sent[1:4]
        assert list(log.of_kinds_after("mat", ("thrown", "note"), 2)) == sent[2:4]
        assert list(log.of_kinds_after("mat", ("thrown",), 4)) == []
        assert list(log.of_kinds_after("mat", (), 0)) == []
        assert list(log.of_kinds_after("rug", kinds, 0)) == []

    def test_an_id_seen_twice_answers_with_its_first_place(self, log: EntryLog) -> None:
        for seq in (1, 2, 3):
            log.append(entry(seq))
        again = replace(entry(4, "id 2"), payload={"other": True})
        assert log.append(again) == 2
        assert log.append(replace(again, seq=2)) == 2
        assert len(log.entries_after("mat", 0)) == 3
        assert log.entry("mat", "id 2") == entry(2)

    def test_the_same_id_in_another_stream_is_another_entry(self, log: EntryLog) -> None:
        assert log.append(entry(1, "same")) == 1
        assert log.append(entry(1, "same", stream="rug")) == 1
        assert dict(log.heads()) == {"mat": 1, "rug": 1}

    @pytest.mark.parametrize("seq", [1, 2, 4, 9])
    def test_a_place_that_is_not_the_next_is_refused(self, log: EntryLog, seq: int) -> None:
        log.append(entry(1))
        log.append(entry(2))
        assert log.append(entry(seq, "late")) is None
        assert len(log.entries_after("mat", 0)) == 2

    def test_the_kinds_of_a_device_come_in_order(self, log: EntryLog) -> None:
        for seq in range(1, 9):
            log.append(replace(entry(seq, device="loom" if seq % 2 else "phone"), kind=f"kind {seq}"))
        assert list(log.kinds_after("mat", "loom", 0)) == [(seq, f"kind {seq}") for seq in (1, 3, 5, 7)]
        assert list(log.kinds_after("mat", "phone", 4)) == [(6, "kind 6"), (8, "kind 8")]

    @pytest.mark.parametrize("text", STRANGE, ids=range(len(STRANGE)))
    def test_strange_names_are_just_text(self, log: EntryLog, text: str) -> None:
        sent = Entry(text, 1, text, text, 0, text, text, {text: text})
        assert log.append(sent) == 1
        assert list(log.entries_after(text, 0)) == [sent]
        assert log.entry(text, text) == sent
        assert list(log.kinds_after(text, text, 0)) == [(1, text)]
        assert dict(log.heads()) == {text: 1}

    def test_many_at_once_leave_no_hole_and_nothing_twice(self, log: EntryLog) -> None:
        answers: list[tuple[str, int]] = []

        def send(ids: list[str]) -> None:
            for one in ids:
                seq = None
                while seq is None:
                    seq = log.append(entry(log.heads().get("mat", 0) + 1, one))
                answers.append((one, seq))

        shared = [f"shared {number}" for number in range(15)]
        threads = [
            threading.Thread(target=send, args=([*shared, *(f"{who}.{number}" for number in range(15))],))
            for who in range(6)
        ]
        for thread in threads:
            thread.start()
        for thread in threads:
            thread.join()
        kept = {one.id: one.seq for one in log.entries_after("mat", 0)}
        assert sorted(kept.values()) == list(range(1, 6 * 15 + 15 + 1))
        assert {(name, kept[name]) for name in kept} == set(answers)

    def test_the_nearest_snapshot_is_found(self, cache: Cache) -> None:
        assert cache.snapshot("mat", 100) is None
        for seq in (10, 20, 30):
            cache.keep_snapshot("mat", seq, f"state {seq} ü")
        cache.keep_snapshot("mat", 20, "state 20 anew")
        assert cache.snapshot("mat", 9) is None
        assert cache.snapshot("mat", 29) == (20, "state 20 anew")
        assert cache.snapshot("mat", 2**53) == (30, "state 30 ü")
        assert cache.snapshot("rug", 99) is None

    def test_summaries_are_kept_and_exchanged(self, cache: Cache) -> None:
        assert dict(cache.summaries()) == {}
        cache.keep_summaries({"mat": (1, "one")})
        cache.keep_summaries({"mat": (4, "four")})
        assert dict(cache.summaries()) == {"mat": (4, "four")}
