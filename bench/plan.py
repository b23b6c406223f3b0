"""The plan against reading the same picks as JSON, its slope with size, and the quick commands."""

from __future__ import annotations

import json
import math
import subprocess
import sys
from pathlib import Path

import numpy as np

import weftline
from bench.timing import middle, side_by_side, told
from weftline.core.piece.values import Project

EIGHT = "abcdefgh"


def random_piece(ends: int, picks: int, seed: int = 1) -> Project:
    """Return a piece of one strip in which every pick is random of eight yarns, every line written out."""
    rng = np.random.default_rng(seed)
    rows = rng.integers(0, len(EIGHT), (math.ceil(picks / 3), 3)).tolist()
    lines = [" ".join(EIGHT[yarn] for yarn in row) for row in rows]
    yarns = {key: {"fibre": "wool", "size": "500 tex", "strands": 2} for key in EIGHT}
    piece = {"weftline": 1, "yarns": yarns, "sections": [{"strips": [{"ends": ends, "bands": [{"lines": lines}]}]}]}
    return weftline.loads(json.dumps(piece))


def picks_as_json(piece: Project) -> str:
    """Return the same piece with every pick an object."""
    steps = weftline.plan(piece).steps()
    return json.dumps(
        [
            {"line": s.line, "pick": s.pick, "shed": s.shed, "strands": [{"yarn": y, "n": n} for y, n in s.strands]}
            for s in steps
        ]
    )


def against_json() -> None:
    """Goal 1, at most 5."""
    piece = random_piece(600, 10_000)
    text = picks_as_json(piece)
    times = side_by_side(15, plan=lambda: weftline.plan(piece), json=lambda: json.loads(text))
    ours, theirs = middle(times["plan"]), middle(times["json"])
    print(
        f"plan of 600 ends x 10,000 picks {told(ours)}; json.loads of its picks ({len(text) / 1e6:.1f} MB) "
        f"{told(theirs)}; ratio {ours / theirs:.2f} (goal 1, at most 5)"
    )


def slope() -> None:
    """Log-log slope at most 1.1."""
    sizes = [(200, 3_000), (600, 10_000), (1_000, 30_000), (2_000, 100_000)]
    pieces = {f"{ends} x {picks}": random_piece(ends, picks) for ends, picks in sizes}
    times = side_by_side(5, **{name: (lambda piece=piece: weftline.plan(piece)) for name, piece in pieces.items()})
    seconds = [min(times[name]) for name in pieces]
    for name, second in zip(pieces, seconds, strict=True):
        print(f"plan of {name} picks {told(second)}")
    fit = np.polyfit(np.log([picks for _, picks in sizes]), np.log(seconds), 1)[0]
    print(f"log-log slope of plan time against picks {fit:.2f} (at most 1.1)")


def quick_commands() -> None:
    """``--version`` against importing typer: at most 3; a second plan of a demo well under two seconds."""
    home = Path(__file__).parent.parent
    demo = str(home / "examples" / "kneeling-pad.json")

    def run(*words: str) -> None:
        subprocess.run(words, check=True, capture_output=True)

    launcher = str(home / "weftline")
    run(launcher, "--version")
    times = side_by_side(
        9,
        version=lambda: run(launcher, "--version"),
        typer=lambda: run(sys.executable, "-c", "import typer"),
        plan=lambda: run(launcher, "plan", demo),
    )
    version, typer = middle(times["version"]), middle(times["typer"])
    print(
        f"./weftline --version {told(version)}; python -c 'import typer' {told(typer)}; "
        f"ratio {version / typer:.2f} (at most 3)"
    )
    print(f"./weftline plan of a demo piece {told(middle(times['plan']))} (well under 2 s)")


if __name__ == "__main__":
    against_json()
    slope()
    quick_commands()
