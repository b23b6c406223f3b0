"""What is done with pieces: made, written, moved, ticked, measured, put away, given out and taken in again."""

from __future__ import annotations

import json

import pytest

from tests.server.conftest import HTML, JSON, Bench
from weftline.formats.native import dumps, loads
from weftline.server.demos import demo_projects


def lines(bench: Bench, piece: str, band: int = 0) -> list[str]:
    """The written lines of a band of the first strip."""
    project = loads(bench.desk.file(piece))
    return list(project.sections[0].strips[0].bands[band].lines)


def node(bench: Bench, piece: str, band: int, line: int | None = None) -> str:
    """The id of a band, or of a line in it."""
    found = bench.desk.sheet(piece, "tests").draft.children[0].children[0].children[band]
    return found.id if line is None else found.children[line].id


def test_a_bare_warp_has_33_ends_five_wools_and_the_light_one_as_ground(bench: Bench) -> None:
    _, href = bench.send("/pieces/bare-warp")
    project = loads(bench.desk.file(href.split("/")[2]))
    assert project.sections[0].strips[0].ends == 33
    assert project.sections[0].strips[0].bands == ()
    assert len(project.yarns) == 6
    assert project.yarns[str(project.ground)].name == "Oat"


@pytest.mark.parametrize("technique,ends", [("krokbragd", 153), ("boundweave", 151)])
def test_a_size_becomes_balanced_ends_and_lines_of_ground(bench: Bench, technique: str, ends: int) -> None:
    status, href = bench.send("/pieces/from-size", width=42, length=78, name="Sling", technique=technique)
    assert status == 200
    plan = bench.desk.plan(href.split("/")[2])
    assert plan.sections[0].strips[0].balanced
    assert not [one for one in plan.findings if one.code.startswith("sett")]
    assert plan.sections[0].ends == ends
    assert plan.sections[0].size.across.finished_mm.value == pytest.approx(420, rel=0.03)
    assert plan.sections[0].size.lengths.finished_mm.value == pytest.approx(780, rel=0.01)


@pytest.mark.parametrize("demo", demo_projects())
def test_a_file_hung_up_and_given_out_is_equal(bench: Bench, demo: str) -> None:
    text = dumps(demo_projects()[demo])
    answer = bench.browser.post(
        "/pieces/from-file", data={"entry": "one"}, files={"file": ("a.json", text)}, headers=JSON
    )
    piece = answer.json()["href"].split("/")[2]
    out = bench.browser.get(f"/pieces/{piece}/files/project.json")
    assert out.text == text
    assert out.headers["content-disposition"].startswith("attachment; ")


@pytest.mark.parametrize(
    "file,kind",
    [
        ("pattern.pdf", b"%PDF"),
        ("picture.png?width=200", b"\x89PNG"),
        ("drawing.svg", b"<?xml"),
        ("steps.csv", b"ordinal"),
    ],
)
def test_everything_is_given_out(bench: Bench, file: str, kind: bytes) -> None:
    answer = bench.browser.get(f"/pieces/{bench.piece()}/files/{file}")
    assert answer.status_code == 200
    assert answer.content.startswith(kind) or (kind == b"<?xml" and b"<svg" in answer.content[:200])


def test_a_piece_is_renamed_copied_put_away_and_brought_back(bench: Bench) -> None:
    piece = bench.piece()
    assert bench.send(f"/pieces/{piece}/rename", name="Step mat") == (200, "/")
    assert bench.send(f"/pieces/{piece}/duplicate") == (200, "/")
    assert sorted(one.name for one in bench.desk.summaries()) == ["Step mat", "Step mat (copy)"]
    assert bench.send(f"/pieces/{piece}/put-away") == (200, "/")
    page = bench.browser.get("/", headers=HTML).text
    assert "Put away (1)" in page
    assert piece not in page
    assert piece in bench.browser.get("/put-away", headers=HTML).text
    assert bench.send(f"/pieces/{piece}/bring-back") == (200, "/")
    assert piece in bench.browser.get("/", headers=HTML).text


def test_a_line_is_written_inserted_moved_and_removed(bench: Bench) -> None:
    piece = bench.piece()
    before = lines(bench, piece, 3)
    line = node(bench, piece, 3, 1)
    status, href = bench.send(f"/pieces/{piece}/lines/{line}", base=1, text=" m  n n *2 ")
    assert (status, href) == (200, f"/pieces/{piece}/design?at={line}#line-card")
    assert lines(bench, piece, 3)[1] == "m n n *2"
    bench.send(f"/pieces/{piece}/lines/{line}/above", base=2, text="b b b")
    assert lines(bench, piece, 3)[1:3] == ["m n n *2", "b b b"]
    bench.send(f"/pieces/{piece}/lines/{line}/up", base=3)
    assert lines(bench, piece, 3)[1:3] == ["b b b", "m n n *2"]
    bench.send(f"/pieces/{piece}/lines/{line}/down", base=4)
    bench.send(f"/pieces/{piece}/lines/{line}/remove", base=5)
    assert lines(bench, piece, 3)[1] == "b b b"
    for _ in range(5):
        assert bench.send(f"/pieces/{piece}/undo")[0] == 200
    assert lines(bench, piece, 3) == before
    assert bench.send(f"/pieces/{piece}/undo") == (422, "Nothing of this device is left to undo.")
    assert bench.send(f"/pieces/{piece}/redo")[0] == 200
    assert lines(bench, piece, 3)[1] == "m n n *2"


def test_a_line_that_cannot_be_read_says_where_and_what_would_be_right(bench: Bench) -> None:
    piece = bench.piece()
    line = node(bench, piece, 2, 0)
    status, says = bench.send(f"/pieces/{piece}/lines/{line}", base=1, text="x n n")
    assert (status, says) == (422, "Mountains, line 1: no yarn is called x; use w, n, b or m.")
    status, says = bench.send(f"/pieces/{piece}/lines/{line}", base=1, text="n n")
    assert status == 422
    assert says.startswith("Mountains, line 1: ")


def test_bands_are_inserted_written_mirrored_moved_doubled_and_removed(bench: Bench) -> None:
    piece = bench.piece()
    strip = bench.desk.sheet(piece, "tests").draft.children[0].children[0]
    _, href = bench.send(f"/pieces/{piece}/bands", base=1, strip=strip.id, text="n n n\n\nb n n *2\n", name="Top")
    band = href.split("band-")[1]
    assert lines(bench, piece, -1) == ["n n n", "b n n *2"]
    kept = node(bench, piece, -1, 1)
    bench.send(f"/pieces/{piece}/bands/{band}/lines", base=2, text="m n n\nb n n *2\nb b b\n")
    assert lines(bench, piece, -1) == ["m n n", "b n n *2", "b b b"]
    assert node(bench, piece, -1, 1) == kept
    bench.send(
        f"/pieces/{piece}/bands/{band}", base=3, name="Crown", mirror="picks", times="3", middle="double", resume="yes"
    )
    project = loads(bench.desk.file(piece))
    found = project.sections[0].strips[0].bands[-1]
    assert (found.name, found.mirror, found.times, found.middle, found.resume) == ("Crown", "picks", 3, "double", True)
    bench.send(f"/pieces/{piece}/bands/{band}/down", base=4)
    assert node(bench, piece, -2) == band
    bench.send(f"/pieces/{piece}/bands/{band}/double", base=5)
    assert lines(bench, piece, -2) == lines(bench, piece, -3)
    bench.send(f"/pieces/{piece}/bands/{band}/remove", base=6)
    assert band not in [one.id for one in bench.desk.sheet(piece, "tests").draft.children[0].children[0].children]


def test_a_band_kept_as_it_is_changes_nothing(bench: Bench) -> None:
    piece = bench.piece()
    seq = bench.desk.sheet(piece, "tests").seq
    band = node(bench, piece, 4)
    bench.send(f"/pieces/{piece}/bands/{band}", base=seq, name="Diamonds", mirror="picks", times="4", middle="single")
    assert bench.desk.sheet(piece, "tests").seq == seq


def test_ticks_stay(bench: Bench) -> None:
    piece = bench.piece()
    bench.send(f"/pieces/{piece}/threaded", ends=44)
    bench.send(f"/pieces/{piece}/woven", throws=15)
    page = bench.browser.get(f"/pieces/{piece}/dress", headers=HTML).text
    assert "Ends 45–48" in page
    weave = bench.browser.get(f"/pieces/{piece}/weave", headers=HTML).text
    assert "Line 8" in weave
    rail = bench.browser.get("/", headers=HTML).text
    assert "Weave on" in rail
    bench.send(f"/pieces/{piece}/woven", throws=10**6)
    assert "are woven" in bench.browser.get(f"/pieces/{piece}/weave", headers=HTML).text


def test_lengths_that_were_left_alone_stay_as_they_are(bench: Bench) -> None:
    piece = bench.piece()
    before = bench.desk.file(piece)
    same = {"heading": "3", "fringe": "15", "between": "10", "sample": "25", "waste": "65", "edge": "floating"}
    bench.send(f"/pieces/{piece}/allowances", base=1, **same)
    assert bench.desk.file(piece) == before
    bench.send(f"/pieces/{piece}/allowances", base=1, **{**same, "fringe": "12,5", "edge": "doubled", "waste": ""})
    project = loads(bench.desk.file(piece))
    assert (project.allowances.fringe_each_end_cm, project.warp.edge, project.loom.waste_cm) == (12.5, "doubled", None)
    status, says = bench.send(f"/pieces/{piece}/allowances", base=2, **{**same, "heading": "a hand"})
    assert (status, says) == (422, "Heading, each end of a piece is a length in figures, not a hand.")


def test_a_yarn_lies_on_the_shelf_and_is_copied_into_a_piece(bench: Bench) -> None:
    piece = bench.piece()
    bench.send(
        "/yarns",
        entry="skein",
        name="Madder",
        size="R 550 tex / 3",
        fibre="wool",
        colour="#a8382c",
        lot="11",
        on_hand="400",
        pack="200",
    )
    page = bench.browser.get("/yarns?at=skein", headers=HTML).text
    assert "Kneeling pad" in page
    bench.send(
        "/yarns",
        at="skein",
        name="Madder",
        size="R 550 tex / 3",
        fibre="wool",
        colour="#992222",
        lot="11",
        on_hand="80",
    )
    assert bench.send("/yarns/skein/into", piece=piece, key="m") == (200, f"/pieces/{piece}/design")
    yarn = loads(bench.desk.file(piece)).yarns["m"]
    assert (yarn.colour, yarn.on_hand_g, yarn.strands) == ("#992222", 80, 2)
    bench.send("/yarns/skein/remove")
    assert "The shelf is empty" in bench.browser.get("/yarns", headers=HTML).text
    assert bench.send("/yarns/skein/into", piece=piece, key="m")[0] == 404
    assert bench.send("/yarns", name="Odd", on_hand="-4")[0] == 422
    assert bench.send("/yarns", name="Odd", on_hand="much")[0] == 422


def test_a_loom_is_kept_and_a_piece_planned_for_it(bench: Bench) -> None:
    piece = bench.piece()
    bench.send(
        "/looms",
        entry="loom",
        name="Small one",
        kind="table",
        shed="rising",
        shafts="8",
        treadles="0",
        reed="30",
        width="60",
    )
    assert bench.send("/looms/loom/for", piece=piece) == (200, f"/pieces/{piece}/dress")
    loom = loads(bench.desk.file(piece)).loom
    assert (loom.kind, loom.shafts, loom.reed_dents_per_10cm, loom.waste_cm) == ("table", 8, 30, 65)
    assert "Small one" in bench.browser.get("/looms?at=loom", headers=HTML).text
    assert bench.send("/looms/loom/remove")[0] == 200
    assert bench.send("/looms", name="Odd", shafts="900")[0] == 422


def test_settings_are_kept_for_this_device(bench: Bench) -> None:
    bench.browser.get("/")
    bench.send("/settings", units="imperial", paper="letter", theme="dark", keys="off")
    page = bench.browser.get("/settings", headers=HTML).text
    assert 'data-theme="dark"' in page
    assert 'data-keys="off"' in page
    assert 'data-theme="dark"' not in bench.another_browser().get("/settings", headers=HTML).text
    bench.send("/settings/ruler", length="80", unit="mm")
    assert 'value="80.0"' in bench.browser.get("/settings", headers=HTML).text
    _, href = bench.send("/pieces/bare-warp")
    assert json.loads(bench.desk.file(href.split("/")[2]))["units"] == "imperial"
    assert " in<span" in bench.browser.get(f"/pieces/{href.split('/')[2]}/dress", headers=HTML).text


def test_a_form_works_without_a_script(bench: Bench) -> None:
    answer = bench.browser.post("/pieces/bare-warp", data={"entry": "plain"}, headers=HTML)
    assert answer.status_code == 303
    assert answer.headers["location"].startswith("/pieces/p")
