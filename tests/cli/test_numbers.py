"""``yarn``, ``sett`` and ``sley`` in process: what they answer, and wrong calls in one sentence."""

import json
from collections.abc import Callable
from pathlib import Path

import pytest

from weftline.cli import main

EXAMPLES = Path(__file__).parents[2] / "examples"
Ran = tuple[int, str, str]
Runner = Callable[..., Ran]


@pytest.fixture
def run(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> Runner:
    """Run a command in an empty folder; exit code, output, errors."""
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("WEFTLINE_DATA", str(tmp_path / "data"))

    def runs(*words: str) -> Ran:
        monkeypatch.setattr("sys.argv", ["weftline", *words])
        code = 0
        try:
            main()
        except SystemExit as ended:
            code = int(ended.code or 0)
        return (code, *capsys.readouterr())

    return runs


def test_a_label_is_told_unrounded_in_json_and_rounded_to_people(run: Runner) -> None:
    code, out, err = run("yarn", "NeL 8/5", "--json")
    found = json.loads(out)
    assert (code, err) == (0, "")
    assert found["tex"] == pytest.approx(1033.4471830, rel=1e-9)
    assert found["m_per_kg"] == pytest.approx(967.635, rel=1e-6)
    assert set(found["diameter_mm"]) == {"value", "low", "high", "basis"}
    assert [way["system"] for way in found["readings"]] == ["lea"]
    assert run("yarn", "NeL 8/5")[1].startswith("1,030 tex, 968 m/kg\n")


def test_an_open_label_ends_well_with_all_its_readings(run: Runner) -> None:
    code, out, _ = run("yarn", "8/2", "--json")
    found = json.loads(out)
    assert code == 0
    assert len(found["readings"]) == 4
    assert all(way["question"] == found["question"] and way["means"] for way in found["readings"])
    assert "reads several ways, told apart by fibre and country" in run("yarn", "8/2")[1]
    assert json.loads(run("yarn", "8/2", "--fibre", "cotton", "--json")[1])["question"] is None


def test_strands_and_wraps_reach_the_answer(run: Runner) -> None:
    one = json.loads(run("yarn", "Nm 6/2 wool", "--json")[1])
    two = json.loads(run("yarn", "Nm 6/2 wool", "--strands", "2", "--json")[1])
    measured = json.loads(run("yarn", "Nm 6/2 wool", "--wraps", "18", "--json")[1])
    assert two["tex"] == 2 * one["tex"]
    assert measured["diameter_mm"]["basis"] == "measured"
    assert measured["diameter_mm"]["value"] > one["diameter_mm"]["value"]


def test_a_sett_has_its_range_its_lines_its_reason_and_what_it_rests_on(run: Runner) -> None:
    words = ("sett", "--warp", "8/4 cotton", "--weft", "800 yd/lb wool", "--weave", "krokbragd", "--json")
    code, out, err = run(*words)
    found = json.loads(out)
    assert (code, err) == (0, "")
    assert found["low_per_cm"] < found["value_per_cm"] < found["high_per_cm"]
    assert found["lines_per_cm"]["low"] < found["lines_per_cm"]["value"] < found["lines_per_cm"]["high"]
    assert found["lines_per_cm"]["basis"] == "default", "nobody says how hard she beats"
    assert "the warp shows" in found["reason"]
    assert any(rest.startswith("weft: 800 yd/lb wool, 620") for rest in found["rests_on"])
    firm = json.loads(run(*words, "--beat", "firm")[1])["lines_per_cm"]
    assert firm["high"] / firm["low"] <= 2.5 + 1e-9
    assert firm["basis"] == "computed"


def test_a_heavier_weft_wants_a_more_open_sett_in_every_weave(run: Runner) -> None:
    for weave in ("krokbragd", "boundweave", "two against two", "weft-faced plain weave"):
        words = ("sett", "--warp", "8/4 cotton", "--weft", "500 tex wool", "--weave", weave, "--json")
        one, two = (json.loads(run(*words, "--strands", number)[1]) for number in ("1", "2"))
        assert two["value_per_cm"] < one["value_per_cm"]
        assert two["lines_per_cm"]["value"] < one["lines_per_cm"]["value"]


def test_a_weft_known_by_wraps_only_widens_the_lines(run: Runner) -> None:
    words = ("sett", "--warp", "8/4 cotton", "--beat", "firm", "--json", "--weft")
    sized, wrapped = (json.loads(run(*words, weft)[1])["lines_per_cm"] for weft in ("553 tex wool", "12 wpi wool"))
    assert wrapped["high"] / wrapped["low"] > 1.15 * sized["high"] / sized["low"]


def test_a_sett_is_judged(run: Runner) -> None:
    words = ("sett", "--warp", "8/4 cotton 1600 yd/lb", "--weft", "1000 tex wool")
    for asked, verdict in (("3/in", "limp"), ("6/in", "open"), ("3/cm", "good"), ("12/in", "shows")):
        assert json.loads(run(*words, "--sett", asked, "--json")[1])["verdict"] == verdict
    assert "too close: the warp may show" in run(*words, "--sett", "12/in")[1]


def test_a_sley_is_told_with_its_order(run: Runner) -> None:
    code, out, _ = run("sley", "--sett", "6/in", "--reed", "8/in", "--json")
    found = json.loads(out)
    assert code == 0
    assert (found["sequence"], found["actual_per_inch"], found["deviation"]) == ([1, 1, 1, 0], 6.0, 0.0)
    assert found["actual_per_cm"] == pytest.approx(6 / 2.54)
    off = json.loads(run("sley", "--sett", "2.4/cm", "--reed", "8/in", "--json")[1])
    assert off["deviation"] == pytest.approx(off["actual_per_cm"] / 2.4 - 1)
    assert "the nearest short order, 1.6 % more open than" in run("sley", "--sett", "2.4/cm", "--reed", "8/in")[1]


def test_a_whole_width_is_centred_with_doubled_edges(run: Runner) -> None:
    words = (
        "sley",
        "--sett",
        "4/in",
        "--reed",
        "8/in",
        "--width",
        "21 in",
        "--reed-width",
        "28 in",
        "--double-edges",
        "2",
    )
    (strip,) = json.loads(run(*words, "--json")[1])["strips"]
    assert (strip["ends"], strip["edge_ends"], strip["dents"]) == (84, 4, 167)
    assert (strip["first_dent"], strip["last_dent"]) == (29, 195)
    assert strip["ends_in_dents"][:5] == [2, 0, 2, 0, 1]
    assert "84 ends and 4 more at its doubled edges" in run(*words)[1]


def test_a_piece_is_sleyed_as_it_stands(run: Runner) -> None:
    path = str(EXAMPLES / "sling-and-straps.json")
    found = json.loads(run("sley", "--project", path, "--json")[1])
    assert found["exact"] is True
    assert [len(strips) for strips in found["sections"]] == [1, 2]
    left, right = found["sections"][1]
    assert right["first_dent"] > left["last_dent"]
    assert "Straps, Right strap: 41 ends" in run("sley", "--project", path)[1]


@pytest.mark.parametrize("words, says", [
    (("yarn", "rug wool"), '"rug wool" has no number that tells a size'),
    (("yarn", "8/2", "--fibre", "plastic"), '"plastic" is no fibre known here; write one of wool'),
    (("yarn", "8/2", "--wraps", "0"), "0 wraps per inch is no yarn; count between"),
    (("yarn", "8/2", "--wraps", "nan"), "nan wraps per inch is no yarn"),
    (("yarn", "8/2", "--strands", "99"), "99 strands cannot be woven as one; give 1 to 40"),
    (("sett", "--warp", "x", "--weft", "500 tex wool"), '"x" has no number that tells a size'),
    (("sett", "--warp", "8/4 cotton", "--weft", "500 tex wool", "--weave", "krokbrag"), "did you mean 'krokbragd'?"),
    (("sett", "--warp", "8/4 cotton", "--weft", "500 tex wool", "--sett", "6"), "could be per inch or per cm"),
    (("sley",), "no sett is given; add --sett 6/in"),
    (("sley", "--sett", "6/in"), "no reed is given; add --reed 8/in"),
    (("sley", "--sett", "6/in", "--reed", "coarse"), '"coarse" is no reed; write it like 8/in, 8-dent or 30/10cm'),
    (("sley", "--sett", "6/in", "--reed", "8/in", "--ends", "0"), "a warp has 1 to 4,000 ends, this one 0"),
    (("sley", "--sett", "6/in", "--reed", "8/in", "--ends", "9", "--width", "9 in"), "say the same thing twice"),
    (("sley", "--sett", "6/in", "--reed", "8/in", "--ends", "900", "--reed-width", "28 in"), "and a reed of 71.12 cm has 224"),
    (("sley", "--project", "nowhere.json"), "nowhere.json is not there"),
])  # fmt: skip
def test_a_wrong_call_gets_one_sentence_and_two(run: Runner, words: tuple[str, ...], says: str) -> None:
    code, out, err = run(*words)
    assert (code, out) == (2, "")
    assert says in err
    assert err.count("\n") == 1
