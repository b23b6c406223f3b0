"""The shelf: documents by collection and id, in one stream."""

from pathlib import Path
from typing import Any

import pytest

from tests.fakes import CountedIds, FakeFiles, FrozenClock, fake_services
from weftline.core.piece.entries import Entry
from weftline.errors import EntryError, EntryTooLargeError
from weftline.services.answers import Asked, Kept
from weftline.services.requests import Sender, sender_of
from weftline.services.streams import SNAPSHOT_EVERY
from weftline.store.opening import open_store
from weftline.wiring import wire


def by(number: int, device: str = "phone") -> Sender:
    return sender_of(f"{device} {number}", device)


def test_documents_are_put_exchanged_and_taken_away() -> None:
    shelf = fake_services().shelf
    assert shelf.put(("yarns", "oat"), {"colour": "#e8dfc8"}, by(1)) == Kept("shelf", 1)
    shelf.put(("looms", "oat"), {"kind": "floor"}, by(2))
    shelf.put(("yarns", "slate"), {}, by(3))
    shelf.put(("yarns", "oat"), {"colour": "#ffffff"}, by(4))
    assert shelf.get("yarns", "oat") == {"colour": "#ffffff"}
    assert list(shelf.open().documents["yarns"]) == ["oat", "slate"]
    shelf.remove(("yarns", "oat"), by(5))
    shelf.remove(("yarns", "oat"), by(6))
    assert shelf.get("yarns", "oat") is None
    assert shelf.get("attic", "oat") is None
    assert shelf.open().documents == {
        "yarns": {"slate": {}},
        "looms": {"oat": {"kind": "floor"}},
        "samples": {},
        "settings": {},
        "motifs": {},
        "follows": {},
    }
    assert shelf.open(1).documents["yarns"] == {"oat": {"colour": "#e8dfc8"}}
    assert [entry.kind for entry in shelf.entries_after(3, 2)] == ["put", "remove"]
    assert shelf.put(("yarns", "oat"), {"again": 1}, by(1)) == Kept("shelf", 1, is_new=False)
    assert shelf.get("yarns", "oat") is None


def test_entries_of_other_kinds_are_passed_over() -> None:
    services = fake_services()
    services.shelf.put(("yarns", "oat"), {}, by(1))
    services.pieces.streams.log.append(Entry("shelf", 2, "x", "dusted", 1, "phone", "2026", {}))
    assert services.shelf.open().seq == 2
    assert services.shelf.get("yarns", "oat") == {}


def test_a_document_that_two_devices_changed_is_asked_about() -> None:
    shelf = fake_services().shelf
    shelf.put(("yarns", "oat"), {"lot": 1}, by(1), base_seq=0)
    shelf.put(("yarns", "slate"), {"lot": 2}, by(1, "laptop"), base_seq=0)
    shelf.put(("yarns", "oat"), {"lot": 3}, by(2), base_seq=0)
    answer = shelf.put(("yarns", "oat"), {"lot": 4}, by(2, "laptop"), base_seq=1)
    assert isinstance(answer, Asked)
    assert [(one.what, one.node, one.now, one.asked) for one in answer.values] == [
        ("document", "oat", {"lot": 3}, {"lot": 4})
    ]
    assert isinstance(shelf.remove(("yarns", "oat"), by(3, "laptop"), base_seq=2), Asked)
    assert shelf.put(("yarns", "oat"), {"lot": 4}, by(2, "laptop"), base_seq=answer.seq) == Kept("shelf", 4)


@pytest.mark.parametrize(
    "place, document, error, says",
    [
        (
            ("attic", "x"),
            {},
            EntryError,
            "the shelf has no 'attic'; it has yarns, looms, samples, settings, motifs, follows",
        ),
        (("yarns", ""), {}, EntryError, "id: string should have at least 1"),
        (("yarns", "x"), {"n": float("inf")}, EntryError, "an entry holds JSON"),
        (("yarns", "x"), {"n": "x" * 4_000_000}, EntryTooLargeError, "at most 4 MB"),
    ],
)
def test_what_no_shelf_can_hold_is_refused(
    place: tuple[str, str], document: dict[str, Any], error: type[Exception], says: str
) -> None:
    shelf = fake_services().shelf
    with pytest.raises(error, match=says):
        shelf.put(place, document, by(1))
    with pytest.raises(EntryError, match="base_seq 7 is not there yet"):
        shelf.put(("yarns", "x"), {}, by(1), base_seq=7)
    assert shelf.open().seq == 0


def test_the_shelf_survives_and_is_no_piece(tmp_path: Path) -> None:
    for start in (0, SNAPSHOT_EVERY):
        store = open_store(tmp_path / "store.sqlite3")
        services = wire(store.log, store.cache, FakeFiles(), FrozenClock(), CountedIds())
        assert services.shelf.open().seq == start
        for number in range(start, start + SNAPSHOT_EVERY):
            services.shelf.put(("samples", f"../{number % 7}\n‮"), {"n": number}, by(number))
        assert services.pieces.list(put_away=True) == []
        store.close()
    store = open_store(tmp_path / "store.sqlite3")
    found = store.cache.snapshot("shelf", 2**53)
    assert found is not None
    assert found[0] == 2 * SNAPSHOT_EVERY
    shelf = wire(store.log, store.cache, FakeFiles(), FrozenClock(), CountedIds()).shelf
    assert len(shelf.open().documents["samples"]) == 7
    store.close()
