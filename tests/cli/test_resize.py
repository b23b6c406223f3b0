"""``weftline resize`` in process: sentences, old beside new, the new file, and wrong calls in one sentence."""

import json
from collections.abc import Callable
from pathlib import Path
from typing import Final

import pytest

from weftline.cli import main
from weftline.core.compose.resize import resize
from weftline.core.compose.wish import Wish
from weftline.core.plan.plan import plan
from weftline.formats.native import dumps, loads

EXAMPLES: Final = Path(__file__).parents[2] / "src" / "weftline" / "examples"
PAD: Final = EXAMPLES / "kneeling-pad.json"
Ran = tuple[int, str, str]
Runner = Callable[..., Ran]


@pytest.fixture
def run(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> Runner:
    """Run the command in an empty folder; exit code, output, errors."""
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("WEFTLINE_DATA", str(tmp_path / "data"))

    def runs(*words: str) -> Ran:
        monkeypatch.setattr("sys.argv", ["weftline", "resize", *words])
        code = 0
        try:
            main()
        except SystemExit as ended:
            code = int(ended.code or 0)
        return (code, *capsys.readouterr())

    return runs


def rows(out: str) -> dict[str, list[str]]:
    """The table of old and new, by label."""
    table = out[out.index("now") :].splitlines()[1:]
    return {line[:26].strip(): [line[26:42].strip(), line[42:].strip()] for line in table if len(line) == 58}


def test_it_says_what_changed_and_shows_the_new_plan_beside_the_old(run: Runner) -> None:
    code, out, err = run(str(PAD), "--width", "40 cm", "--length", "1.2 m")
    assert (code, err) == (0, "")
    assert out.startswith(
        "Pad: 113 ends instead of 61, 40.3 cm wide when finished; whole repeats of the threading, so that both edges end alike.\n"
    )
    old, new = (
        plan(loads(PAD.read_bytes())),
        plan(resize(loads(PAD.read_bytes()), Wish(width_mm=400, length_mm=1200)).project),
    )
    table = rows(out)
    assert table["working ends"] == ["61", "113"]
    assert table["lines"] == [str(old.sections[0].lines), str(new.sections[0].lines)]
    assert table["warp, long"] == [f"{one.warp.length_mm.value / 10:.1f} cm" for one in (old, new)]
    for key, name in (("n", "Night"), ("b", "Birch"), ("m", "Madder"), ("w", "Seine twine")):
        masses = [one.yarns[key].mass_g for one in (old, new)]
        assert table[name] == [f"{mass.value:.0f} g" for mass in masses if mass is not None]


def test_the_new_piece_is_written_and_never_over_another(run: Runner, tmp_path: Path) -> None:
    new = tmp_path / "longer.json"
    code, out, _ = run(str(PAD), "--length", "80 cm", "-o", str(new))
    assert code == 0
    assert out.endswith(f"Written to {new}.\n")
    expected = resize(loads(PAD.read_bytes()), Wish(length_mm=800)).project
    assert new.read_text(encoding="utf-8") == dumps(expected)
    code, out, err = run(str(PAD), "--length", "90 cm", "-o", str(new))
    assert (code, out) == (2, "")
    assert "is there already" in err
    assert run(str(PAD), "--length", "90 cm", "-o", str(new), "--force")[0] == 0


def test_json_holds_figures_and_the_piece_and_nothing_else(run: Runner) -> None:
    code, out, err = run(str(PAD), "--width", "1.2 m", "--pieces", "2", "--json")
    found = json.loads(out)
    assert (code, err) == (0, "")
    assert found["two_widths"]["left_ends"] + found["two_widths"]["right_ends"] == found["after"][0]["ends"] == 337
    assert found["two_widths"]["seam_shafts"] == [2, 1]
    assert found["two_widths"]["gives_up"] == [1]
    assert found["before"][0]["ends"] == 61
    assert found["after"][0]["pieces"] == 2
    assert set(found["after"][0]["yarns_g"]) == {"w", "n", "b", "m"}
    assert loads(json.dumps(found["project"])) == resize(loads(PAD.read_bytes()), Wish(width_mm=1200, pieces=2)).project
    assert any(sentence.startswith("2 pieces on one warp") for sentence in found["sentences"])


def test_the_loom_the_wool_the_sett_and_a_yarn_decide(run: Runner) -> None:
    assert (
        "That is as wide as this loom weaves: 78.8 cm of its 80.0 cm in the reed."
        in run(str(PAD), "--as-wide-as-loom")[1]
    )
    narrow = run(str(PAD), "--as-wide-as-loom", "--loom-width", "50 cm")[1]
    assert rows(narrow)["working ends"] == ["61", "117"]
    assert "Birch ends first" in run(str(PAD), "--from-wool")[1]
    assert "The sett is 3.15 per cm instead of 2.4 per cm." in run(str(PAD), "--sett", "8/in")[1]
    thick = run(str(PAD), "--yarn", "n=Nm 4/2", "--yarn", "b=1000 m/kg")[1]
    assert "Yarn n: Night, Nm 4/2 in 2 strands in place of Night, R 550 tex / 3 in 2 strands." in thick
    assert "Lines are expected to come to" in thick
    assert 'yarn n: "Nm 2/2" reads several ways' in run(str(PAD), "--yarn", "n=Nm 2/2")[2]


def test_what_could_not_be_met_stands_apart_and_a_stop_ends_with_one(run: Runner) -> None:
    code, out, _ = run(str(PAD), "--length", "5 cm")
    assert code == 0
    assert (
        "Not as wished:\n  The wish was a length of 5.0 cm; 24.5 cm is the nearest, for every motif comes just once"
        in out
    )
    second = run(str(EXAMPLES / "sling-and-straps.json"), "--section", "2", "--width", "20 cm")[1]
    assert second.startswith("Straps: 50 ends (25 + 25) instead of 82")


@pytest.mark.parametrize(
    "words, said",
    [
        ([], "nothing is wished; add --width, --length, --sett, --yarn, --as-wide-as-loom or --from-wool\n"),
        (["--width", "60"], '"60" is no width; write it like 53 cm or 21 in.\n'),
        (["--sett", "8"], "a sett of 8 could be per inch or per cm; write 8/in or 8/cm.\n"),
        (
            ["--width", "60 cm", "--as-wide-as-loom"],
            "a width and as wide as the loom are two wishes; give one of them\n",
        ),
        (["--pieces", "0"], "0 pieces cannot be on one warp; give 1 to 1,000\n"),
        (["--section", "2", "--pieces", "2"], "there is no section 2; this piece has 1\n"),
        (["--yarn", "q=Nm 6/2"], "no yarn is called 'q'; use w, n, b or m\n"),
        (
            ["--yarn", "n=zz"],
            'yarn n: "zz" has no number that tells a size; write it as on the label, like "8/2 cotton", "Nm 6/2" or '
            '"800 yd/lb".\n',
        ),
        (["--yarn", "n"], "'n' is no yarn with its size; write it like o='Nm 4/2'\n"),
    ],
)
def test_wrong_calls_end_in_one_sentence(run: Runner, words: list[str], said: str) -> None:
    assert run(str(PAD), *words) == (2, "", said)
    assert run("nowhere.json", "--width", "60 cm")[0] == 2
