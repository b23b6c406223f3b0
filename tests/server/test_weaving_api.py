"""The weaver's log over HTTP: entries sent once and twice, by several browsers, told to every open page."""

import asyncio
import json
from typing import Any

import pytest
from starlette.testclient import TestClient

from tests.server.conftest import HTML, JSON, Bench
from weftline.core.plan.steps import steps
from weftline.server.announcer import Announcer


def log(browser: TestClient, piece: str, **query: int) -> dict[str, Any]:
    answer = browser.get(f"/api/pieces/{piece}/log", params=query)
    assert answer.status_code == 200, answer.text
    found: dict[str, Any] = answer.json()
    return found


def send(browser: TestClient, piece: str, *entries: dict[str, Any]) -> tuple[int, dict[str, Any]]:
    answer = browser.post(f"/api/pieces/{piece}/log", json={"entries": list(entries)})
    return answer.status_code, answer.json()


def thrown(name: str, seq: int, *ordinals: int) -> dict[str, Any]:
    throws = [{"plan": {"seq": seq, "ordinal": ordinal}} for ordinal in ordinals]
    return {"id": name, "kind": "thrown", "base_seq": seq, "throws": throws}


@pytest.fixture
def piece(bench: Bench) -> str:
    bench.browser.get("/", headers=HTML)  # a browser is named by the first page that it opens
    return bench.piece()


def test_what_comes_is_the_plan_and_thrown_it_is_woven(bench: Bench, piece: str) -> None:
    planned = list(steps(bench.desk.plan(piece).cloth))
    found = log(bench.browser, piece, coming=5)
    assert [one["ordinal"] for one in found["coming"]] == [1, 2, 3, 4, 5]
    for one, step in zip(found["coming"], planned, strict=False):
        assert (one["shed"], [tuple(strand) for strand in one["strands"]]) == (list(step.shed), list(step.strands))
        assert (one["section"], one["strip_name"], one["band"], one["line"]) == (
            step.section,
            step.strip,
            step.band,
            step.line,
        )
    assert (found["woven_picks"], found["planned_picks"], found["weaves_here"]) == (0, len(planned), True)
    status, kept = send(bench.browser, piece, thrown("a", found["plan_seq"], 1), thrown("b", found["plan_seq"], 2, 3))
    assert status == 201
    assert [(one["id"], one["seq"], one["new"], one["held"], one["woven_picks"]) for one in kept["entries"]] == [
        ("a", 2, True, None, 1),
        ("b", 3, True, None, 3),
    ]
    found = log(bench.browser, piece, recent=2, coming=1)
    assert (found["seq"], found["woven_picks"], found["next"]["ordinal"]) == (3, 3, 4)
    assert [one["number"] for one in found["recent"]] == [2, 3]
    assert [one["ordinal"] for one in found["coming"]] == [4]


def test_sent_again_it_answers_with_the_first_place(bench: Bench, piece: str) -> None:
    first = send(bench.browser, piece, thrown("a", 1, 1))
    again = send(bench.browser, piece, thrown("a", 1, 1), thrown("b", 1, 2))
    assert first[1]["entries"][0]["seq"] == again[1]["entries"][0]["seq"] == 2
    assert [one["new"] for one in again[1]["entries"]] == [False, True]
    assert send(bench.browser, piece, thrown("a", 1, 1), thrown("b", 1, 2))[0] == 200
    assert log(bench.browser, piece)["woven_picks"] == 2


def test_the_first_that_is_refused_ends_it_and_those_before_are_named(bench: Bench, piece: str) -> None:
    status, told = send(bench.browser, piece, thrown("a", 1, 1), thrown("b", 1, 10**6), thrown("c", 1, 2))
    assert status == 422
    assert told["detail"].startswith("Throw 1000000 is not in the plan; it has throws 1 to ")
    assert [one["id"] for one in told["entries"]] == ["a"]
    assert log(bench.browser, piece)["woven_picks"] == 1


@pytest.mark.parametrize(
    "data",
    [
        {},
        {"entries": []},
        {"entries": "all"},
        {"entries": [7]},
        {"entries": [{"kind": "thrown"}]},
        {"entries": [{"kind": "gone", "id": "a"}]},
        {"entries": [{"kind": "note", "id": "a", "text": "x" * 20_000}]},
        {"entries": [{"kind": "note", "id": "a", "text": "x", "more": 1}]},
    ],
)
def test_what_is_no_entry_is_refused_in_a_sentence(bench: Bench, piece: str, data: dict[str, Any]) -> None:
    answer = bench.browser.post(f"/api/pieces/{piece}/log", json=data)
    assert (answer.status_code, answer.headers["content-type"]) == (422, "application/problem+json")
    assert answer.json()["detail"].endswith(".")
    assert log(bench.browser, piece)["seq"] == 1


def test_a_piece_that_is_not_there_is_told(bench: Bench) -> None:
    assert bench.browser.get("/api/pieces/gone/log").status_code == 404
    assert send(bench.browser, "gone", thrown("a", 1, 1))[0] == 404


def test_another_browser_takes_over_and_late_picks_are_held_for_a_choice(bench: Bench, piece: str) -> None:
    tablet = bench.another_browser()
    tablet.get("/", headers=HTML)
    send(bench.browser, piece, thrown("a", 1, 1))
    assert log(tablet, piece)["weaves_here"] is False
    assert send(tablet, piece, thrown("t", 1, 2))[1]["entries"][0]["held"] == "weaving elsewhere"
    answer = tablet.post(f"/api/pieces/{piece}/log/weave-here", json={"id": "here"})
    assert answer.status_code == 201
    assert tablet.post(f"/api/pieces/{piece}/log/weave-here", json={"id": "here"}).status_code == 200
    assert send(tablet, piece, thrown("t2", 1, 2))[1]["entries"][0]["held"] is None
    late = send(bench.browser, piece, thrown("b", 1, 2))[1]["entries"][0]
    assert late["held"] == "already woven"
    found = log(bench.browser, piece)
    assert found["weaves_here"] is False
    assert [(one["seq"], one["why"]) for one in found["held"]] == [
        (3, "weaving elsewhere"),
        (late["seq"], "already woven"),
    ]
    choice = {"id": "c", "kind": "chosen", "entries": [one["seq"] for one in found["held"]], "woven": False}
    assert send(tablet, piece, choice)[0] == 201
    assert log(tablet, piece)["held"] == []
    assert log(tablet, piece)["woven_picks"] == 2


def test_every_kind_of_entry_is_kept_as_it_was_sent(bench: Bench, piece: str) -> None:
    entries: list[dict[str, Any]] = [
        {"kind": "measured", "length_mm": 101.5, "width_mm": 402, "lines": 40, "tension": True},
        {"kind": "note", "text": "the red is short", "when": "2026-05-01T09:00:00+02:00"},
        {"kind": "photograph", "name": "0" * 64, "text": "the fell"},
        {"kind": "happened", "what": "end broken", "end": 17},
        {"kind": "happened", "what": "yarn replaced", "yarn": "m", "text": "mid-pick"},
        {"kind": "left"},
        {"kind": "rejoined", "plan": {"seq": 1, "ordinal": 5}},
        {"kind": "skipped", "throws": 2},
    ]
    named = [{"id": f"e{number}", **one} for number, one in enumerate(entries)]
    assert send(bench.browser, piece, *named)[0] == 201
    found = log(bench.browser, piece)
    for mark, one in zip(found["marks"], entries, strict=False):
        assert {"kind": mark["kind"], **mark["payload"]} == one
    assert found["next"]["ordinal"] == 7
    kinds = [one["kind"] for one in bench.browser.get(f"/api/pieces/{piece}/entries?after=1").json()]
    assert kinds == [one["kind"] for one in entries]


def test_open_pages_are_told_of_throws_and_the_design_stays_as_it_is(bench: Bench, piece: str) -> None:
    plan, told = bench.desk.plan(piece), []
    announcer: Announcer = bench.app.state.workbench.announcer

    async def heard() -> None:
        stream = announcer.stream()
        await anext(stream)
        await asyncio.to_thread(send, bench.browser, piece, thrown("a", 1, 1), thrown("b", 1, 2))
        told.extend([await anext(stream), await anext(stream)])
        await stream.aclose()  # type: ignore[attr-defined]

    asyncio.run(heard())
    assert [json.loads(one.split("data: ")[1]) for one in told] == [
        {"piece": piece, "seq": 2},
        {"piece": piece, "seq": 3},
    ]
    assert bench.desk.plan(piece) is plan
    assert bench.desk.sheet(piece, "x").undo is None


def test_the_ticks_of_the_page_go_through_the_log(bench: Bench, piece: str) -> None:
    bench.send(f"/pieces/{piece}/woven", throws=15)
    found = log(bench.browser, piece)
    assert (found["woven_picks"], found["next"]["ordinal"], found["weaves_here"]) == (15, 16, True)
    send(bench.browser, piece, thrown("a", found["plan_seq"], 16))
    assert bench.desk.progress(piece).woven == 16
    bench.send(f"/pieces/{piece}/woven", throws=12)
    assert log(bench.browser, piece)["woven_picks"] == 12
    tablet = bench.another_browser()
    tablet.post(f"/pieces/{piece}/woven", data={"entry": "t", "base": 0, "throws": 13}, headers=JSON)
    assert log(bench.browser, piece)["woven_picks"] == 13


def test_ticks_of_threading_stay_beside_the_log(bench: Bench, piece: str) -> None:
    bench.send(f"/pieces/{piece}/threaded", ends=44)
    bench.send(f"/pieces/{piece}/woven", throws=3)
    progress = bench.desk.progress(piece)
    assert (progress.threaded, progress.woven) == (44, 3)
