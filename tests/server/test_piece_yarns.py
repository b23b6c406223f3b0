"""The yarns of a piece: amounts and labels written, skeins taken from the shelf, new ones added."""

from __future__ import annotations

import re
from html import unescape
from typing import TYPE_CHECKING

import pytest

from tests.server.conftest import HTML
from weftline.formats.native import loads

if TYPE_CHECKING:
    from tests.server.conftest import Bench


def text_of(bench: Bench, piece: str) -> str:
    answer = bench.browser.get(f"/pieces/{piece}/yarns", headers=HTML)
    assert answer.status_code == 200
    return " ".join(unescape(re.sub(r"<[^>]+>", " ", answer.text)).split())


def form(bench: Bench, piece: str, key: str, **changed: object) -> dict[str, object]:
    yarn = loads(bench.desk.file(piece)).yarns[key]
    fields: dict[str, object] = {
        "name": yarn.name, "size": yarn.size or "", "fibre": yarn.fibre or "", "colour": yarn.colour,
        "lot": yarn.lot or "", "on_hand": yarn.on_hand_g or "", "strands": yarn.strands,
        "pack": yarn.pack.mass_g if yarn.pack else "",
    }  # fmt: skip
    return {**fields, **changed}


def test_an_amount_on_hand_is_written_and_the_warning_follows(bench: Bench) -> None:
    piece = bench.piece()
    assert "runs out" not in text_of(bench, piece)
    assert bench.send(f"/pieces/{piece}/yarns/n", 1, None, **form(bench, piece, "n", on_hand="50", pack="25"))[0] == 200
    yarn = loads(bench.desk.file(piece)).yarns["n"]
    assert (yarn.on_hand_g, yarn.pack.mass_g if yarn.pack else None) == (50, 25)
    text = text_of(bench, piece)
    assert "runs out" in text
    assert "of one lot" in text


def test_a_form_sent_back_as_it_was_changes_nothing(bench: Bench) -> None:
    piece = bench.piece()
    before = bench.desk.file(piece)
    for key in loads(before).yarns:
        bench.send(f"/pieces/{piece}/yarns/{key}", 1, None, **form(bench, piece, key))
    assert bench.desk.file(piece) == before


def test_a_skein_of_the_shelf_takes_a_yarns_place(bench: Bench) -> None:
    piece = bench.piece()
    bench.send("/yarns", name="Moss", size="Nm 6/2", fibre="wool", colour="#556633", on_hand="80")
    (skein,) = bench.desk.shelf().documents["yarns"]
    assert bench.send(f"/pieces/{piece}/yarns/take", 1, None, yarn=skein, key="m", follow="1")[0] == 200
    assert loads(bench.desk.file(piece)).yarns["m"].name == "Moss"


def test_another_yarn_is_added_and_can_be_undone(bench: Bench) -> None:
    piece = bench.piece()
    before = set(loads(bench.desk.file(piece)).yarns)
    fields = {"name": "Moss", "size": "Nm 6/2", "fibre": "wool", "colour": "#556633", "key": "z", "strands": 2}
    assert bench.send(f"/pieces/{piece}/yarns", 1, None, **fields)[0] == 200
    yarn = loads(bench.desk.file(piece)).yarns["z"]
    assert (yarn.name, yarn.strands) == ("Moss", 2)
    bench.send(f"/pieces/{piece}/undo", base=2)
    assert set(loads(bench.desk.file(piece)).yarns) == before


@pytest.mark.parametrize("key,why", [("n", "another yarn"), ("a b", "cannot stand"), ("", "cannot stand")])
def test_a_letter_that_will_not_do_is_one_sentence(bench: Bench, key: str, why: str) -> None:
    piece = bench.piece()
    fields = {"name": "Moss", "colour": "#556633", "key": key}
    status, says = bench.send(f"/pieces/{piece}/yarns", 1, None, **fields)
    assert status == 422
    assert why in says or not key
