"""Other sizes, one thing at a time: borders, pairs and rows, two widths, wool at hand, other yarns and setts."""

from itertools import pairwise
from pathlib import Path
from typing import Final

import pytest

from tests.core.compose.sized import finished, line_tokens, of_bands, tokens
from tests.pieces import BLOCKS, TEETH, TWO_STRAPS, WOOL, Piece, changed, one_strip, own_technique, read
from weftline.core.compose.ends import StripEnds, share_ends
from weftline.core.compose.lines import scaled_times
from weftline.core.compose.resize import as_wide_as, longest_from_wool, resize
from weftline.core.compose.wish import Resized, Wish
from weftline.core.piece.cloth import expand
from weftline.core.piece.values import Project, Yarn
from weftline.core.plan.plan import plan
from weftline.errors import PieceError
from weftline.formats.native import loads

EXAMPLES: Final = Path(__file__).parents[3] / "src" / "weftline" / "examples"
HEM: Final[Piece] = {"name": "Hem", "lines": ["o o o *4"]}
SPOT: Final[Piece] = {"name": "Spot", "lines": ["s o o", "s s o"]}
TOOTH: Final[Piece] = {"name": "Tooth", "lines": ["m o o", "m m o", "m m m"]}


def example(name: str) -> Project:
    return loads((EXAMPLES / f"{name}.json").read_text(encoding="utf-8"))


def piece(*bands: Piece, ends: int = 37, **keys: object) -> Project:
    beat = {"beat": {"lines_per_cm": 4}, "warp": {"yarn": "w", "sett_per_cm": 2.5}}
    return read(one_strip(*bands, ends=ends) | beat | keys)


def names(found: Resized, strip: int = 0) -> list[tuple[str | None, int]]:
    return [(band.name, band.times) for band in found.project.sections[0].strips[strip].bands]


def longer(project: Project, factor: float) -> Resized:
    return resize(project, Wish(length_mm=finished(expand(project), 0)[1] * factor))


# --- length ------------------------------------------------------------------------------------------------------------


def test_only_what_repeats_between_the_borders_comes_more_often() -> None:
    found = longer(piece(HEM | {"times": 2}, SPOT, TOOTH | {"times": 4}, SPOT | {"times": 2}, HEM), 3)
    assert names(found) == [("Hem", 2), ("Spot", 1), ("Tooth", 19), ("Spot", 9), ("Hem", 1)]
    assert "Tooth comes 19 times instead of 4 and Spot comes 9 times instead of twice." in found.sentences[0]


def test_bands_that_answer_each_other_grow_together() -> None:
    found = longer(piece(HEM, SPOT | {"times": 3}, TOOTH, SPOT | {"times": 3}, HEM), 2)
    times = [times for _, times in names(found)]
    assert times == [1, times[1], 1, times[1], 1]
    assert times[1] > 3


def test_without_repeats_what_lies_between_the_borders_comes_again_as_a_run() -> None:
    found = longer(piece(HEM, SPOT, TOOTH, SPOT | {"mirror": "lines"}, HEM | {"lines": ["m m m *3"]}), 2.2)
    assert [name for name, _ in names(found)] == ["Hem", *["Spot", "Tooth", "Spot"] * 3, "Hem"]
    assert [times for _, times in names(found)] == [1] * 11


def test_a_row_that_comes_again_is_continued_where_it_stopped() -> None:
    row = [SPOT, TOOTH, SPOT, TOOTH, SPOT]
    found = longer(piece(HEM, *row, HEM), 1.6)
    assert [name for name, _ in names(found)] == ["Hem", *["Spot", "Tooth"] * 4, "Spot", "Hem"]
    back = resize(found.project, Wish(length_mm=finished(expand(piece(HEM, *row, HEM)), 0)[1]))
    assert [name for name, _ in names(back)] == ["Hem", *[band["name"] for band in row], "Hem"]


def test_a_border_of_several_bands_is_kept_as_it_is() -> None:
    found = longer(piece(HEM, TOOTH, SPOT, TOOTH, HEM), 2)
    assert [name for name, _ in names(found)] == ["Hem", "Tooth", "Spot", "Tooth", "Hem"]
    assert names(found)[2][1] > 1


def test_a_single_band_repeats_and_of_two_the_taller_one() -> None:
    assert names(longer(piece(SPOT), 3)) == [("Spot", 3)]
    assert names(longer(piece(HEM, SPOT), 2)) == [("Hem", 2), ("Spot", 1)]


def test_times_are_the_nearest_that_there_are() -> None:
    project = piece(HEM, TOOTH | {"times": 2, "mirror": "picks"}, HEM | {"lines": ["m m m *3"]})
    sizes = {}
    for times in range(1, 60):
        bands = project.sections[0].strips[0].bands
        with_times = changed(
            project.model_dump(mode="json", exclude_unset=True),
            ("sections", 0, "strips", 0, "bands", 1, "times"),
            times,
        )
        sizes[times] = finished(expand(Project.model_validate(with_times)), 0)[1]
        assert len(bands) == 3
    for wanted in (40.0, 77.7, 123.4, 200.0, 331.0):
        best = min(sizes, key=lambda times: abs(sizes[times] - wanted))
        assert names(resize(project, Wish(length_mm=wanted)))[1][1] == best


def test_a_copy_that_would_begin_in_the_shed_before_it_resumes() -> None:
    there = {"name": "There", "lines": ["m o o", "m m o"]}
    back = {"name": "Back", "lines": ["m m s back", "m s s back"]}
    found = longer(piece(HEM, there, back, HEM | {"lines": ["s s s *3"]}), 3)
    bands = found.project.sections[0].strips[0].bands
    assert [band.name for band in bands] == ["Hem", *["There", "Back"] * 7, "Hem"]
    assert [band.name for band in bands if band.resume] == ["There"] * 6
    picks = expand(found.project).sections[0].strips[0].weaving.picks
    sheds, of = picks.shed.tolist(), picks.band.tolist()
    meetings = [
        of[at] for at, (one, other) in enumerate(pairwise(sheds), start=1) if one == other and of[at] != of[at - 1]
    ]
    assert [bands[at].name for at in meetings] == ["Back"] * 7 + ["Hem"]
    assert found.refusals == ()


def test_a_whole_that_is_its_own_mirror_stays_one() -> None:
    there: list[Piece] = [{"lines": ["o o o *3"], "mirror": "picks"}, {"lines": ["s o o", "s s o"], "times": 3}]
    home: list[Piece] = [
        {"lines": ["s s o back", "s o o back"], "times": 3},
        {"lines": ["o o o *3"], "mirror": "picks"},
    ]
    project = piece(*there, {"lines": ["m m m *2"], "mirror": "picks"}, *home)
    assert tokens(expand(project).sections[0].strips[0]) == tokens(expand(project).sections[0].strips[0])[::-1]
    found = longer(project, 2.4)
    woven = tokens(expand(found.project).sections[0].strips[0])
    assert woven == woven[::-1]
    assert found.project.sections[0].strips[0].bands[1].times > 3


def test_a_mirror_that_no_band_would_keep_is_kept_instead_of_the_length() -> None:
    a, b, c, d = "o o o", "s o o", "s s o", "m m m"
    project = piece({"lines": [a]}, {"lines": [b, c, d]}, {"lines": [c, b, a]})
    found = longer(project, 3)
    assert found.project == project
    assert "The piece is its own mirror, and no band in it can be repeated so that it stays one." in found.refusals[0]


def test_a_bare_warp_and_unlike_strips_are_told() -> None:
    bare = resize(read(one_strip(ends=37)), Wish(length_mm=300))
    assert bare.refusals == (
        "The length cannot be changed to 30.0 cm. Nothing is woven yet, so there is nothing to repeat.",
    )
    found = resize(read(TWO_STRAPS), Wish(length_mm=300, section=1))
    assert found.project == read(TWO_STRAPS)
    assert "Right is written in other bands than Left" in found.refusals[0]


def test_a_length_below_every_motif_once_is_told_and_one_beyond_a_piece_too() -> None:
    short = longer(piece(HEM, SPOT | {"times": 3}, HEM), 0.05)
    assert names(short)[1][1] == 1
    assert "every motif comes just once" in short.refusals[0]
    long = resize(piece(HEM, SPOT | {"times": 3}, HEM), Wish(length_mm=1_000_000))
    assert len(expand(long.project).sections[0].picks) > 199_990
    assert "at most 200,000 picks" in long.refusals[0]


# --- width -------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "threading, start, rest", [((1, 2, 3, 2), 1, 1), ((1, 2, 3, 2), 2, 3), ((1, 2, 3, 4, 3, 2), 1, 1)]
)
def test_ends_are_whole_repeats_and_what_balances_them(threading: tuple[int, ...], start: int, rest: int) -> None:
    base = one_strip(HEM | {"lines": ["o o"]}, weave=own_technique(4, threading, [[1, 3], [2, 4]]), ends=40)
    project = read(changed(base, ("sections", 0, "strips", 0, "start"), start))
    for wanted in (300.0, 317.0, 500.0, 666.0):
        found = resize(project, Wish(width_mm=wanted))
        ends = found.project.sections[0].strips[0].ends
        pitch = finished(expand(found.project), 0)[0] / ends
        assert ends % len(threading) == rest
        assert abs(ends * pitch - wanted) <= len(threading) * pitch / 2 + 1e-9


def test_strips_that_are_alike_stay_alike_and_keep_their_share() -> None:
    assert share_ends((1, 2, 3, 2), (StripEnds(1, 41), StripEnds(1, 81), StripEnds(1, 41)), 300, 4000) == (77, 145, 77)
    assert share_ends((1, 2, 3, 2), (StripEnds(1, 41), StripEnds(1, 41)), 300, 9) is None
    found = share_ends((1, 2, 3, 2), (StripEnds(1, 41), StripEnds(1, 41)), 300, 101)
    assert found == (49, 49)


def test_sections_on_one_warp_still_fit_it() -> None:
    found = resize(read(TWO_STRAPS), Wish(width_mm=500))
    cloth = expand(found.project)
    assert [finding.code for finding in cloth.findings] == []
    assert cloth.warp_ends == found.project.warp.ends == found.project.sections[0].strips[0].ends
    assert [strip.ends for strip in found.project.sections[1].strips] == [41, 41]
    narrow = resize(read(TWO_STRAPS), Wish(width_mm=100))
    assert expand(narrow.project).warp_ends == 85
    assert not expand(narrow.project).findings


def test_as_wide_as_the_loom_is_the_widest_that_fits() -> None:
    for name in ("kneeling-pad", "allotment-mat", "wall-piece"):
        project = example(name)
        found = as_wide_as(project)
        strip = found.project.sections[0].strips[0]
        repeat = len(expand(project).technique.threading)
        sett, loom = project.warp.sett_per_cm or 0, project.loom.weaving_width_cm or 0
        assert strip.ends / sett <= loom < (strip.ends + repeat) / sett
    assert as_wide_as(read(BLOCKS)).refusals == (
        "The width stays: the piece does not say how wide its loom weaves; give the loom's width.",
    )
    assert "is wider than the 1.0 cm that this loom weaves" in as_wide_as(example("wall-piece"), 10).refusals[0]


# --- two widths ----------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("start, width", [(1, 1200.0), (2, 1200.0), (1, 1000.0), (3, 1310.0)])
def test_two_widths_are_one_cloth_across_the_seam(start: int, width: float) -> None:
    base = example("kneeling-pad").model_dump(mode="json", exclude_unset=True)
    project = Project.model_validate(changed(base, ("sections", 0, "strips", 0, "start"), start))
    found = resize(project, Wish(width_mm=width, length_mm=900))
    two = found.two_widths
    assert two is not None
    left, right = (section.strips[0] for section in expand(found.project).sections)
    shafts = [*left.weaving.ends.tolist(), *right.weaving.ends.tolist()]
    repeat = (1, 2, 3, 2) * 200
    assert shafts == list(repeat[start - 1 :][: len(shafts)])
    assert shafts == shafts[::-1]
    assert (shafts[two.left_ends - 1], shafts[two.left_ends]) == two.seam_shafts
    assert two.seam_shafts[0] != two.seam_shafts[1]
    assert abs(two.left_ends - two.right_ends) <= 4
    balanced = [*left.weaving.ends.tolist(), *two.gives_up]
    assert balanced == balanced[::-1]
    assert tokens(left) == tokens(right)
    assert max(two.left_ends, two.right_ends) / (project.warp.sett_per_cm or 0) <= (project.loom.weaving_width_cm or 0)
    assert sum(finished(expand(found.project), place)[0] for place in (0, 1)) == pytest.approx(width, abs=7.2)


def test_check_marks_stand_every_ten_centimetres_in_the_same_line_of_both() -> None:
    found = resize(example("kneeling-pad"), Wish(width_mm=1200, length_mm=900))
    assert found.two_widths is not None
    lines = line_tokens(expand(found.project).sections[1].strips[0])
    heights = [sum(step for _, _, step in line) for line in lines]
    expected, woven = [], 0.0
    for number, height in enumerate(heights, start=1):
        foot, woven = woven, woven + height
        expected += [(mark, number) for mark in range(100, 5000, 100) if foot + 1e-6 < mark <= woven + 1e-6]
    marks = found.two_widths.marks
    assert [mark.line for mark in marks] == [line for mark, line in expected if mark < woven - 1e-6]
    assert [mark.woven_mm for mark in marks] == [100.0 * number for number in range(1, len(marks) + 1)]
    assert len(marks) == int(woven // 100)
    assert "Set a check mark every 10.0 cm" in found.sentences[-1]


def test_two_widths_of_a_loom_have_an_end_too() -> None:
    found = resize(example("kneeling-pad"), Wish(width_mm=5000))
    assert found.two_widths is not None
    assert "two widths of this loom give no more" in found.refusals[0]
    assert (found.two_widths.right_ends + 4) / 2.4 > 80
    shared = resize(example("sling-and-straps"), Wish(width_mm=2000))
    assert shared.two_widths is None
    assert "is not parted into two widths" in shared.refusals[0]


# --- wool ----------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("name, band", [("kneeling-pad", 4), ("wall-piece", 4), ("sling-and-straps", 4)])
def test_the_wool_reaches_just_so_far(name: str, band: int) -> None:
    project = example(name)
    found = longest_from_wool(project)
    first = found.ends_first
    assert first is not None

    def short(one: Project) -> list[str]:
        return [
            key for key, yarn in plan(one).yarns.items() if yarn.remains_g is not None and yarn.remains_g.value < -1e-9
        ]

    assert short(found.project) == []
    times = [one.times for one in found.project.sections[0].strips[0].bands]
    data = found.project.model_dump(mode="json", exclude_unset=True)
    for place, now in enumerate(times):
        if now > 1 and place != band:
            data = changed(data, ("sections", 0, "strips", 0, "bands", place, "times"), now + 1)
    more = Project.model_validate(changed(data, ("sections", 0, "strips", 0, "bands", band, "times"), times[band] + 1))
    assert first in short(more)
    assert "ends first" in " ".join(found.sentences)


def test_grams_said_now_outweigh_the_files_and_a_wished_length_is_an_upper_bound() -> None:
    project = example("kneeling-pad")
    little, much = (longest_from_wool(project, {"n": grams, "b": 5000, "m": 5000}) for grams in (150, 400))
    assert little.ends_first == much.ends_first == "n"
    assert names(little)[4][1] < names(much)[4][1]
    enough = resize(project, Wish(from_wool=True, length_mm=800))
    assert enough.project == resize(project, Wish(length_mm=800)).project
    assert enough.ends_first is None
    beyond = resize(project, Wish(from_wool=True, length_mm=90_000))
    assert beyond.project == longest_from_wool(project).project
    assert any("the wool does not reach so far" in refusal for refusal in beyond.refusals)


def test_too_little_wool_and_wool_that_nobody_counted_are_told() -> None:
    found = longest_from_wool(example("kneeling-pad"), {"m": 1})
    assert found.refusals[0].startswith("There is not enough Madder even for 24.5 cm, with every motif once:")
    assert found.project == example("kneeling-pad")
    assert "no yarn says how much of it there is" in longest_from_wool(read(TEETH)).refusals[0]
    unknown = longest_from_wool(read(changed(TEETH, ("yarns",), WOOL | {"m": {}})), {"m": 50, "o": 90})
    assert "m is not counted, for its size does not tell its weight." in unknown.refusals
    assert "Slate is not counted, for nobody said how much of it there is." in unknown.sentences


def test_the_warp_is_wool_too() -> None:
    project = read(changed(TEETH, ("warp",), {"yarn": "o"}))
    alone, both = (longest_from_wool(one, {"o": 500}) for one in (read(TEETH), project))
    assert names(both)[1][1] < names(alone)[1][1]


# --- sett, beat, yarn ------------------------------------------------------------------------------------------------------


def test_a_motif_that_was_square_stays_square_in_twice_the_lines() -> None:
    project = piece(HEM, TOOTH | {"times": 3}, SPOT | {"mirror": "picks"}, HEM)
    found = resize(project, Wish(lines_per_cm=8))
    before, after = (expand(one).sections[0].strips[0] for one in (project, found.project))
    assert found.project.sections[0].strips[0].bands[1].lines == ("m o o *2", "m m o *2", "m m m *2")
    heights = [[sum(step for _, _, step in band) for band in of_bands(strip)] for strip in (before, after)]
    assert heights[0][:2] == pytest.approx(heights[1][:2])
    assert heights[0][3] == pytest.approx(heights[1][3])
    assert len(line_tokens(after)) >= 2 * len(line_tokens(before)) - 2


def test_a_closer_sett_takes_lines_out_of_motifs_and_leaves_hems_their_height() -> None:
    project = piece(HEM, {"name": "Step", "lines": ["m o o *4", "m m o *4"], "times": 6}, HEM | {"lines": ["s s s *3"]})
    found = resize(project, Wish(sett_per_cm=5))
    bands = found.project.sections[0].strips[0].bands
    assert bands[1].lines == ("m o o *2", "m m o *2")
    assert (bands[0].lines, bands[2].lines) == (("o o o *4",), ("s s s *3",))
    assert bands[1].times == 12
    assert found.project.sections[0].strips[0].ends == 73
    assert finished(expand(found.project), 0) == pytest.approx(finished(expand(project), 0), abs=4)


def test_a_motif_that_cannot_be_made_lower_says_by_how_much_it_is_taller() -> None:
    found = resize(piece(HEM, TOOTH | {"times": 3}, HEM), Wish(sett_per_cm=5))
    assert found.refusals[0] == "Whole lines do not keep every motif in proportion: Tooth 100 % taller."


def test_lines_that_answer_each_other_are_rounded_alike() -> None:
    lines = ["m o o", "m m o", "m m m", "m m o", "m o o"]
    half = {"lines": ["s o o", "s s o", "s s m", "m s m"]}
    project = piece({"lines": lines}, half, {"lines": half["lines"][::-1]})
    for lines_per_cm in (5, 6, 7, 9):
        bands = resize(project, Wish(lines_per_cm=lines_per_cm)).project.sections[0].strips[0].bands
        counts = [[int(line.partition("*")[2] or 1) for line in band.lines] for band in bands]
        assert counts[0] == counts[0][::-1]
        assert counts[1] == counts[2][::-1]
        assert sum(counts[0]) == pytest.approx(5 * lines_per_cm / 4, abs=1.01)
    assert scaled_times([1, 1, 1], [False, True, True], 2.0) == (1, 3, 2)


def test_a_line_of_one_pick_does_not_come_twice() -> None:
    found = resize(piece({"lines": ["m - -", "o o o"]}), Wish(lines_per_cm=8))
    assert found.project.sections[0].strips[0].bands[0].lines[0] == "m - -"


def test_a_thicker_weft_needs_fewer_lines_by_the_root_of_its_weight() -> None:
    project = piece({"name": "All", "lines": ["o o o *6", "o o s *6"], "times": 4})
    yarns = {key: project.yarns[key].model_copy(update={"size": "Nm 1.5/2"}) for key in ("o", "s")}
    found = resize(project, Wish(yarns=yarns))
    assert found.project.beat.lines_per_cm == pytest.approx(2.0)
    assert found.project.beat.basis == "computed"
    assert found.project.sections[0].strips[0].bands[0].lines == ("o o o *3", "o o s *3")
    assert "weave a sample to be sure" in found.sentences[2]
    unknown = resize(project, Wish(yarns={"o": Yarn()}))
    assert "The size of a weft is not known" in unknown.refusals[0]
    assert unknown.project.beat == project.beat


# --- several, and wishes that are none -----------------------------------------------------------------------------------


def test_several_pieces_on_one_warp() -> None:
    found = resize(example("kneeling-pad"), Wish(pieces=3))
    assert found.project.sections[0].pieces == 3
    assert found.sentences == ("3 pieces on one warp instead of 1.",)
    assert resize(example("kneeling-pad"), Wish(pieces=1)).sentences == (
        "Nothing changes: the piece is as wished already.",
    )


@pytest.mark.parametrize(
    "wish, words",
    [
        (Wish(width_mm=0), "a width of 0 cm is none; give more than 0 and at most 1 km"),
        (Wish(length_mm=float("nan")), "a length of nan cm is none"),
        (Wish(sett_per_cm=99), "a sett of 99 ends per cm is none; give 0.1 to 60 per cm"),
        (Wish(lines_per_cm=0), "a beat of 0 lines per cm is none; give 0.05 to 200 per cm"),
        (Wish(pieces=0), "0 pieces cannot be on one warp; give 1 to 1,000"),
        (Wish(section=4), "there is no section 5; this piece has 1"),
        (Wish(width_mm=300, as_wide_as_loom=True), "a width and as wide as the loom are two wishes"),
        (Wish(yarns={"q": Yarn()}), "no yarn is called 'q'; use o, s, m or w"),
        (Wish(on_hand_g={"o": -1}), "-1 g of o cannot be on hand; give 0 or more"),
    ],
)
def test_wishes_that_are_none(wish: Wish, words: str) -> None:
    with pytest.raises(PieceError, match=words):
        resize(read(TEETH), wish)


def test_inches_are_said_to_those_who_think_in_them() -> None:
    found = resize(read(TEETH | {"units": "imperial"}), Wish(width_mm=508))
    assert found.sentences[0] == (
        "Section 1: 141 ends instead of 61, 19.8 in wide when finished; whole repeats of the threading, so that both edges "
        "end alike."
    )
