"""What should not get through: foreign pages, markup in names, replays, paths, floods, files too large or too new."""

from __future__ import annotations

import time
from collections.abc import Iterator

import pytest

from tests.server.conftest import HTML, JSON, Bench
from weftline.server.guard import MAX_BODY

NASTY = "<img src=x onerror=alert(1)>\"'&{{7*7}}\u202eevil\u2066\u0000".replace("\u0000", "")


@pytest.mark.parametrize(
    "host", ["example.org", "127.0.0.1.example.org", "", "10.0.0.7:8000", "127.0.0.1:x", "a@127.0.0.1"]
)
def test_a_foreign_host_is_refused(bench: Bench, host: str) -> None:
    answer = bench.browser.get("/", headers={"host": host, **HTML})
    assert answer.status_code == 421
    assert "default-src 'none'" in answer.headers["content-security-policy"]


@pytest.mark.parametrize("host", ["127.0.0.1:8000", "localhost:8000", "[::1]:8000", "127.0.0.1"])
def test_this_machine_s_own_names_are_served(bench: Bench, host: str) -> None:
    assert bench.browser.get("/", headers={"host": host}).status_code == 200


@pytest.mark.parametrize(
    "headers",
    [{"origin": "https://example.org"}, {"origin": "null"}, {"origin": "http://127.0.0.1:9999"}, {"sec-fetch-site": "cross-site"}, {"sec-fetch-site": "same-site"}],
    ids=["another site", "no origin", "another port", "cross-site", "same-site"],
)  # fmt: skip
def test_a_form_of_another_site_does_nothing(bench: Bench, headers: dict[str, str]) -> None:
    answer = bench.browser.post("/pieces/bare-warp", data={"entry": "a"}, headers={**JSON, **headers})
    assert (answer.status_code, answer.headers["content-type"]) == (403, "application/problem+json")
    assert bench.desk.summaries() == []


def test_own_forms_are_taken(bench: Bench) -> None:
    headers = {**JSON, "origin": "http://127.0.0.1:8000", "sec-fetch-site": "same-origin"}
    assert bench.browser.post("/pieces/bare-warp", data={"entry": "a"}, headers=headers).status_code == 200


def test_every_answer_carries_the_safety_headers(bench: Bench) -> None:
    for path in ("/", "/nowhere", "/static/js/main.js", "/health", "/bare-warp.webp"):
        headers = bench.browser.get(path).headers
        policy = headers["content-security-policy"]
        assert "unsafe" not in policy
        assert "frame-ancestors 'none'" in policy
        assert headers["x-content-type-options"] == "nosniff"


def test_names_of_markup_and_turning_letters_are_shown_harmlessly(bench: Bench) -> None:
    piece = bench.piece(name=NASTY)
    strip = bench.desk.sheet(piece, "tests").draft.children[0].children[0]
    bench.send(f"/pieces/{piece}/bands", base=1, strip=strip.id, text="n n n", name=NASTY)
    bench.send("/yarns", entry="y", name=NASTY, lot=NASTY[:70])
    bench.send("/looms", entry="l", name=NASTY)
    stops = [f"/pieces/{piece}/{stop}" for stop in ("sample", "design", "dress", "weave", "finish", "write-up")]
    for path in ("/", "/yarns?at=y", "/looms?at=l", "/samples", f"/find?q={NASTY}", *stops):
        page = bench.browser.get(path, headers=HTML)
        assert page.status_code == 200, path
        assert "<img src=x" not in page.text, path
        text = page.text
        for value in ('value="', "<textarea"):  # what is typed stays as it was typed, in fields alone
            text = "".join(
                part.split('"' if value == 'value="' else "</textarea>", 1)[-1] for part in text.split(value)
            )
        assert "\u202e" not in text, path
        assert "49" not in text or "{{7*7}}" in text, path
    name = bench.browser.get(f"/pieces/{piece}/files/project.json").headers["content-disposition"]
    assert (
        name
        == "attachment; filename=\"img-src-x-onerror-alert-1-7-7-evil.json\"; filename*=UTF-8''img-src-x-onerror-alert-1-7-7-evil.json"
    )


def test_a_path_in_a_name_stays_a_name(bench: Bench) -> None:
    piece = bench.piece(name="../../etc/passwd\r\nSet-Cookie: a=b")
    name = bench.browser.get(f"/pieces/{piece}/files/project.json").headers["content-disposition"]
    assert 'filename="etc-passwd-set-cookie-a-b.json"' in name


@pytest.mark.parametrize(
    "path",
    [
        "/static/../app.py",
        "/static/%2e%2e/app.py",
        "/static/..%2f..%2fapp.py",
        "/demos/..%2f..%2fx/hung.webp",
        "/swatches/..%2f.webp",
        "/pieces/..%2f../design",
    ],
)
def test_no_path_leads_out_of_its_folder(bench: Bench, path: str) -> None:
    answer = bench.browser.get(path, headers=HTML)
    assert answer.status_code in (404, 422)
    assert "import" not in answer.text


def test_an_id_sent_again_answers_the_same_and_makes_nothing_new(bench: Bench) -> None:
    first = bench.send("/pieces/bare-warp", entry="the same")
    again = bench.send("/pieces/bare-warp", entry="the same")
    assert first == again
    assert len(bench.desk.summaries()) == 1
    piece = first[1].split("/")[2]
    command = {"id": "c1", "base_seq": 1, "command": {"op": "set", "node": "piece", "field": "name", "value": "Mat"}}
    one = bench.browser.post(f"/api/pieces/{piece}/commands", json=command)
    other = bench.browser.post(f"/api/pieces/{piece}/commands", json=command)
    assert (one.status_code, one.json()) == (201, {"seq": 2, "new": True})
    assert (other.status_code, other.json()) == (200, {"seq": 2, "new": False})


def test_what_is_said_to_be_200_mb_is_refused_before_it_is_read(bench: Bench) -> None:
    asked = 0

    def body() -> Iterator[bytes]:
        nonlocal asked
        for _ in range(200):
            asked += 1
            yield b"x" * 1_000_000

    start = time.monotonic()
    headers = {"content-length": "200000000", "content-type": "multipart/form-data; boundary=b", **JSON}
    answer = bench.browser.post("/pieces/from-file", content=b"", headers=headers)
    assert answer.status_code == 413
    assert time.monotonic() - start < 2
    endless = bench.browser.post(
        "/pieces/from-file", content=body(), headers={"content-type": "multipart/form-data; boundary=b", **JSON}
    )
    assert endless.status_code in (400, 413, 422)
    assert MAX_BODY < 200_000_000


@pytest.mark.parametrize(
    "text,status,says",
    [
        ('{"weftline": 2, "yarns": {}}', 422, "Weftline: this file is of version 2, this program reads version 1; a newer Weftline may open it."),
        ("not json", 422, "Line 1, column 1 is not JSON: expecting value."),
        ("[" * 100_000, 422, "It nests too deep; a project file needs fewer than ten levels."),
        (" " * 4_000_001, 413, "A project file has at most 4 MB, this one 4.0 MB."),
    ],
    ids=["newer version", "no JSON", "nested", "too large"],
)  # fmt: skip
def test_a_file_that_is_no_piece_is_refused_in_a_sentence(bench: Bench, text: str, status: int, says: str) -> None:
    answer = bench.browser.post(
        "/pieces/from-file", data={"entry": "f"}, files={"file": ("p.json", text)}, headers=JSON
    )
    assert (answer.status_code, answer.json()["detail"]) == (status, says)
    assert bench.desk.summaries() == []


def test_five_hundred_commands_are_all_kept_and_pages_still_answer(bench: Bench) -> None:
    piece = bench.piece()
    start = time.monotonic()
    for number in range(500):
        command = {"op": "set", "node": "piece", "field": "name", "value": f"Mat {number}"}
        answer = bench.browser.post(
            f"/api/pieces/{piece}/commands", json={"id": f"c{number}", "base_seq": 1, "command": command}
        )
        assert answer.status_code == 201
    assert time.monotonic() - start < 20
    assert bench.desk.sheet(piece, "tests").seq == 501
    assert "Mat 499" in bench.browser.get("/", headers=HTML).text


@pytest.mark.parametrize(
    "data",
    [{}, {"id": "a"}, {"id": "a", "base_seq": -1, "command": {}}, {"id": "a", "base_seq": 1, "command": {"op": "eval"}}, {"id": "a", "base_seq": 99, "command": {"op": "remove", "node": "x"}}],
)  # fmt: skip
def test_a_command_that_is_none_is_a_problem_in_json(bench: Bench, data: dict[str, object]) -> None:
    answer = bench.browser.post(f"/api/pieces/{bench.piece()}/commands", json=data)
    assert (answer.status_code, answer.headers["content-type"]) == (422, "application/problem+json")
    assert set(answer.json()) >= {"type", "title", "status", "detail"}


def test_what_is_not_there_is_said_in_the_asker_s_way(bench: Bench) -> None:
    page = bench.browser.get("/pieces/none/design", headers=HTML)
    assert (page.status_code, page.headers["content-type"]) == (404, "text/html; charset=utf-8")
    problem = bench.browser.get("/api/pieces/none/plan")
    assert (problem.status_code, problem.json()["code"]) == (404, "not-there")
    assert bench.browser.get("/nowhere", headers=HTML).status_code == 404
    assert bench.browser.put("/", headers=HTML).status_code == 405
    assert bench.browser.post("/pieces/from-size", data={"width": "wide"}, headers=JSON).status_code == 422


def test_two_windows_that_write_the_same_line_are_asked(bench: Bench) -> None:
    piece = bench.piece()
    line = bench.desk.sheet(piece, "tests").draft.children[0].children[0].children[2].children[0].id
    other = bench.another_browser()
    assert bench.send(f"/pieces/{piece}/lines/{line}", base=1, text="m n n")[0] == 200
    clash = other.post(f"/pieces/{piece}/lines/{line}", data={"entry": "z", "base": 1, "text": "b n n"}, headers=JSON)
    assert (clash.status_code, clash.json()["code"]) == (409, "clash")
    page = other.post(f"/pieces/{piece}/lines/{line}", data={"entry": "z", "base": 1, "text": "b n n"}, headers=HTML)
    assert page.status_code == 409
    mine = other.post(f"/pieces/{piece}/lines/{line}", data={"entry": "z", "base": 2, "text": "b n n"}, headers=JSON)
    assert mine.status_code == 200


def test_health_proves_which_workbench_it_is(bench: Bench) -> None:
    assert bench.browser.get("/health").json()["nonce"] == "this one"


def test_the_api_tells_pieces_plan_and_entries(bench: Bench) -> None:
    piece = bench.piece()
    assert [one["id"] for one in bench.browser.get("/api/pieces").json()] == [piece]
    assert bench.browser.get(f"/api/pieces/{piece}/plan").json()["cloth"]["ends"] == 61
    assert [one["kind"] for one in bench.browser.get(f"/api/pieces/{piece}/entries?after=0").json()] == ["create"]
    assert bench.browser.get(f"/api/pieces/{piece}/entries?after=1").json() == []
