"""What a hand does on the cloth, as the server sees it: commands, mirrors looked at first, swaps, motifs, the warp."""

from __future__ import annotations

import io
import json
from typing import Any

import numpy as np
import pytest
from PIL import Image

from tests.server.conftest import HTML, Bench
from tests.server.test_changes import lines, node
from weftline.core.piece.draft import walk
from weftline.errors import PieceError
from weftline.formats.native import loads
from weftline.server.swaps import in_yarns, roles_of, used_roles
from weftline.server.variants import middle_of, with_mirror


def test_a_change_is_sent_as_a_command_and_only_once(bench: Bench) -> None:
    piece = bench.piece()
    seq = bench.desk.sheet(piece, "tests").seq
    command = json.dumps({"op": "lay", "line": node(bench, piece, 1, 0), "pick": 2, "token": "m"})
    for _ in range(2):
        status, _ = bench.send(f"/pieces/{piece}/change", base=seq, entry="stroke", command=command)
        assert status == 200
    assert bench.desk.sheet(piece, "tests").seq == seq + 1
    assert lines(bench, piece, 1)[0].split()[1] == "m"


@pytest.mark.parametrize("command", ["", "{", "[]", '{"op": "paint"}', '{"op": "lay", "line": 3}'])
def test_a_command_that_cannot_be_read_is_refused_in_a_sentence(bench: Bench, command: str) -> None:
    piece = bench.piece()
    status, says = bench.send(f"/pieces/{piece}/change", command=command)
    assert status == 422
    assert says.endswith(".")


def test_the_three_ways_back_are_drawn_and_only_the_mirrors_wear_outlines(bench: Bench) -> None:
    piece = bench.piece()
    band = next(one for one in walk(bench.desk.sheet(piece, "t").draft) if one.fields.get("name") == "Mountains")
    pictures = []
    for mirror in ("none", "lines", "picks"):
        answer = bench.browser.get(f"/pieces/{piece}/bands/{band.id}/middle.webp?mirror={mirror}")
        assert answer.status_code == 200
        pictures.append(np.asarray(Image.open(io.BytesIO(answer.content)).convert("RGB"), dtype=int))
    rings = [int((picture.min(axis=2) > 238).sum()) for picture in pictures]
    assert len({picture.tobytes() for picture in pictures}) == 3
    assert min(rings[1:]) > rings[0], rings
    assert bench.browser.get(f"/pieces/{piece}/bands/{band.id}/middle.webp?mirror=both").status_code == 422


def test_what_falls_twice_is_told(bench: Bench) -> None:
    piece = bench.piece()
    draft = bench.desk.sheet(piece, "t").draft
    band = next(one for one in walk(draft) if one.fields.get("name") == "Diamonds")
    backwards = middle_of(with_mirror(draft, band.id, "picks"), draft, band.id, "picks")
    lines_only = middle_of(with_mirror(draft, band.id, "lines"), draft, band.id, "lines")
    assert backwards.twice, "a band treadled backwards ends in the shed that the next one begins with"
    assert not any(word.startswith("shed") for word in lines_only.twice)


def test_a_yarn_is_swapped_everywhere_or_in_some_lines(bench: Bench) -> None:
    piece = bench.piece()
    before = loads(bench.desk.file(piece))
    some = node(bench, piece, 1, 0)
    assert bench.send(f"/pieces/{piece}/swap", yarn="n", to="m", lines=some)[0] == 200
    assert "n" not in lines(bench, piece, 1)[0].split()
    assert lines(bench, piece, 2) == list(before.sections[0].strips[0].bands[2].lines)
    assert bench.send(f"/pieces/{piece}/swap", yarn="n", to="m", base=bench.desk.sheet(piece, "t").seq)[0] == 200
    after = loads(bench.desk.file(piece))
    words = {word for band in after.sections[0].strips[0].bands for line in band.lines for word in line.split()}
    assert "n" not in words
    assert after.ground == "m"
    status, says = bench.send(f"/pieces/{piece}/swap", yarn="n", to="b", base=bench.desk.sheet(piece, "t").seq)
    assert (status, says) == (422, "No line uses n; choose another yarn to swap.")


def test_the_sheet_of_swaps_shows_the_piece_in_every_other_yarn(bench: Bench) -> None:
    piece = bench.piece()
    page = bench.browser.get(f"/pieces/{piece}/swap?yarn=n", headers=HTML).text
    assert page.count("swapped.webp") == 2
    first = page.split('src="')[1:]
    source = next(one.split('"')[0] for one in first if "swapped.webp" in one).replace("&amp;", "&")
    answer = bench.browser.get(source)
    assert answer.headers["content-type"] == "image/webp"
    assert "Which yarn shall go" in bench.browser.get(f"/pieces/{piece}/swap", headers=HTML).text


def test_a_motif_is_kept_as_roles_and_comes_in_the_yarns_of_another_piece(bench: Bench) -> None:
    first, other = bench.piece(), bench.piece("allotment-mat")
    assert bench.send(f"/pieces/{first}/motifs", lines="b n n\nm+b n b back *2", name="Steps")[0] == 200
    (motif, kept), *_ = bench.desk.shelf().documents["motifs"].items()
    assert kept["lines"] == ["first ground ground", "second+first ground first back *2"]
    page = bench.browser.get(f"/pieces/{other}/design", headers=HTML).text
    assert "Steps" in page
    assert "2 written lines" in page
    above = node(bench, other, 0, 0)
    keys = list(loads(bench.desk.file(other)).yarns)
    yarns: dict[str, Any] = {"yarn-ground": keys[1], "yarn-first": keys[2], "yarn-second": keys[3]}
    before = lines(bench, other)
    assert bench.send(f"/pieces/{other}/motifs/{motif}/use", at=above, **yarns)[0] == 200
    ground, one, two = keys[1], keys[2], keys[3]
    assert lines(bench, other) == [
        before[0],
        f"{one} {ground} {ground}",
        f"{two}+{one} {ground} {one} back *2",
        *before[1:],
    ]
    assert bench.send(f"/pieces/{other}/motifs/{motif}/remove")[0] == 200
    assert bench.desk.shelf().documents["motifs"] == {}


def test_roles_are_the_ground_then_in_the_order_in_which_they_come() -> None:
    assert roles_of(["s o o", "- r o"], "o") == ["first ground ground", "- second ground"]
    assert roles_of(["s s o"], None) == ["ground ground first"]
    assert used_roles(["first ground ground", "third - first"]) == ["ground", "first", "third"]
    assert in_yarns(["first ground - *2"], {"ground": "a", "first": "b"}) == ["b a - *2"]
    with pytest.raises(PieceError, match="the motif's second yarn has none"):
        in_yarns(["second ground ground"], {"ground": "a"})
    with pytest.raises(PieceError, match="at most 9 yarns, this one has 10"):
        roles_of([" ".join("abcdefghij")], None)


def test_ends_start_sett_and_beat_are_changed_in_one_entry(bench: Bench) -> None:
    piece = bench.piece()
    strip = bench.desk.sheet(piece, "t").draft.children[0].children[0].id
    seq = bench.desk.sheet(piece, "t").seq
    form: dict[str, Any] = {"ends": 33, "start": 3, "sett_per_cm": 3.5, "lines_per_cm": 4}
    assert bench.send(f"/pieces/{piece}/strips/{strip}", base=seq, **form)[0] == 200
    project = loads(bench.desk.file(piece))
    assert (project.sections[0].strips[0].ends, project.sections[0].strips[0].start) == (33, 3)
    assert (project.warp.sett_per_cm, project.beat.lines_per_cm) == (3.5, 4)
    assert bench.desk.sheet(piece, "t").seq == seq + 1
    status, says = bench.send(f"/pieces/{piece}/strips/{strip}", base=seq + 1, ends=0)
    assert status == 422
    assert "ends" in says


def test_the_history_shows_every_version_and_brings_one_back(bench: Bench) -> None:
    piece = bench.piece()
    before = bench.desk.file(piece)
    seq = bench.desk.sheet(piece, "t").seq
    bench.send(f"/pieces/{piece}/swap", yarn="n", to="m")
    page = bench.browser.get(f"/pieces/{piece}/history", headers=HTML).text
    assert page.index("swap yarn") < page.index("make piece")
    assert bench.browser.get(f"/pieces/{piece}/then.webp?seq={seq}").headers["content-type"] == "image/webp"
    assert bench.browser.get(f"/pieces/{piece}/then.webp?seq=99").status_code == 404
    assert bench.send(f"/pieces/{piece}/restore", base=seq + 1, seq=seq)[0] == 200
    assert bench.desk.file(piece) == before
