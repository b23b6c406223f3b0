"""Laws of the project file: what is written reads back, and what a weaver wrote stays written."""

import json

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.pieces import PIECES, Piece, read
from tests.strategies import lines, pieces
from weftline.core.weave.line import read_line
from weftline.formats.native import dumps, loads


@given(pieces())
def test_a_piece_written_and_read_is_the_same_piece(piece: Piece) -> None:
    project = read(piece)
    assert loads(dumps(project)) == project


@given(pieces())
def test_reading_and_writing_again_changes_no_byte(piece: Piece) -> None:
    once = dumps(read(piece))
    assert dumps(loads(once)) == once
    assert dumps(loads(once.encode())) == once


@given(pieces())
def test_a_file_written_back_says_what_its_weaver_wrote_and_no_more(piece: Piece) -> None:
    assert json.loads(dumps(read(piece))) == json.loads(json.dumps(piece))


@given(pieces())
def test_the_order_of_keys_in_a_file_does_not_matter(piece: Piece) -> None:
    reversed_keys = dict(reversed(piece.items()))
    assert dumps(read(reversed_keys)) == dumps(read(piece))


@given(pieces())
def test_written_lines_come_back_as_written(piece: Piece) -> None:
    written = [band["lines"] for part in piece["sections"] for strip in part["strips"] for band in strip["bands"]]
    again = loads(dumps(read(piece)))
    found = [list(band.lines) for part in again.sections for strip in part.strips for band in strip.bands]
    assert found == written


@given(st.integers(1, 16).flatmap(lines))
def test_a_line_written_plainly_reads_as_the_same_line(text: str) -> None:
    line = read_line(text)
    assert read_line(line.text()) == line
    assert read_line(line.text()).text() == line.text()


@pytest.mark.parametrize("name", PIECES)
def test_each_of_the_six_pieces_reads_back_as_written(name: str) -> None:
    project = read(PIECES[name])
    assert json.loads(dumps(project)) == PIECES[name]
    assert loads(dumps(project)) == project
