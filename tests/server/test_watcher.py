"""What other programs write reaches the open pages, once, and nothing goes out when nothing was written."""

from __future__ import annotations

import asyncio
import json
import time
from collections.abc import AsyncIterator, Iterator
from pathlib import Path

import pytest
from starlette.testclient import TestClient

from tests.server.conftest import BASE
from weftline.errors import StoreError
from weftline.server import watcher
from weftline.server.announcer import Announcer
from weftline.server.app import create_app
from weftline.server.demos import demo_projects
from weftline.server.desk import Desk, Hand, fresh_id
from weftline.server.watcher import look, watched
from weftline.services.following import Place
from weftline.services.requests import sender_of
from weftline.wiring import Services, Settings, opened

PAD = demo_projects()["kneeling-pad"]


class Told(Announcer):
    """Writes down what is said."""

    def __init__(self) -> None:
        super().__init__()
        self.said: list[tuple[str, int]] = []

    def tell_again(self, piece: str, seq: int) -> None:
        self.said.append((piece, seq))


class Two:
    """A workbench's desk, and another program, on one store."""

    def __init__(self, here: Services, there: Services) -> None:
        assert here.watch is not None
        self.there = there
        self.told = Told()
        self.desk = Desk(here, self.told)
        self.watch = here.watch

    def look(self) -> list[tuple[str, int]]:
        """Look once; return what is said because of it."""
        before = len(self.told.said)
        look(self.desk, self.watch)
        return self.told.said[before:]

    def hand(self) -> Hand:
        return Hand("browser", fresh_id(), 0)


@pytest.fixture
def two(tmp_path: Path) -> Iterator[Two]:
    with opened(Settings(tmp_path)) as here, opened(Settings(tmp_path)) as there:
        yield Two(here, there)


def test_what_was_there_at_the_start_is_no_news(two: Two) -> None:
    two.there.pieces.create(PAD, "shell")
    assert two.look() == []


def test_an_import_and_a_change_elsewhere_are_told_once(two: Two) -> None:
    two.look()
    piece = two.there.pieces.create(PAD, "shell").stream
    assert two.look() == [(piece, 1)]
    two.there.designing.rename(piece, "Other", "r", "shell", 1)
    two.there.pieces.put_away(piece, "shell")
    assert two.look() == [(piece, 3)]
    assert two.look() == []
    assert [one.name for one in two.desk.summaries(put_away=True)] == ["Other"]


def test_what_was_written_here_is_not_told_a_second_time(two: Two) -> None:
    two.look()
    piece = two.desk.create(PAD, two.hand())
    two.desk.tick(piece, two.hand(), woven=3)
    assert two.told.said == [(piece, 1), (piece, 2)]
    assert two.look() == []


def test_a_look_that_comes_first_leaves_nothing_to_say_twice(two: Two) -> None:
    two.look()
    told, two.told.tell = two.told.tell, lambda piece, seq: None  # type: ignore[method-assign]
    piece = two.desk.create(PAD, two.hand())
    two.told.tell = told  # type: ignore[method-assign]
    assert two.look() == [(piece, 1)]
    two.told.tell(piece, 1)
    assert two.told.said == [(piece, 1)]


def test_a_shelf_yarn_changed_elsewhere_is_followed_here(two: Two) -> None:
    two.desk.put("yarns", "skein", {"name": "Madder", "colour": "#a8332e"}, Hand("browser", "skein", 0))
    piece = two.desk.create(PAD, two.hand())
    two.desk.take("skein", Place(piece, "m"), two.hand(), follow=True)
    two.look()
    shelf = two.there.shelf.open().seq
    two.there.shelf.put(("yarns", "skein"), {"name": "Madder", "colour": "#c0554e"}, sender_of("x", "shell"))
    assert set(two.look()) == {("shelf", shelf + 1), ("shelf", shelf + 2), (piece, 3)}
    assert two.desk.plan(piece).project.yarns["m"].colour == "#c0554e"
    assert two.look() == []


class CountedWatch:
    """Says each time what it was given to say; an exception is raised."""

    def __init__(self, *answers: bool | Exception) -> None:
        self.answers = list(answers)
        self.asked = 0

    def changed(self) -> bool:
        self.asked += 1
        answer = self.answers.pop(0) if self.answers else False
        if isinstance(answer, Exception):
            raise answer
        return answer


def test_the_task_goes_on_after_a_store_that_could_not_be_asked_and_ends_at_once(
    two: Two, monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture
) -> None:
    monkeypatch.setattr(watcher, "EVERY_S", 0.01)
    monkeypatch.setattr(watcher, "AGAIN_S", 0.01)
    watch = CountedWatch(True, StoreError("the disk is away"), True)
    news: list[int] = []
    monkeypatch.setattr(two.desk, "tell_news", lambda: news.append(watch.asked))

    async def run() -> int:
        async with watched(two.desk, watch):
            while watch.asked < 6:
                await asyncio.sleep(0.01)
        asked = watch.asked
        await asyncio.sleep(0.1)
        assert watch.asked == asked
        return len([task for task in asyncio.all_tasks() if not task.done()])

    start = time.monotonic()
    assert asyncio.run(run()) == 1
    assert time.monotonic() - start < 5
    assert news == [1, 3]
    assert "new entries of other programs are not seen for now: the disk is away" in caplog.text


def test_an_open_page_hears_of_an_import_within_a_second(tmp_path: Path) -> None:
    async def first_entry(stream: AsyncIterator[str]) -> dict[str, object]:
        async for text in stream:
            if text.startswith("event: entry"):
                found: dict[str, object] = json.loads(text.split("data: ")[1])
                return found
        raise AssertionError("the stream ended")

    with opened(Settings(tmp_path)) as here, opened(Settings(tmp_path)) as there:
        app = create_app(here)
        with TestClient(app, base_url=BASE) as browser:
            assert browser.get("/health").status_code == 200
            time.sleep(3 * watcher.EVERY_S)  # the first look only learns what is there
            announcer: Announcer = app.state.workbench.announcer

            async def listen() -> dict[str, object]:
                task = asyncio.create_task(first_entry(announcer.stream()))
                await asyncio.sleep(0.05)
                await asyncio.to_thread(there.pieces.create, PAD, "shell", "e", "pad")
                return await asyncio.wait_for(task, 5 * watcher.EVERY_S + 1)

            assert asyncio.run(listen()) == {"piece": "pad", "seq": 1}
