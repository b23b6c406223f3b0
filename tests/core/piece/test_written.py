"""What a weaver wrote against its own piece: what is understood, and what each refusal says and where."""

import re
from typing import Any

import pytest

from tests.pieces import PLAIN_GROUND, WOOL, Piece, changed, one_strip, own_technique, read
from weftline.core.piece.values import Project
from weftline.core.piece.written import LineReader, listed, technique_of
from weftline.errors import PieceError

BAND = ("sections", 0, "strips", 0, "bands", 0)


@pytest.mark.parametrize(
    "words,last,says",
    [
        pytest.param(["o"], "or", "o", id="one word"),
        pytest.param(["o", "s"], "or", "o or s", id="two words"),
        pytest.param(["o", "r", "s"], "and", "o, r and s", id="three words"),
        pytest.param(list("abcdefghijkl"), "or", "a, b, c, d, e, f, g, h, i, j, k or l", id="twelve words"),
        pytest.param(list("abcdefghijklm"), "or", "a, b, c, d, e, f, g, h, i, j, k or another", id="more are cut"),
    ],
)
def test_words_are_listed_as_a_sentence_does(words: list[str], last: str, says: str) -> None:
    assert listed(words, last) == says


@pytest.mark.parametrize(
    "path,value,where,says",
    [
        pytest.param(
            ("weave", "technique"), "krokbrgd", "weave.technique",
            "no technique is called 'krokbrgd'; did you mean 'krokbragd'?", id="a slip in a technique's name",
        ),
        pytest.param(
            ("weave", "technique"), "zzz", "weave.technique",
            "no technique is called 'zzz'; use krokbragd, boundweave, boundweave on opposites, two against two or "
            "weft-faced plain weave, or write out shafts, threading and sheds", id="a technique that nobody knows",
        ),
        pytest.param(
            ("weave", "technique"), "Double Krokbragd", "weave.technique",
            "weavers use the name 'Double Krokbragd' for more than one threading; write out its shafts, threading "
            "and sheds", id="a technique with more than one threading",
        ),
        pytest.param(
            ("weave",), own_technique(2, [1, 2, 3], [[1], [2]]), "weave.technique.threading[2]",
            "shaft 3 is not there; the technique has 2", id="a threading on a shaft too many",
        ),
        pytest.param(
            ("weave",), own_technique(2, [1, 2], [[1], [2, 3]]), "weave.technique.sheds[1]",
            "shaft 3 is not there; the technique has 2", id="a technique's shed with a shaft too many",
        ),
        pytest.param(
            ("weave",), own_technique(2, [1, 2], [[1, 1], [2]]), "weave.technique.sheds[0]",
            "a shed names each shaft once, this one is [1, 1]", id="a technique's shed with a shaft twice",
        ),
        pytest.param(
            (*BAND, "sheds"), [[1], [4], [2]], "sections[0].strips[0].bands[0].sheds[1]",
            "shaft 4 is not there; the technique has 3", id="a band's shed with a shaft too many",
        ),
        pytest.param(
            (*BAND, "sheds"), [[1], [2], [3, 1, 3]], "sections[0].strips[0].bands[0].sheds[2]",
            "a shed names each shaft once, this one is [3, 1, 3]", id="a band's shed with a shaft twice",
        ),
        pytest.param(
            ("yarns", "back"), {}, "yarns",
            "a yarn cannot be called 'back'; use a letter, or a short word of letters and digits", id="a yarn called back",
        ),
        pytest.param(
            ("yarns", "x" * 50), {}, "yarns", f"a yarn cannot be called '{'x' * 20}...'; use a letter",
            id="a yarn with a long name",
        ),
        pytest.param(("yarns", ""), {}, "yarns", "a yarn cannot be called ''; use a letter", id="a yarn called nothing"),
        pytest.param(("ground",), "q", "ground", "no yarn is called 'q'; use o, s, m or w", id="a ground that is no yarn"),
        pytest.param(
            ("warp", "yarn"), "linen", "warp.yarn", "no yarn is called 'linen'; use o, s, m or w", id="a warp that is no yarn"
        ),
        pytest.param(
            (*BAND, "lines", 0), "o q o", "sections[0].strips[0].bands[0].lines[0]",
            "no yarn is called q; use o, s, m or w", id="a line in a yarn that is not there",
        ),
        pytest.param(
            (*BAND, "lines", 0), "o q+o o", "sections[0].strips[0].bands[0].lines[0]",
            "no yarn is called q; use o, s, m or w", id="a yarn that is not there wound with another",
        ),
        pytest.param(
            (*BAND, "lines"), ["o o o", "o o"], "sections[0].strips[0].bands[0].lines[1]",
            "'o o' gives 2 yarns for 3 sheds; give each shed a yarn or '-'", id="too few yarns",
        ),
        pytest.param(
            (*BAND, "lines", 0), "o", "sections[0].strips[0].bands[0].lines[0]",
            "'o' gives 1 yarn for 3 sheds", id="one yarn",
        ),
        pytest.param(
            (*BAND,), {"sheds": [[1]], "lines": ["o o"]}, "sections[0].strips[0].bands[0].lines[0]",
            "'o o' gives 2 yarns for 1 shed; give each shed", id="two yarns for one shed",
        ),
        pytest.param(
            (*BAND, "lines", 0), "o o o bck", "sections[0].strips[0].bands[0].lines[0]",
            "'o o o bck' gives 4 yarns for 3 sheds", id="a slip in back that could be a yarn",
        ),
        pytest.param(
            (*BAND, "lines", 0), "- - -", "sections[0].strips[0].bands[0].lines[0]",
            "no pick is thrown; give at least one shed a yarn", id="a line that throws nothing",
        ),
        pytest.param(
            (*BAND, "lines", 0), "o o o *0", "sections[0].strips[0].bands[0].lines[0]",
            "'*0' does not say how often: write *2 for twice", id="a line no times",
        ),
        pytest.param(
            (*BAND, "lines", 0), "o o o " + " " * 400, "sections[0].strips[0].bands[0].lines[0]",
            "a line has at most 400 characters, this one has 406", id="a line too long",
        ),
    ],
)  # fmt: skip
def test_a_piece_is_refused(path: tuple[str | int, ...], value: Any, where: str, says: str) -> None:
    with pytest.raises(PieceError, match=re.escape(f"{where}: {says}")) as caught:
        read(changed(PLAIN_GROUND, path, value))
    assert caught.value.path == where


@pytest.mark.parametrize(
    "path,value",
    [
        pytest.param(("weave", "technique"), "\u0001" * 80, id="a technique's name of control characters"),
        pytest.param((*BAND, "lines", 0), "o " * 199, id="a line of 199 yarns"),
        pytest.param((*BAND, "lines", 0), "o o " + "x" * 390, id="a yarn of 390 letters"),
        pytest.param((*BAND, "lines", 0), "o o \u0001" + "\u0001" * 380, id="a yarn of control characters"),
        pytest.param(("yarns", "\U000e0001" * 30), {}, id="a yarn key of tags"),
    ],
)
def test_a_refusal_is_short_however_long_the_value(path: tuple[str | int, ...], value: Any) -> None:
    with pytest.raises(
        PieceError, match=r"no technique|for 3 sheds|neither a yarn|no yarn|cannot be called|no key has"
    ) as caught:
        read(changed(PLAIN_GROUND, path, value))
    assert len(str(caught.value)) < 300
    assert str(caught.value).isprintable()


def test_a_technique_written_out_is_taken_as_it_is() -> None:
    found = technique_of(read(one_strip({"lines": ["o s"]}, weave=own_technique(3, [3, 1, 2], [[2, 1], [3]]))))
    assert (found.name, found.shafts, found.threading, found.sheds) == ("own", 3, (3, 1, 2), ((2, 1), (3,)))
    assert found.source == "written out in the piece"


def test_a_piece_without_a_technique_is_krokbragd() -> None:
    assert technique_of(read(PLAIN_GROUND)).name == "krokbragd"


def reader(piece: Piece) -> tuple[Project, LineReader]:
    project = read(piece)
    return project, LineReader(project, technique_of(project))


def test_lines_are_read_against_the_sheds_of_their_band() -> None:
    project, lines = reader(one_strip({"lines": ["o - s"]}, {"sheds": [[2, 1], [3]], "lines": ["s+o s back *2"]}))
    first, second = (lines.read(band, "here") for band in project.sections[0].strips[0].bands)
    assert first.sheds == (0b001, 0b010, 0b100)
    assert first.windings == ((0, -1, 1),)
    assert second.sheds == (0b011, 0b100)
    assert second.windings == ((2, 1),)
    assert (second.lines[0].back, second.lines[0].times) == (True, 2)
    assert list(lines.windings) == [(("o", 2),), (("s", 2),), (("o", 1), ("s", 1))]


def test_yarns_wound_alike_are_one_winding_however_they_are_written() -> None:
    project, lines = reader({**one_strip({"lines": ["o o+o s+o", "o+s o o"]}), "yarns": WOOL})
    read_band = lines.read(project.sections[0].strips[0].bands[0], "here")
    assert read_band.windings == ((0, 0, 1), (1, 0, 0))


def test_one_line_read_for_different_numbers_of_sheds_is_refused_where_it_does_not_fit() -> None:
    with pytest.raises(PieceError, match=re.escape("bands[1].lines[0]: 'o o o' gives 3 yarns for 2 sheds")):
        read(one_strip({"lines": ["o o o"]}, {"sheds": [[1], [2]], "lines": ["o o o"]}))
