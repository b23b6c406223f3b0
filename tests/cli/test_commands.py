"""The command line in process: exit codes, streams, files."""

import csv
import io
import json
from collections.abc import Callable
from pathlib import Path

import pytest
from PIL import Image

from weftline.cli import main

HOME = Path(__file__).parents[2]
PAD = str(HOME / "examples" / "kneeling-pad.json")
DEMOS = sorted(str(path) for path in (HOME / "examples").glob("*.json"))


class Ran:
    """What a command left behind."""

    def __init__(self, code: int, out: str, err: str) -> None:
        self.code, self.out, self.err = code, out, err


Runner = Callable[..., Ran]


@pytest.fixture
def run(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> Runner:
    """Run a command in an empty folder."""
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("WEFTLINE_DATA", str(tmp_path / "data"))

    def runs(*words: str) -> Ran:
        monkeypatch.setattr("sys.argv", ["weftline", *words])
        code = 0
        try:
            main()
        except SystemExit as ended:
            code = int(ended.code or 0)
        return Ran(code, *capsys.readouterr())

    return runs


@pytest.mark.parametrize("demo", DEMOS)
def test_every_demo_piece_plans_without_a_stop(run: Runner, demo: str) -> None:
    done = run("plan", demo, "--json")
    found = json.loads(done.out)
    assert (done.code, done.err) == (0, "")
    assert found["cloth"]["hangs_together"] is True
    assert not [finding for finding in found["findings"] if finding["severity"] != "note"]


def test_the_plan_says_what_each_number_rests_on(run: Runner) -> None:
    done = run("plan", PAD)
    assert "25.4 cm (computed)" in done.out
    assert "65.0 cm (as written)" in done.out
    assert "(common practice)" in done.out


def test_imperial_units_are_for_people_only(run: Runner) -> None:
    assert "10.0 in (computed)" in run("plan", PAD, "--units", "imperial").out
    assert "width_in_reed_mm" in run("plan", PAD, "--units", "imperial", "--json").out


def test_a_stop_finding_ends_with_one(run: Runner, tmp_path: Path) -> None:
    piece = json.loads(Path(PAD).read_text(encoding="utf-8"))
    piece["sections"][0]["strips"][0]["bands"] = [{"lines": ["n n -"]}]
    (tmp_path / "apart.json").write_text(json.dumps(piece), encoding="utf-8")
    done = run("check", "apart.json", "--json")
    assert done.code == 1
    codes = [finding["code"] for finding in json.loads(done.out)["findings"]]
    assert codes[:2] == ["falls-apart", "constant-end"]
    assert run("check", "apart.json").out.startswith("STOP ")


@pytest.mark.parametrize(
    "words, says",
    [
        (("plan", "nowhere.json"), "nowhere.json is not there; give the path of a project file"),
        (("plan", "/"), "/ is a folder; give the path of a project file"),
        (("demo", "carpet"), "no demo piece is called carpet; there are allotment-mat, "),
        (("picture", PAD, "--dpi", "5"), "a picture has 10 to 1200 dots per inch, not 5"),
        (("picture", PAD, "--dpi", "nan"), "a picture has 10 to 1200 dots per inch, not nan"),
        (("picture", PAD, "-o", "no/such/folder.png"), "no/such/folder.png cannot be written: No such file or dir"),
        (("new", "x", "--ends", "5000"), "sections[0].strips[0].ends: must be 4,000 or less, but it is 5000"),
        (("new", "x", "--technique", "krokbrag"), "no technique is called 'krokbrag'; did you mean 'krokbragd'?"),
    ],
)
def test_a_wrong_call_gets_one_sentence_and_two(run: Runner, words: tuple[str, ...], says: str) -> None:
    done = run(*words)
    assert (done.code, done.out) == (2, "")
    assert says in done.err
    assert done.err.count("\n") == 1


def test_a_picture_records_its_resolution(run: Runner, tmp_path: Path) -> None:
    done = run("picture", PAD, "--back", "--dpi", "60", "-o", "pad.png", "--json")
    told = json.loads(done.out)
    with Image.open(tmp_path / "pad.png") as drawn:
        assert drawn.size == (told["width_px"], told["height_px"])
        assert drawn.info["dpi"] == pytest.approx((told["dpi_x"], told["dpi_y"]), abs=0.02)
        assert drawn.info["dpi"] == pytest.approx((60, 60), rel=0.03)


def test_a_picture_has_the_width_asked_for(run: Runner, tmp_path: Path) -> None:
    told = json.loads(run("picture", PAD, "--width", "240", "-o", "pad.png", "--json").out)
    with Image.open(tmp_path / "pad.png") as drawn:
        assert drawn.size == (240, told["height_px"])


def test_a_drawing_is_as_large_as_the_cloth(run: Runner, tmp_path: Path) -> None:
    told = json.loads(run("picture", PAD, "-o", "pad.svg", "--json").out)
    assert f'width="{told["width_mm"]:g}mm"' in (tmp_path / "pad.svg").read_text(encoding="utf-8")


def test_one_size_at_a_time(run: Runner) -> None:
    done = run("picture", PAD, "--width", "240", "--life-size")
    assert done.code == 2
    assert "choose one of --dpi, --width and --life-size" in done.err


def test_steps_as_a_table_and_as_data_tell_the_same(run: Runner) -> None:
    table = list(csv.DictReader(io.StringIO(run("steps", PAD, "--csv").out)))
    data = json.loads(run("steps", PAD, "--json").out)
    assert len(table) == len(data) == 388
    assert [int(row["ordinal"]) for row in table] == [step["ordinal"] for step in data] == list(range(1, 389))
    assert table[12]["lift"] == "raise 2+3"
    assert run("steps", PAD, "--csv", "--json").code == 2


def test_new_writes_a_piece_that_plans_and_never_writes_over_one(run: Runner) -> None:
    assert run("new", "Bench mat", "--ends", "41").code == 0
    assert run("plan", "bench-mat.json").code == 0
    again = run("new", "Bench mat")
    assert (again.code, again.err) == (2, "bench-mat.json is there already; choose another name or add --force\n")


def test_every_demo_is_planned_and_drawn(run: Runner, tmp_path: Path) -> None:
    done = run("demo", "--all")
    folder = tmp_path / "data" / "demo pieces"
    assert f"All in {folder}" in done.out
    assert {path.suffix for path in folder.iterdir()} == {".json", ".txt", ".png"}
    assert len(list(folder.glob("*.png"))) == 2 * len(DEMOS)


def test_the_schema_is_json_schema(run: Runner) -> None:
    from jsonschema import Draft202012Validator

    schema = json.loads(run("schema").out)
    Draft202012Validator.check_schema(schema)
    checker = Draft202012Validator(schema)
    for demo in DEMOS:
        assert list(checker.iter_errors(json.loads(Path(demo).read_text(encoding="utf-8")))) == []
    assert list(checker.iter_errors({"weftline": 1, "yarns": {"o": {}}, "strips": []}))


@pytest.mark.parametrize("words", [("plan",), ("check",), ("steps",), ("picture", "-o", "warp.png")])
def test_a_bare_warp_is_a_piece_too(run: Runner, tmp_path: Path, words: tuple[str, ...]) -> None:
    (tmp_path / "warp.json").write_text('{"weftline": 1, "yarns": {"o": {}}, "sections": [{"strips": [{"ends": 37}]}]}')
    done = run(words[0], "warp.json", *words[1:], "--json")
    assert (done.code, done.err) == (0, "")
    assert json.loads(done.out) is not None
