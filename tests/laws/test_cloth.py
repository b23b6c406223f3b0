"""Laws of the cloth: face and back belong together, and names of shafts do not matter."""

import random
from typing import Any

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from tests.pieces import Piece, cloth_of, read
from tests.strategies import own_techniques, pieces, strips
from weftline.core.piece.cloth import Cloth
from weftline.core.plan.plan import Plan
from weftline.core.plan.plan import plan as plan_of
from weftline.core.weave.back import back_columns, float_lengths, longest_floats
from weftline.core.weave.face import Beads, face_columns
from weftline.core.weave.hang import hangs_together
from weftline.core.weave.picks import Weaving, drawdown


def weavings(piece: Piece) -> list[Weaving]:
    return [strip.weaving for section in cloth_of(piece).sections for strip in section.strips]


def floats(weaving: Weaving) -> Any:
    """(picks, ends) int: the length of each pick's float behind each end."""
    return np.stack([float_lengths(int(shed), weaving.ends) for shed in weaving.picks.shed])


def assert_covers_height(beads: Beads, height_mm: float) -> None:
    assert beads.low_mm[0] == 0
    assert beads.high_mm[-1] == height_mm
    assert np.array_equal(beads.low_mm[1:], beads.high_mm[:-1])
    assert (beads.high_mm > beads.low_mm).all()
    assert (np.diff(beads.pick) > 0).all()


@given(pieces())
def test_a_pick_floats_behind_an_end_exactly_where_it_does_not_cover_it(piece: Piece) -> None:
    for weaving in weavings(piece):
        assert np.array_equal(floats(weaving) == 0, drawdown(weaving))


@given(pieces())
def test_the_drawdown_says_of_every_pick_and_end_what_covers_says(piece: Piece) -> None:
    for weaving in weavings(piece):
        table = [[weaving.covers(pick, end) for end in range(len(weaving.ends))] for pick in range(len(weaving.picks))]
        assert drawdown(weaving).tolist() == table


@given(pieces())
def test_the_beads_of_a_column_fill_its_height_without_gap_or_overlap(piece: Piece) -> None:
    for weaving in weavings(piece):
        for beads, covered in zip(face_columns(weaving), drawdown(weaving).T, strict=True):
            assert len(beads.pick) == covered.sum()
            if len(beads.pick):
                assert_covers_height(beads, weaving.picks.height_mm)


@given(pieces())
def test_every_bead_is_of_a_pick_that_covers_that_end(piece: Piece) -> None:
    for weaving in weavings(piece):
        for end, beads in enumerate(face_columns(weaving)):
            assert all(weaving.covers(int(pick), end) for pick in beads.pick)


@given(pieces())
def test_every_bead_stands_around_the_height_of_its_pick(piece: Piece) -> None:
    for weaving in weavings(piece):
        centres = weaving.picks.centre_mm
        for beads in face_columns(weaving):
            assert ((beads.low_mm < centres[beads.pick]) & (centres[beads.pick] < beads.high_mm)).all()
            assert np.array_equal(beads.at(centres[beads.pick]), beads.pick)


@given(pieces())
def test_what_shows_on_the_back_is_never_a_pick_that_covers_the_end(piece: Piece) -> None:
    for weaving in weavings(piece):
        for end, column in enumerate(back_columns(weaving)):
            behind = np.concatenate([column.shows.pick, column.under])
            assert not any(weaving.covers(int(pick), end) for pick in behind)


@given(pieces())
def test_every_pick_behind_an_end_shows_on_the_back_or_lies_under(piece: Piece) -> None:
    for weaving in weavings(piece):
        lengths = floats(weaving)
        for end, column in enumerate(back_columns(weaving)):
            behind = sorted([*column.shows.pick.tolist(), *column.under.tolist()])
            assert behind == np.flatnonzero(lengths[:, end]).tolist()
            if len(column.shows.pick):
                assert_covers_height(column.shows, weaving.picks.height_mm)


@given(pieces())
def test_what_lies_under_on_the_back_is_shorter_than_what_shows_in_its_line(piece: Piece) -> None:
    for weaving in weavings(piece):
        lengths, line = floats(weaving), weaving.picks.line
        for end, column in enumerate(back_columns(weaving)):
            shown = {int(line[pick]): int(lengths[pick, end]) for pick in column.shows.pick}
            assert all(lengths[pick, end] < shown[int(line[pick])] for pick in column.under)
            assert all(lengths[pick, end] == shown[int(line[pick])] for pick in column.shows.pick)


@given(pieces())
def test_the_longest_floats_are_the_longest_that_any_pick_has(piece: Piece) -> None:
    for weaving in weavings(piece):
        found = longest_floats(weaving)
        assert found[0].ends == floats(weaving).max()
        assert sum(one.picks for one in found) == len(weaving.picks)
        assert [one.ends for one in found] == sorted((one.ends for one in found), reverse=True)


@st.composite
def numbered_anew(draw: st.DrawFn) -> tuple[Piece, Piece]:
    """A piece in a technique written out, and the same piece with its shafts numbered otherwise."""
    technique = draw(own_techniques())
    order = draw(st.permutations(range(1, technique["shafts"] + 1)))
    section = {"strips": draw(strips(technique, draw(st.integers(1, 2))))}

    def renamed(sheds: list[list[int]]) -> list[list[int]]:
        return [[order[shaft - 1] for shaft in shed] for shed in sheds]

    def piece(technique: Piece, section: Piece) -> Piece:
        yarns: Piece = {"o": {}, "s": {}, "m": {}, "b2": {}}
        return {"weftline": 1, "yarns": yarns, "weave": {"technique": technique}, "sections": [section]}

    other = {
        "shafts": technique["shafts"],
        "threading": [order[shaft - 1] for shaft in technique["threading"]],
        "sheds": renamed(technique["sheds"]),
    }
    bands = [
        [{**band, "sheds": renamed(band["sheds"])} if "sheds" in band else band for band in strip["bands"]]
        for strip in section["strips"]
    ]
    again = [{**strip, "bands": own} for strip, own in zip(section["strips"], bands, strict=True)]
    return piece(technique, section), piece(other, {"strips": again})


def seen(plan: Plan) -> list[tuple[str, str, str | None, str | None, int | None, int | None]]:
    """The findings without the words that name shafts."""
    return sorted(
        (one.code, one.severity.value, one.where.strip, one.where.band, one.where.line, one.where.pick)
        for one in plan.findings
        if one.code != "constant-end"  # they come shaft by shaft
    )


@given(numbered_anew())
def test_shafts_numbered_anew_weave_the_same_cloth(pair: tuple[Piece, Piece]) -> None:
    for one, other in zip(*map(weavings, pair), strict=True):
        assert np.array_equal(drawdown(one), drawdown(other))
        assert one.windings == other.windings


@given(numbered_anew())
def test_shafts_numbered_anew_give_the_same_findings(pair: tuple[Piece, Piece]) -> None:
    one, other = (plan_of(read(piece)) for piece in pair)
    assert len(one.findings) == len(other.findings)
    assert str(seen(one)) == str(seen(other))


@given(pieces())
def test_a_strip_hangs_together_exactly_where_its_whole_drawdown_does(piece: Piece) -> None:
    plan = plan_of(read(piece))
    for section, facts in zip(plan.cloth.sections, plan.sections, strict=True):
        for strip, found in zip(section.strips, facts.strips, strict=True):
            assert found.hangs_together == hangs_together(drawdown(strip.weaving))


def fell_apart(cloth: Cloth) -> bool:
    return not all(hangs_together(drawdown(strip.weaving)) for strip in cloth.sections[0].strips)


def test_random_pieces_are_of_both_kinds_those_that_hang_together_and_those_that_do_not() -> None:
    rng = random.Random(11)
    found = set()
    for _ in range(60):
        sheds = [rng.sample([1, 2, 3], rng.randint(1, 2)) for _ in range(3)]
        technique = {"shafts": 3, "threading": [1, 2, 3, 2], "sheds": sheds}
        strips = [{"ends": 9, "bands": [{"lines": ["o o o"]}]}]
        piece: Piece = {
            "weftline": 1,
            "yarns": {"o": {}},
            "weave": {"technique": technique},
            "sections": [{"strips": strips}],
        }
        found.add(fell_apart(cloth_of(piece)))
    assert found == {True, False}
