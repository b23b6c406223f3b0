"""The band finder: lossless, and never longer than the pattern that the cloth was woven from.

By default 500 random pieces of each kind; with ``WEFTLINE_FULL`` set, 5,000.
"""

import json
import os
import random
from collections.abc import Callable, Sequence

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.core.weaving.patterned import patterned_piece
from tests.pieces import Piece, one_strip, own_technique, read
from tests.strategies import pieces, random_project
from weftline.core.piece.cloth import Cloth, expand
from weftline.core.piece.values import Band
from weftline.core.weaving.bands import find_bands, words_of
from weftline.core.weaving.lines import LineKind, WovenLine, lines_of_picks, lines_of_strip, whole_kind, written_token

COUNT = 5000 if "WEFTLINE_FULL" in os.environ else 500
KIND = LineKind(((1,), (2,), (3,)), 3.75)

Thrown = tuple[int, tuple[tuple[str, int], ...], int, float]
"""Shed, strands, line, height added."""


def picks_of(cloth: Cloth) -> list[Thrown]:
    """Return every pick of the first strip."""
    weaving = cloth.sections[0].strips[0].weaving
    picks = weaving.picks
    arrays = (picks.shed.tolist(), picks.wound.tolist(), picks.line.tolist(), picks.step_mm.tolist())
    return [(shed, weaving.windings[wound], line, step) for shed, wound, line, step in zip(*arrays, strict=True)]


def rewoven(cloth: Cloth, bands: Sequence[Band]) -> list[Thrown]:
    """Return every pick of the same strip with other bands, by way of the project file."""
    data = json.loads(cloth.project.model_dump_json(exclude_unset=True))
    written = [json.loads(band.model_dump_json(exclude_unset=True)) for band in bands]
    strip = data["sections"][0]["strips"][0] | {"bands": written}
    return picks_of(expand(read(data | {"sections": [{"strips": [strip]}]})))


def words_told(bands: Sequence[Piece]) -> int:
    """Count the words of a description as the weaver wrote it, from its text alone."""
    words = 0
    for band in bands:
        words += 2 + sum(len(line.split()) for line in band["lines"])
        words += sum(len(shed) for shed in band.get("sheds") or [])
        words += band.get("lines_per_cm") is not None
        words += band.get("times", 1) > 1
        words += bool(band.get("resume"))
        if band.get("mirror", "none") != "none":
            middle = band.get("middle", "single")
            words += 1 + (middle == "double")
            words += band.get("times", 1) > 1 and (band.get("joint") or middle) != middle
    return words


def told(bands: Sequence[Band]) -> list[Piece]:
    """Return bands in the project file's form, without their names."""
    return [band.model_dump(mode="json", exclude_unset=True, exclude={"name"}) for band in bands]


def found_in(*bands: Piece) -> list[Piece]:
    """Weave bands and find them again."""
    cloth = expand(read(one_strip(*bands)))
    found = find_bands(lines_of_strip(cloth, cloth.sections[0].strips[0]), whole_kind(cloth))
    assert rewoven(cloth, found.bands) == picks_of(cloth)
    return told(found.bands)


@pytest.mark.parametrize("piece_of, first", [(random_project, 0), (patterned_piece, 10_000)])
def test_the_description_is_lossless_and_no_longer_than_its_source(
    piece_of: Callable[[random.Random], Piece], first: int
) -> None:
    lossy, longer, shorter = [], [], 0
    for seed in range(first, first + COUNT):
        piece = piece_of(random.Random(seed))
        cloth = expand(read(piece))
        found = find_bands(lines_of_strip(cloth, cloth.sections[0].strips[0]), whole_kind(cloth), slips=False)
        if rewoven(cloth, found.bands) != picks_of(cloth):
            lossy.append(seed)
        ours, source = words_told(told(found.bands)), words_told(piece["sections"][0]["strips"][0]["bands"])
        assert ours == words_of(found.bands)
        longer += [seed] * (ours > source)
        shorter += ours < source
    print(f"{COUNT} pieces: {len(lossy)} lossy, {len(longer)} longer than their source, {shorter} shorter")
    assert (lossy, longer) == ([], [])


@pytest.mark.parametrize("mirror", ["lines", "picks"])
@pytest.mark.parametrize("middle", ["single", "double"])
@pytest.mark.parametrize("joint", ["single", "double"])
@pytest.mark.parametrize("times", [1, 2, 5])
def test_every_mirror_is_found_as_it_was_written(mirror: str, middle: str, joint: str, times: int) -> None:
    band: Piece = {"lines": ["o s m", "s s o *2", "m o o", "m m s", "o o s *3", "m s s"], "mirror": mirror}
    if middle == "double":
        band["middle"] = middle
    if times > 1:
        band["times"] = times
        if joint != middle:
            band["joint"] = joint
    assert found_in(band) == [band]


def test_a_band_that_resumes_is_found_as_it_was_written() -> None:
    teeth = {"lines": ["o o o", "s o o *2", "s s o", "s s m"], "mirror": "picks", "times": 3}
    home = {"lines": ["o o o *4"], "resume": True}
    assert found_in(teeth, home) == [teeth, home]


def test_sheds_and_beat_of_its_own_stay_with_a_band() -> None:
    hem = {"sheds": [[2], [1, 3]], "lines": ["o s *6"], "lines_per_cm": 4.5}
    assert found_in(hem, {"lines": ["o o o *3"]}, hem) == [hem, {"lines": ["o o o *3"]}, hem]


def test_what_has_no_pattern_is_one_band() -> None:
    lines = ["o s m", "m m o", "s o o", "o m s", "s s m", "m o s", "o o m"]
    assert found_in({"lines": lines}) == [{"lines": lines}]


def test_nothing_woven_is_no_band() -> None:
    found = find_bands([], KIND)
    assert (found.bands, found.slips, found.meant) == ((), (), ())


def test_a_round_thrown_in_another_order_is_told_as_several_lines() -> None:
    piece = one_strip({"lines": ["o s m"]}, weave=own_technique(3, [1, 2, 3], [[1], [3], [2]]))
    picks = expand(read(piece)).sections[0].strips[0].weaving.picks
    swapped = type(picks)(**{**vars(picks), "slot": picks.slot[[0, 2, 1]]})
    lines = lines_of_picks(swapped, ["o", "s", "m"], [KIND])
    assert [(line.tokens, line.back) for line in lines] == [(("o", "-", "s"), False), (("-", "m", "-"), False)]


def test_one_strand_of_a_doubled_yarn_cannot_be_written() -> None:
    with pytest.raises(ValueError, match="yarn o was thrown with one strand, but its letter means 2"):
        written_token((("o", 1),), {"o": 2})


# --- laws ------------------------------------------------------------------------------------------------------------


@st.composite
def woven_lines(draw: st.DrawFn) -> list[WovenLine]:
    """Lines of a few words, so that they often come again."""
    some = draw(st.lists(st.tuples(*[st.sampled_from(["o", "s", "-"])] * 3), min_size=1, max_size=4))
    chosen = draw(st.lists(st.tuples(st.sampled_from(some), st.booleans()), min_size=1, max_size=24))
    return [WovenLine(words if set(words) != {"-"} else ("o", "-", "-"), KIND, back) for words, back in chosen]


def thrown_by(bands: Sequence[Band]) -> list[Thrown]:
    piece = one_strip(*({"lines": ["o o o"]},)) | {"beat": {"lines_per_cm": KIND.lines_per_cm}}
    return rewoven(expand(read(piece)), bands)


def as_one_band(lines: Sequence[WovenLine]) -> Band:
    return Band(lines=tuple(" ".join([*line.tokens, *(["back"] if line.back else [])]) for line in lines))


@given(woven_lines())
def test_any_lines_are_told_without_loss_and_no_longer_than_one_by_one(lines: list[WovenLine]) -> None:
    found = find_bands(lines, KIND)
    assert thrown_by(found.bands) == thrown_by([as_one_band(lines)])
    single = [WovenLine(line.tokens, KIND, line.back and line.picks > 1) for line in lines]
    assert words_of(found.bands) <= words_of([as_one_band(single)])


@given(woven_lines(), st.integers(2, 4))
def test_weaving_it_all_again_takes_no_more_than_writing_it_once_and_saying_so(
    lines: list[WovenLine], times: int
) -> None:
    again = find_bands(lines * times, KIND, slips=False)
    single = [WovenLine(line.tokens, KIND, line.back and line.picks > 1) for line in lines]
    assert words_of(again.bands) <= words_of([as_one_band(single)]) + 1


@given(woven_lines())
def test_other_colours_make_no_other_pattern(lines: list[WovenLine]) -> None:
    other = {"o": "s", "s": "o", "-": "-"}
    dyed = [WovenLine(tuple(other[word] for word in line.tokens), KIND, line.back) for line in lines]
    assert words_of(find_bands(dyed, KIND).bands) == words_of(find_bands(lines, KIND).bands)


@given(pieces(sections=1, most_strips=1))
@settings(max_examples=50)
def test_any_piece_is_told_without_loss(piece: Piece) -> None:
    cloth = expand(read(piece))
    found = find_bands(lines_of_strip(cloth, cloth.sections[0].strips[0]), whole_kind(cloth))
    assert rewoven(cloth, found.bands) == picks_of(cloth)
    assert words_of(found.bands) <= words_told(piece["sections"][0]["strips"][0]["bands"])
