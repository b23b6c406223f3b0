"""One piece worked by hand from beginning to end, and the plan of the same piece.

The rules, in words, from which the figures here are worked out: strip width in the reed = ends / sett;
on loom = reed x (1 - draw-in); finished = on loom x (1 - relax) x (1 - shrink). Warp = sum over
sections of pieces x ((woven + 2 heading)(1 + warp take-up) + 2 fringe), plus (all pieces - 1) x
between, sample and waste once. A heading is scrap: no lines, no weft, no finished length. Take-ups
multiply, (1 + u): warp take-up is extra warp over the woven length, weft take-up extra weft over the
width in the reed. A yarn out for more than two whole lines is cut: two tails a run, strip and strand.
Floating edges are one extra end a side of each strip. A result rests on a default if any of its
inputs does, else it is computed.

The piece is ``tests/data/bench-mat.json``. Nothing here is taken from Weftline but the answers.
"""

import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any, Final

import pytest

import weftline
from weftline.formats.plan_json import plan_data

TEXT: Final = (Path(__file__).parents[1] / "data" / "bench-mat.json").read_text(encoding="utf-8")

# --- by hand -----------------------------------------------------------------------------------------------------
# Every line of the piece as thrown, from the foot up. A pick that is dropped where a mirror or a repeat meets
# belongs to its line, so that line has one pick fewer.

FOOT: Final = ["o o o"] * 5
FORTH: Final = ["s o o", "s s o", "s s s"]
COMING_BACK: Final = ["s s", "o s s", "o o s"]  # the topmost pick is thrown once
AGAIN: Final = ["o o", "s s o", "s s s", *COMING_BACK]  # the first pick of a repeat was the last one before it
TEETH: Final = [*FORTH, *COMING_BACK, *AGAIN, *AGAIN]
HEADING: Final = ["w w"] * 4
LINES: Final = [*FOOT, *TEETH, *HEADING]

PIECES = 2
ENDS, EDGE_ENDS = 37, 2
REED_CM = 37 / 2.4
ON_LOOM_CM = REED_CM * 0.90
OFF_LOOM_CM = ON_LOOM_CM * 0.98
FINISHED_CM = OFF_LOOM_CM * 0.97

TALL_LINES = 5 + 49 / 3 + 8 / 2  # three picks a line, in the heading two
WOVEN_CM = TALL_LINES / 3.75
OFF_LOOM_LENGTH_CM = WOVEN_CM * 0.99
FINISHED_LENGTH_CM = OFF_LOOM_LENGTH_CM * 0.96

ONE_PIECE_CM = (WOVEN_CM + 2 * 4) * 1.08 + 2 * 15
WARP_CM = PIECES * ONE_PIECE_CM + (PIECES - 1) * 10 + 25 + 65
WARP_M = WARP_CM * (ENDS + EDGE_ENDS) / 100

STRANDS: Final = {"o": 2, "s": 2, "w": 1}
ONE_PASS_CM = REED_CM * 1.15
# Oat is out for two lines at each point and slate for one where the teeth repeat: neither is ever cut, so each of
# the three yarns is one run a piece.
TAILS_M: Final = {yarn: PIECES * 2 * 8 * strands / 100 for yarn, strands in STRANDS.items()}

NEC_12_6_TEX = 6 / (12 * 840 * 0.9144) * 453.59237 * 1000  # 840 yards a pound for count 1; six plies of count 12
TEX: Final = {"o": 500.0, "s": 1_000_000 / 2000, "w": NEC_12_6_TEX}


def passes(yarn: str) -> int:
    """Strands laid from edge to edge in all pieces."""
    return PIECES * STRANDS[yarn] * " ".join(LINES).split().count(yarn)


def weft_m(yarn: str) -> float:
    """Weft of all pieces, tails included."""
    return passes(yarn) * ONE_PASS_CM / 100 + TAILS_M[yarn]


def weft_g(yarn: str) -> float:
    return weft_m(yarn) * TEX[yarn] / 1000


def piece_g(warp_ends: int) -> float:
    """Mass of one finished piece with so many ends of warp, without fringes and tails."""
    warp_m = warp_ends * WOVEN_CM * 1.08 / 100
    weft = sum(passes(yarn) / PIECES * ONE_PASS_CM / 100 * TEX[yarn] for yarn in STRANDS)
    return (warp_m * TEX["w"] + weft) / 1000


# --- the plan ----------------------------------------------------------------------------------------------------


@pytest.fixture(scope="module")
def plan() -> weftline.Plan:
    return weftline.plan(weftline.loads(TEXT))


@pytest.fixture(scope="module")
def data(plan: weftline.Plan) -> dict[str, Any]:
    return plan_data(plan)


def by_yarn(rows: list[dict[str, Any]]) -> dict[str, dict[str, Any]]:
    return {row["yarn"]: row for row in rows}


def numbers(found: object) -> Iterator[float]:
    """The value of a figure, or a plain count."""
    if isinstance(found, dict):
        yield found["value"]
    elif isinstance(found, int | float):
        yield found


CLOTH = [
    pytest.param("picks", 72, id="72 picks"),
    pytest.param("lines", 27, id="27 numbered lines"),
    pytest.param("ends", 37, id="37 working ends"),
    pytest.param("woven_length_mm", 67.56, id="67.56 mm woven"),
    pytest.param("woven_length_mm", WOVEN_CM * 10, id="woven to 25 1/3 lines of 1/3.75 cm"),
    pytest.param("off_loom_length_mm", OFF_LOOM_LENGTH_CM * 10, id="1 % shorter off the loom"),
    pytest.param("finished_length_mm", FINISHED_LENGTH_CM * 10, id="4 % shorter when washed"),
    pytest.param("width_in_reed_mm", REED_CM * 10, id="37 ends at 2.4 a cm wide in the reed"),
    pytest.param("width_on_loom_mm", ON_LOOM_CM * 10, id="10 % narrower on the loom"),
    pytest.param("width_off_loom_mm", OFF_LOOM_CM * 10, id="2 % narrower off the loom"),
    pytest.param("finished_width_mm", FINISHED_CM * 10, id="3 % narrower when washed"),
    pytest.param("longest_float_ends", 3, id="floats of three ends"),
    pytest.param("longest_float_mm", 4 / 2.4 * 0.90 * 10, id="four ends apart on the loom"),
]


@pytest.mark.parametrize("key, expected", CLOTH)
def test_cloth_is_as_worked_by_hand(data: dict[str, Any], key: str, expected: float) -> None:
    near = 0.005 if expected == 67.56 else 1e-9
    assert list(numbers(data["cloth"][key])) == pytest.approx([expected], abs=near)
    assert list(numbers(data["sections"][0][key])) == pytest.approx([expected], abs=near)


def test_hand_written_lines_are_the_picks_of_the_plan(plan: weftline.Plan) -> None:
    weaving = plan.cloth.sections[0].strips[0].weaving
    found: list[list[str]] = [[] for _ in range(weaving.picks.line_count)]
    for line, wound in zip(weaving.picks.line.tolist(), weaving.picks.wound.tolist(), strict=True):
        ((yarn, strands),) = weaving.windings[wound]
        assert strands == STRANDS[yarn]
        found[line].append(yarn)
    assert [" ".join(line) for line in found] == LINES


def test_teeth_alone_are_49_picks_on_18_lines_five_of_them_incomplete(plan: weftline.Plan) -> None:
    picks = plan.cloth.sections[0].picks
    teeth = picks.band == 1
    lines = picks.line[teeth].tolist()
    assert len(lines) == 49
    assert len(set(lines)) == 18
    assert [lines.count(line) for line in sorted(set(lines))].count(2) == 5
    assert [lines.count(line) for line in sorted(set(lines))].count(3) == 13
    assert float(picks.step_mm[teeth].sum()) * 3.75 / 10 == pytest.approx(16 + 1 / 3)


def test_teeth_woven_alone_come_to_the_same() -> None:
    written = json.loads(TEXT)
    (strip,) = written["sections"][0]["strips"]
    strip["bands"] = [band for band in strip["bands"] if band["name"] == "Teeth"]
    section = weftline.plan(weftline.loads(json.dumps(written))).sections[0]
    assert (section.picks, section.lines) == (49, 18)
    assert section.size.lengths.woven_mm.value == pytest.approx(49 / 3 / 3.75 * 10)


# --- warp --------------------------------------------------------------------------------------------------------


def test_warp_is_191_9_cm_of_39_ends_74_83_m_in_all(data: dict[str, Any]) -> None:
    warp = data["warp"]
    assert warp["ends"] + warp["edge_ends"] == 39
    assert warp["length_m"]["value"] == pytest.approx(1.919, abs=0.0005)
    assert warp["length_m"]["value"] == pytest.approx(WARP_CM / 100)
    assert warp["total_m"]["value"] == pytest.approx(74.83, abs=0.005)
    assert warp["total_m"]["value"] == pytest.approx(WARP_M)


def test_parts_of_the_warp_are_the_mats_then_between_sample_and_waste(data: dict[str, Any]) -> None:
    found = [(part["what"], part["length_m"]["value"] * 100) for part in data["warp"]["parts"]]
    expected = [("Mat", 2 * ONE_PIECE_CM), ("between pieces", 10.0), ("sample", 25.0), ("loom waste", 65.0)]
    assert [what for what, _ in found] == [what for what, _ in expected]
    assert [length for _, length in found] == pytest.approx([length for _, length in expected])


# --- yarns -------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "yarn, expected",
    [pytest.param("o", 132, id="oat"), pytest.param("s", 124, id="slate"), pytest.param("w", 16, id="cotton")],
)
def test_weft_passes_count_strands_and_pieces(data: dict[str, Any], yarn: str, expected: int) -> None:
    """Oat 15 + 18 picks and slate 31, of two strands; the warp yarn eight of one; everything twice."""
    assert by_yarn(data["weft"])[yarn]["passes"] == expected == passes(yarn)


@pytest.mark.parametrize(
    "yarn, printed_m",
    [
        pytest.param("o", 24.0425, id="oat"),
        pytest.param("s", 22.6242, id="slate"),
        pytest.param("w", 3.1567, id="cotton"),
    ],
)
def test_weft_is_as_worked_by_hand(data: dict[str, Any], yarn: str, printed_m: float) -> None:
    found = by_yarn(data["weft"])[yarn]
    assert found["runs"] == PIECES
    assert found["tails_m"]["value"] == pytest.approx(TAILS_M[yarn])
    assert found["length_m"]["value"] == pytest.approx(weft_m(yarn))
    assert found["length_m"]["value"] == pytest.approx(printed_m, abs=0.00005)
    assert found["mass_g"]["value"] == pytest.approx(weft_g(yarn))


@pytest.mark.parametrize(
    "yarn", [pytest.param("w", id="cotton"), pytest.param("o", id="oat"), pytest.param("s", id="slate")]
)
def test_yarns_are_as_worked_by_hand(data: dict[str, Any], yarn: str) -> None:
    found = by_yarn(data["yarns"])[yarn]
    warp = WARP_M if yarn == "w" else 0.0
    assert found["tex"]["value"] == pytest.approx(TEX[yarn])
    assert found["warp_m"]["value"] == pytest.approx(warp)
    assert found["weft_m"]["value"] == pytest.approx(weft_m(yarn))
    assert found["mass_g"]["value"] == pytest.approx((warp + weft_m(yarn)) * TEX[yarn] / 1000)


def test_oat_costs_its_share_of_a_pack_and_none_is_to_buy(data: dict[str, Any]) -> None:
    oat = by_yarn(data["yarns"])["o"]
    assert oat["cost"]["value"] == pytest.approx(weft_g("o") / 100 * 7.0)
    assert oat["remains_g"]["value"] == pytest.approx(500 - weft_g("o"))
    assert (oat["packs"], oat["packs_to_buy"], oat["cost_to_buy"]["value"]) == (1, 0, 0.0)


def test_yarns_without_a_pack_have_no_cost(data: dict[str, Any]) -> None:
    for yarn in ("w", "s"):
        found = by_yarn(data["yarns"])[yarn]
        assert [found[key] for key in ("packs", "cost", "on_hand_g", "remains_g", "packs_to_buy", "cost_to_buy")] == (
            [None] * 6
        )


def test_piece_weighs_as_worked_by_hand(data: dict[str, Any]) -> None:
    """By its 37 working ends, or with the two floating ones that lie in the cloth as well."""
    mass = data["cloth"]["mass_g"]["value"]
    assert piece_g(ENDS) * (1 - 1e-9) <= mass <= piece_g(ENDS + EDGE_ENDS) * (1 + 1e-9)
    area_m2 = FINISHED_CM * FINISHED_LENGTH_CM / 10_000
    assert data["cloth"]["mass_per_area_g_m2"]["value"] == pytest.approx(mass / area_m2)


def test_both_mats_are_144_throws_and_take_72_minutes(data: dict[str, Any]) -> None:
    assert data["throws"] == 144
    assert data["time_h"]["value"] == pytest.approx(1.2)


def test_nothing_is_found_amiss(plan: weftline.Plan) -> None:
    assert plan.findings == ()
    assert plan.sections[0].hangs_together
    assert plan.sections[0].strips[0].balanced


# --- what each figure rests on -----------------------------------------------------------------------------------

BASES: Final = {
    # the beat is a default, and all that has the woven length in it
    "settings.line_height_mm": "default",
    "cloth.woven_length_mm": "default",
    "cloth.off_loom_length_mm": "default",
    "cloth.finished_length_mm": "default",
    "cloth.mass_g": "default",
    "cloth.mass_per_area_g_m2": "default",
    "warp.length_m": "default",
    "warp.total_m": "default",
    "warp.parts.Mat.length_m": "default",
    "yarns.w.warp_m": "default",
    "yarns.w.mass_g": "default",
    # what the piece itself says
    "warp.parts.sample.length_m": "label",
    "warp.parts.loom waste.length_m": "label",
    "yarns.w.tex": "label",
    "yarns.o.tex": "label",
    "yarns.s.tex": "label",
    "yarns.o.on_hand_g": "label",
}
"""Of every figure that is not computed; in ``settings`` all but the beat are what the piece says."""


def bases(found: object, path: str = "") -> Iterator[tuple[str, str]]:
    """Every figure of the plan with its basis; things in lists go by their own names."""
    if isinstance(found, dict):
        if "basis" in found:
            yield path, found["basis"]
        for key, inner in found.items():
            yield from bases(inner, f"{path}.{key}" if path else key)
    elif isinstance(found, list):
        for inner in found:
            name = inner.get("what") or inner.get("yarn") or inner.get("name") if isinstance(inner, dict) else None
            yield from bases(inner, f"{path}.{name}")


def test_every_figure_says_what_it_rests_on(data: dict[str, Any]) -> None:
    found = dict(bases(data))
    expected = {}
    for path in found:
        own = path.replace("sections.Mat.strips.Mat.", "cloth.").replace("sections.Mat.", "cloth.")
        expected[path] = BASES.get(own, "label" if path.startswith("settings.") else "computed")
    assert found == expected
    assert BASES.keys() <= found.keys(), "a figure of the table is not in the plan"
    assert len(found) > 60


@pytest.mark.parametrize("basis", ["measured", "computed", "label"])
def test_no_figure_rests_on_a_default_where_the_beat_does_not(basis: str) -> None:
    written = json.loads(TEXT)
    written["beat"]["basis"] = basis
    found = dict(bases(plan_data(weftline.plan(weftline.loads(json.dumps(written))))))
    assert [path for path, said in found.items() if said == "default"] == []
    assert found["settings.line_height_mm"] == basis


ALLOWANCES: Final = [
    pytest.param("draw_in", "cloth.width_on_loom_mm", id="draw-in: the width on the loom"),
    pytest.param("relax_width", "cloth.width_off_loom_mm", id="relaxing: the width off the loom"),
    pytest.param("shrink_width", "cloth.finished_width_mm", id="shrinking: the finished width"),
    pytest.param("weft_take_up", "weft.o.length_m", id="weft take-up: the weft"),
    pytest.param("weft_take_up", "yarns.o.cost", id="weft take-up: what the weft costs"),
    pytest.param("tail_cm", "weft.o.tails_m", id="tails: the tails"),
    pytest.param("tail_cm", "weft.o.length_m", id="tails: the weft"),
    pytest.param("tail_cm", "yarns.o.remains_g", id="tails: what remains"),
    pytest.param("warp_take_up", "warp.total_m", id="warp take-up: the warp"),
    pytest.param("heading_cm", "warp.length_m", id="scrap headings: the warp"),
    pytest.param("fringe_each_end_cm", "warp.length_m", id="fringes: the warp"),
    pytest.param("between_pieces_cm", "warp.length_m", id="between pieces: the warp"),
    pytest.param("sample_cm", "warp.length_m", id="the sample: the warp"),
]


@pytest.mark.parametrize("left_out, figure", ALLOWANCES)
def test_figure_rests_on_a_default_where_its_allowance_is_left_out(left_out: str, figure: str) -> None:
    """Everything else as written and the beat measured: only what the missing allowance touches is a default."""
    written = json.loads(TEXT)
    written["beat"]["basis"] = "measured"
    del written["allowances"][left_out]
    found = dict(bases(plan_data(weftline.plan(weftline.loads(json.dumps(written))))))
    assert found[figure] == "default"
    assert (
        found["cloth.width_in_reed_mm"] == found["cloth.woven_length_mm"].replace("measured", "computed") == "computed"
    )
