"""``weftline foretell`` on whole pieces: figures with intervals, whether the wool lasts, what to weave next."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from weftline.cli import main

EXAMPLES = Path(__file__).parents[2] / "src" / "weftline" / "examples"
DEMOS = ("kneeling-pad", "sling-and-straps", "wall-piece", "allotment-mat")


Ran = tuple[int, str]


class Runner:
    """Runs the command; exit code, and what was said on either stream."""

    def __init__(self, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
        self.patch, self.captured = monkeypatch, capsys

    def __call__(self, *words: str) -> Ran:
        self.patch.setattr("sys.argv", ["weftline", "foretell", *words])
        code = 0
        try:
            main()
        except SystemExit as ended:
            code = int(ended.code or 0)
        return code, "".join(self.captured.readouterr())

    def told(self, *words: str) -> dict[str, Any]:
        """Return the answer as data."""
        code, output = self(*words, "--json")
        assert code == 0, output
        data: dict[str, Any] = json.loads(output)
        return data


@pytest.fixture
def run(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], tmp_path: Path) -> Runner:
    """Where nothing was ever stored."""
    monkeypatch.setenv("WEFTLINE_DATA", str(tmp_path / "data"))
    return Runner(monkeypatch, capsys)


@pytest.mark.parametrize("name", DEMOS)
def test_every_figure_lies_inside_its_interval_and_says_what_it_rests_on(run: Runner, name: str) -> None:
    data = run.told(str(EXAMPLES / f"{name}.json"), "--beat", "firm")
    assert data["samples"] == 0
    for what, found in data["foretold"].items():
        for one in found if isinstance(found, list) else [found]:
            assert one["low"] < one["value"] < one["high"], what
            assert one["rests_on"], what
            assert one["basis"] in ("computed", "default", "measured")
    lines = data["foretold"]["lines_per_cm"]
    assert lines["high"] / lines["low"] <= 2.5
    mass = data["foretold"]["mass_g_m2"]
    assert mass["high"] / mass["low"] <= 2.5
    for one in data["wool"]["yarns"].values():
        assert one["need_g"]["low"] < one["need_g"]["value"] < one["need_g"]["high"]


def test_a_beat_that_is_stated_is_surer_and_harder_beats_make_more_lines(run: Runner) -> None:
    piece = str(EXAMPLES / "kneeling-pad.json")
    width = {}
    value = {}
    for beat in (None, "soft", "firm", "hard"):
        lines = run.told(piece, *(() if beat is None else ("--beat", beat)))["foretold"]["lines_per_cm"]
        width[beat], value[beat] = lines["high"] / lines["low"], lines["value"]
    assert width["firm"] < width[None]
    assert value["soft"] < value["firm"] < value["hard"]


def test_a_closer_sett_and_a_thicker_weft_are_thought_through(run: Runner) -> None:
    piece = str(EXAMPLES / "kneeling-pad.json")
    own = run.told(piece)["foretold"]
    thick = run.told(piece, "--strands", "2")["foretold"]
    assert 1.3 < own["lines_per_cm"]["value"] / thick["lines_per_cm"]["value"] < 1.7
    close = run.told(piece, "--sett", "4/cm")["foretold"]
    assert close["lines_per_cm"]["value"] < own["lines_per_cm"]["value"]


def test_the_wool_is_told_in_words(run: Runner, tmp_path: Path) -> None:
    data = json.loads((EXAMPLES / "kneeling-pad.json").read_text(encoding="utf-8"))
    data["yarns"]["n"]["on_hand_g"] = 60
    data["yarns"]["n"]["pack"] = {"mass_g": 50}
    piece = tmp_path / "short.json"
    piece.write_text(json.dumps(data), encoding="utf-8")
    code, output = run(str(piece))
    assert code == 0
    night = next(line for line in output.splitlines() if line.startswith("Night"))
    assert "60 g on hand, runs out" in night
    assert "1 pack of one lot" in night


@pytest.mark.parametrize(
    "words,says",
    [(("--strands", "99"), "99 times as thick"), (("--sett", "6"), "per inch or per cm"), (("--beat", "wild"), "wild")],
)
def test_bad_questions_get_one_sentence(run: Runner, words: tuple[str, ...], says: str) -> None:
    code, output = run(str(EXAMPLES / "kneeling-pad.json"), *words)
    assert code == 2
    assert says in output


def test_unknown_sizes_are_asked_for(run: Runner, tmp_path: Path) -> None:
    data = json.loads((EXAMPLES / "kneeling-pad.json").read_text(encoding="utf-8"))
    for yarn in data["yarns"].values():
        yarn.pop("size", None)
        yarn.pop("m_per_kg", None)
    piece = tmp_path / "bare.json"
    piece.write_text(json.dumps(data), encoding="utf-8")
    code, output = run(str(piece))
    assert code == 2
    assert "sizes" in output
