"""The life of a piece: made, listed, found, copied, put away, given out; versions with and without snapshots."""

import json
import re
import threading
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given

from tests.fakes import CountedIds, FakeCache, FakeFiles, FakeLog, FrozenClock, fake_services
from tests.pieces import PIECES, TEETH, Piece, read
from tests.strategies import pieces
from weftline.core.piece.commands import Lay, Set
from weftline.core.piece.draft import LINE, walk
from weftline.core.piece.entries import Entry, fold, state_data
from weftline.errors import EntryError, OutOfPlaceError, PieceError, SeveralError
from weftline.formats.native import dumps, loads
from weftline.services.answers import Kept
from weftline.services.requests import Change
from weftline.services.streams import FOLD_VERSION, SNAPSHOT_EVERY
from weftline.store.engine import writing
from weftline.store.opening import open_store
from weftline.wiring import Services, wire


def named(name: str) -> Piece:
    return {**TEETH, "name": name}


def lay(services: Services, piece: str, number: int, device: str = "phone") -> Kept:
    state = services.pieces.open(piece)
    lines = [node.id for node in walk(state.draft) if node.kind == LINE]
    command = Lay(line=lines[number % len(lines)], pick=number % 3 + 1, token="osm"[number // 3 % 3])
    change = Change(id=f"{device} {number}", device=device, base_seq=state.seq, command=command)
    kept = services.designing.change(piece, change)
    assert isinstance(kept, Kept)
    return kept


@pytest.mark.parametrize("name", PIECES)
def test_what_is_given_out_is_what_was_taken_in(name: str) -> None:
    services = fake_services()
    text = json.dumps(PIECES[name])
    piece = services.pieces.import_file(text, "loom").stream
    assert services.pieces.export(piece) == dumps(loads(text))


@given(pieces())
def test_any_piece_comes_out_as_it_went_in(piece: Piece) -> None:
    services, text = fake_services(), json.dumps(piece)
    assert services.pieces.export(services.pieces.import_file(text.encode(), "loom").stream) == dumps(loads(text))


def test_an_empty_list_of_bands_and_a_written_null_come_back() -> None:
    services = fake_services()
    text = '{"weftline": 1, "ground": null, "yarns": {"o": {}}, "warp": {}, "sections": [{"strips": [{"ends": 5, "bands": []}]}]}'
    assert services.pieces.export(services.pieces.import_file(text, "loom").stream) == dumps(loads(text))


def test_what_cannot_be_followed_is_not_taken_in() -> None:
    services = fake_services()
    with pytest.raises(PieceError, match="no yarn is called 'x'"):
        services.pieces.import_file(json.dumps({**TEETH, "ground": "x"}), "loom")
    assert services.pieces.list(put_away=True) == []


def test_making_it_again_makes_no_second_piece() -> None:
    services = fake_services()
    first = services.pieces.create(read(TEETH), "phone", entry_id="once", piece="mat")
    assert first == Kept("mat", 1)
    assert services.pieces.create(read(TEETH), "phone", entry_id="once", piece="mat") == Kept("mat", 1, is_new=False)
    with pytest.raises(EntryError, match="there is a piece with the id 'mat' already"):
        services.pieces.create(read(TEETH), "phone", entry_id="twice", piece="mat")
    with pytest.raises(EntryError, match="a piece cannot have the id shelf"):
        services.pieces.create(read(TEETH), "phone", entry_id="once", piece="shelf")
    assert len(services.pieces.list()) == 1


def test_the_list_has_what_was_changed_last_first() -> None:
    clock = FrozenClock()
    services = wire(FakeLog(), FakeCache(), FakeFiles(), clock, CountedIds())
    mat, rug = (services.pieces.create(read(named(name)), "loom").stream for name in ("Mat", "Rug"))
    clock.moment = "2026-05-02T10:00:00.000Z"
    services.designing.rename(mat, "Runner", "r", "loom", 1)
    assert [(one.id, one.name, one.updated, one.put_away, one.seq) for one in services.pieces.list()] == [
        (mat, "Runner", "2026-05-02T10:00:00.000Z", False, 2),
        (rug, "Rug", "2026-05-01T10:00:00.000Z", False, 1),
    ]


def test_put_away_is_out_of_the_list_and_nothing_is_lost() -> None:
    services = fake_services()
    mat = services.pieces.create(read(named("Mat")), "loom").stream
    services.pieces.put_away(mat, "loom")
    assert services.pieces.list() == []
    assert [one.put_away for one in services.pieces.list(put_away=True)] == [True]
    assert services.pieces.find("Mat") == mat
    services.pieces.bring_back(mat, "loom")
    assert [one.id for one in services.pieces.list()] == [mat]
    assert [line.name for line in services.pieces.history(mat)] == ["make piece", "put away", "bring back"]
    with pytest.raises(OutOfPlaceError, match="no piece has the id 'nowhere'"):
        services.pieces.put_away("nowhere", "loom")


def test_a_copy_is_a_piece_of_its_own() -> None:
    services = fake_services()
    mat = services.pieces.create(read(named("Mat")), "loom").stream
    lay(services, mat, 1)
    copy = services.pieces.duplicate(mat, "loom").stream
    assert loads(services.pieces.export(copy)) == loads(services.pieces.export(mat)).model_copy(
        update={"name": "Mat (copy)"}
    )
    assert services.pieces.entries_after(copy, 0)[0].payload["from"] == {"piece": mat, "seq": 2}
    lay(services, copy, 5)
    assert services.pieces.open(mat).seq == 2
    other = services.pieces.duplicate(mat, "loom", "Mat again", "once", "copy").stream
    assert (other, services.pieces.open(other).name) == ("copy", "Mat again")
    long = services.pieces.create(read(named("x" * 200)), "loom").stream
    assert len(services.pieces.open(services.pieces.duplicate(long, "loom").stream).name) == 197


HOSTILE = [
    "<script>alert(1)</script>",
    "../../etc/passwd",
    "‮tam‬",
    "a\nb\r\x1b[2J",
    "%s{0}",
    "'; DROP TABLE entries",
    " ",
    "",
]


@pytest.mark.parametrize("name", HOSTILE, ids=range(len(HOSTILE)))
def test_names_are_just_text(name: str) -> None:
    services = fake_services()
    piece = services.pieces.create(read(named(name)), "loom").stream
    assert services.pieces.find(name) == piece
    assert services.pieces.list()[0].name == name
    assert loads(services.pieces.export(piece)).name == name


def test_a_piece_is_found_by_id_name_or_the_beginning_of_an_id() -> None:
    services = fake_services()
    for piece, name in (("abcd1", "Mat"), ("abcd2", "Rug"), ("xyz99", "Rug"), ("qqq11", "abcd")):
        services.pieces.create(read(named(name)), "loom", piece=piece)
    assert services.pieces.find("abcd2") == "abcd2"
    assert services.pieces.find("Mat") == services.pieces.find("mAT") == "abcd1"
    assert services.pieces.find("xyz") == "xyz99"
    assert services.pieces.find("abcd") == "qqq11"
    with pytest.raises(SeveralError, match=r"'Rug' fits 2 pieces, give the id of one: 'Rug' .* of 2026-05-01 10:00, "):
        services.pieces.find("Rug")
    with pytest.raises(SeveralError, match="'abc' fits 2 pieces"):
        services.pieces.find("abc")
    with pytest.raises(OutOfPlaceError, match="no piece is called 'xy'"):
        services.pieces.find("xy")
    services.pieces.put_away("xyz99", "loom")
    assert services.pieces.find("Rug") == "abcd2"
    for number in range(6):
        services.pieces.create(read(named("Many")), "loom", piece=f"many{number}")
    with pytest.raises(SeveralError, match=r"and 1 more$"):
        services.pieces.find("Many")


# --- versions and snapshots, in a real store ---------------------------------------------------------------------------

MANY = SNAPSHOT_EVERY * 2 + 30


class Place:
    """A store that can be opened again and again."""

    def __init__(self, path: Path) -> None:
        self.path = path

    def run(self, task: Any) -> Any:
        """Do something with services on the store, opened for it alone."""
        store = open_store(self.path)
        try:
            return task(wire(store.log, store.cache, FakeFiles(), FrozenClock(), CountedIds()), store)
        finally:
            store.close()


@pytest.fixture(scope="module")
def place(tmp_path_factory: pytest.TempPathFactory) -> Place:
    """A store with one piece of many entries."""
    place = Place(tmp_path_factory.mktemp("versions") / "store.sqlite3")

    def fill(services: Services, store: Any) -> None:
        services.pieces.create(read(TEETH), "loom", piece="mat")
        for number in range(MANY):
            lay(services, "mat", number)

    place.run(fill)
    return place


@pytest.fixture
def forgotten(place: Place) -> Place:
    """The same without its cache."""

    def forget(services: Services, store: Any) -> None:
        with writing(store.engine) as connection:
            connection.exec_driver_sql("DELETE FROM snapshots")
            connection.exec_driver_sql("DELETE FROM summaries")

    place.run(forget)
    return place


def test_snapshots_are_kept_on_the_way_and_are_the_fold(place: Place) -> None:
    def look(services: Services, store: Any) -> None:
        assert store.cache.snapshot("mat", 2**53)[0] == SNAPSHOT_EVERY * 2
        entries = services.pieces.entries_after("mat", 0)
        for wanted in (1, 2, SNAPSHOT_EVERY - 1, SNAPSHOT_EVERY, SNAPSHOT_EVERY + 1, MANY, MANY + 1):
            assert services.pieces.open("mat", wanted) == fold(entries[:wanted])

    place.run(look)


def test_the_cache_may_be_deleted_at_any_time(forgotten: Place) -> None:
    def look(services: Services, store: Any) -> None:
        assert services.pieces.list()[0].seq == MANY + 1
        assert services.pieces.open("mat") == fold(services.pieces.entries_after("mat", 0))
        assert store.cache.snapshot("mat", 2**53) is not None
        with writing(store.engine) as connection:
            connection.exec_driver_sql("DELETE FROM snapshots")
        assert services.pieces.open("mat", 300) == fold(services.pieces.entries_after("mat", 0)[:300])

    forgotten.run(look)


@pytest.mark.parametrize("text", ["", "{}", "[]", "null", '{"fold": 0}', '{"fold": 1, "seq": 3}', '{"fold": 1}'])
def test_a_snapshot_that_cannot_be_read_is_passed_over(forgotten: Place, text: str) -> None:
    def look(services: Services, store: Any) -> None:
        store.cache.keep_snapshot("mat", 400, text)
        store.cache.keep_summaries({"mat": (MANY + 1, text)})
        assert services.pieces.open("mat", 410) == fold(services.pieces.entries_after("mat", 0)[:410])
        assert services.pieces.list()[0].name == TEETH["name"]

    forgotten.run(look)


def test_a_snapshot_of_another_place_is_passed_over(forgotten: Place) -> None:
    def look(services: Services, store: Any) -> None:
        state = services.pieces.open("mat", 300)
        store.cache.keep_snapshot("mat", 400, json.dumps({"fold": FOLD_VERSION, **state_data(state)}))
        assert services.pieces.open("mat", 400).draft == fold(services.pieces.entries_after("mat", 0)[:400]).draft

    forgotten.run(look)


def test_an_entry_out_of_turn_does_not_fold() -> None:
    services = fake_services()
    mat = services.pieces.create(read(TEETH), "loom").stream
    with pytest.raises(ValueError, match="entry 1 cannot follow entry 1"):
        fold(services.pieces.entries_after(mat, 0), services.pieces.open(mat))


def test_entries_of_other_kinds_are_passed_over() -> None:
    services = fake_services()
    mat = services.pieces.create(read(TEETH), "loom").stream
    before = services.pieces.open(mat)
    services.pieces.streams.log.append(
        Entry(mat, 2, "w", "woven", 1, "loom", "2026", {"pick": 3, "name": "weave pick"})
    )
    assert replace(services.pieces.open(mat), seq=1, at=before.at) == before
    assert services.pieces.history(mat)[-1].name == "weave pick"
    lay(services, mat, 1)


def test_two_programs_on_one_store_see_each_other(tmp_path: Path) -> None:
    one, other = open_store(tmp_path / "store.sqlite3"), open_store(tmp_path / "store.sqlite3")
    first, second = (
        wire(s.log, s.cache, FakeFiles(), FrozenClock(), CountedIds(w)) for s, w in ((one, "a"), (other, "b"))
    )
    mat = first.pieces.create(read(TEETH), "loom").stream
    for number in range(10):
        assert lay(first, mat, number, "phone").seq == 2 * number + 2
        assert lay(second, mat, number + 1, "laptop").seq == 2 * number + 3
    assert first.pieces.open(mat) == second.pieces.open(mat) == fold(second.pieces.entries_after(mat, 0))
    assert [entry.seq for entry in second.pieces.entries_after(mat, 4, 3)] == [5, 6, 7]
    one.close()
    other.close()


def test_a_place_taken_by_a_quicker_program_is_found_again() -> None:
    class Overtaken(FakeLog):
        """Someone else appends just before, twice."""

        times = 2

        def append(self, entry: Entry) -> int | None:
            if entry.kind == "change" and self.times:
                self.times -= 1
                command = {"op": "set", "node": "piece", "field": "units", "value": "imperial"}
                payload = {"op": command, "inverse": {**command, "value": None}, "name": "x"}
                super().append(replace(entry, id=f"quick {self.times}", device="quick", payload=payload))
            return super().append(entry)

    services = wire(Overtaken(), FakeCache(), FakeFiles(), FrozenClock(), CountedIds())
    mat = services.pieces.create(read(TEETH), "loom").stream
    change = Change(id="c", device="phone", base_seq=1, command=Set(node="piece", field="name", value="Rug"))
    assert services.designing.change(mat, change) == Kept(mat, 4)
    assert services.pieces.open(mat).draft.fields["units"] == "imperial"


def test_many_hands_at_once_leave_no_hole_and_nothing_twice(tmp_path: Path) -> None:
    store = open_store(tmp_path / "store.sqlite3")
    services = wire(store.log, store.cache, FakeFiles(), FrozenClock(), CountedIds())
    mat = services.pieces.create(read(TEETH), "loom").stream
    lines = [node.id for node in walk(services.pieces.open(mat).draft) if node.kind == LINE]
    answers: list[Kept] = []

    def hand() -> None:
        for number in range(40):  # every hand sends the very same ids: one device that tries again and again
            command = Lay(line=lines[number % len(lines)], pick=number % 3 + 1, token="osm"[number % 3])
            kept = services.designing.change(mat, Change(id=f"{number}", device="phone", base_seq=1, command=command))
            assert isinstance(kept, Kept)
            answers.append(kept)

    threads = [threading.Thread(target=hand) for _ in range(6)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    entries = services.pieces.entries_after(mat, 1)
    assert [entry.seq for entry in entries] == list(range(2, 42))
    assert len({entry.id for entry in entries}) == 40
    assert sorted(kept.seq for kept in answers if kept.is_new) == list(range(2, 42))
    assert len(answers) == 240
    assert services.pieces.open(mat) == fold(services.pieces.entries_after(mat, 0))
    store.close()


def test_five_hundred_changes_in_a_row_are_all_there(place: Place) -> None:
    entries = place.run(lambda services, store: services.pieces.entries_after("mat", 0))
    assert [entry.seq for entry in entries] == list(range(1, MANY + 2))
    assert re.fullmatch(r"2026-05-01T10:00:00\.000Z", entries[-1].at)
