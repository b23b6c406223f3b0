"""The wiring: the data folder, the system's clock and ids, a store of a newer program."""

import re
import sqlite3
from contextlib import closing
from pathlib import Path

import pytest

from tests.pieces import TEETH, read
from tests.services.test_photographs import picture
from weftline.errors import NewerStoreError, StoreError
from weftline.wiring import RandomIds, Settings, SystemClock, data_folder, opened


def test_the_data_folder_is_for_its_owner_alone(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("WEFTLINE_DATA", str(tmp_path / "a" / "data"))
    assert data_folder() == tmp_path / "a" / "data"
    with opened() as services:
        piece = services.pieces.create(read(TEETH), "loom").stream
        photograph = services.photographs.keep(picture())
    assert (tmp_path / "a" / "data").stat().st_mode & 0o777 == 0o700
    assert (tmp_path / "a" / "data" / "photographs" / photograph.name).read_bytes() == picture()
    with opened() as services:
        assert services.pieces.open(piece).seq == 1
        assert services.photographs.read(photograph.name)[0] == photograph


def test_without_a_setting_it_is_the_platforms_folder(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv("WEFTLINE_DATA", raising=False)
    assert data_folder().name == "weftline"


def test_a_folder_that_cannot_be_made_is_told(tmp_path: Path) -> None:
    (tmp_path / "file").write_bytes(b"")
    with (
        pytest.raises(StoreError, match=r"cannot be made: .*; set WEFTLINE_DATA"),
        opened(Settings(tmp_path / "file" / "x")),
    ):
        pass


def test_a_store_of_a_newer_program_is_refused_in_one_sentence(tmp_path: Path) -> None:
    settings = Settings(tmp_path)
    with opened(settings):
        pass
    with closing(sqlite3.connect(settings.store)) as connection, connection:
        connection.execute("INSERT INTO store_version VALUES (99)")
    with (
        pytest.raises(NewerStoreError, match=r"of version 99 .* start the newer Weftline") as refused,
        opened(settings),
    ):
        pass
    assert "\n" not in str(refused.value)


def test_clock_and_ids_are_those_of_the_machine() -> None:
    assert re.fullmatch(r"20\d\d-\d\d-\d\dT\d\d:\d\d:\d\d\.\d{3}Z", SystemClock().now())
    found = {RandomIds().new() for _ in range(1000)}
    assert len(found) == 1000
    assert all(re.fullmatch("[0-9a-hjkmnp-tv-z]{12}", one) for one in found)
