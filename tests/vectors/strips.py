"""Strips of every kind of band, with the picks that Python makes of them and what it says of those it refuses."""

import copy
import itertools
import random
from typing import Any, Final

import numpy as np

from tests.pieces import Piece, read
from tests.strategies import random_project
from weftline.core.piece.cloth import Cloth, expand
from weftline.core.piece.draft import Node, draft_of, tree_data, walk
from weftline.core.piece.settings import line_height
from weftline.core.piece.written import technique_of
from weftline.core.weave.picks import Picks
from weftline.errors import PieceError

UNREADABLE: Final[tuple[Piece, ...]] = (
    {"lines": ["o q"]},
    {"sheds": [[1]], "lines": ["o", "q"]},
    {"sheds": [[1], [2]], "lines": ["o"]},
    {"sheds": [[1]], "lines": ["o s"]},
    {"sheds": [[1]], "lines": ["toString"]},
    {"sheds": [[1]], "lines": ["constructor"]},
    {"sheds": [[1]], "lines": ["o+q+s"]},
    {"sheds": [[1], [2], [3]], "lines": ["o"]},
    {"sheds": [[1]], "lines": ["-"]},
    {"sheds": [[1]], "lines": ["o bakc"]},
    {"sheds": [[1, 2, 1]], "lines": ["o"]},
    {"sheds": [[5]], "lines": ["o"]},
    {"sheds": [[1]], "lines": ["o *200001"]},
    {"sheds": [[1]], "lines": ["o *200000"], "times": 2},
    {"sheds": [[1]], "lines": ["o *100000"], "mirror": "lines", "middle": "double", "times": 2, "joint": "single"},
    {"sheds": [[1], [2]], "lines": ["o" + " " * 70 + "o o"]},
)


def facts(piece: Piece) -> dict[str, Any]:
    """Return what a strip needs to know of its piece."""
    project = read(piece)
    technique = technique_of(project)
    return {
        "sheds": list(technique.shed_masks()),
        "strands": {key: yarn.strands for key, yarn in project.yarns.items()},
        "lineMm": line_height(project.beat.lines_per_cm, project.beat.basis).value,
        "shafts": technique.shafts,
    }


def picks_data(picks: Picks) -> dict[str, Any]:
    """Return picks as lists; heights as runs of (count, mm)."""
    runs = [[len(list(run)), step] for step, run in itertools.groupby(picks.step_mm.tolist())]
    names = ("shed", "wound", "line", "slot", "band", "written")
    lists = {name: np.asarray(getattr(picks, name)).tolist() for name in names}
    return {**lists, "step": runs, "lines": picks.line_count}


def draft(piece: Piece) -> Node:
    """Return a piece as a draft with short ids."""
    ids = itertools.count(1)
    return draft_of(piece, lambda: f"n{next(ids)}")


def _cloth(piece: Piece) -> Cloth:
    return expand(read(piece))


def _refusal(piece: Piece, band: Piece, strip: Node, place: int) -> dict[str, str]:
    """Return what is said of a band that cannot be followed, and of which node."""
    alone = copy.deepcopy(piece)
    alone["sections"][0]["strips"][0]["bands"] = [band]
    node = strip.children[place]
    try:
        _cloth(alone)
    except PieceError as cause:
        path, _, says = str(cause).partition(": ")
        if ".lines[" in path:
            node = node.children[int(path.split(".lines[")[1][:-1])]
        return {"node": node.id, "says": says}
    raise AssertionError(f"can be followed: {band}")


def _case(piece: Piece, troubles: list[tuple[int, Piece]]) -> dict[str, Any]:
    """Return a case; ``troubles`` are bands put in at a place, which give no picks."""
    bands = piece["sections"][0]["strips"][0]["bands"]
    picks = _cloth(piece).sections[0].strips[0].weaving
    whole = copy.deepcopy(piece)
    every = whole["sections"][0]["strips"][0]["bands"]
    own = [True] * len(bands)
    for place, band in troubles:
        every.insert(place, band)
        own.insert(place, False)
    strip = next(node for node in walk(draft(whole)) if node.kind == "strip")
    data = picks_data(picks.picks)
    numbers = [number for number, is_own in enumerate(own) if is_own]
    data["band"] = [numbers[band] for band in data["band"]]
    said = [_refusal(piece, every[place], strip, place) for place, is_own in enumerate(own) if not is_own]
    windings = [[list(pair) for pair in winding] for winding in picks.windings]
    return {"piece": facts(piece), "strip": tree_data(strip), "picks": data, "windings": windings, "troubles": said}


def strips() -> dict[str, Any]:
    """Return strips with their picks, windings and troubles."""
    rng = random.Random(11)
    cases: list[dict[str, Any]] = []
    while len(cases) < 90:
        piece = random_project(rng)
        if len(_cloth(piece).sections[0].picks) <= 130:
            cases.append(_case(piece, []))
    for bad in UNREADABLE:
        while len((piece := random_project(rng))["weave"]["technique"]["sheds"]) == 2:
            pass
        if len(_cloth(piece).sections[0].picks) <= 130:
            count = len(piece["sections"][0]["strips"][0]["bands"])
            cases.append(_case(piece, [(rng.randint(0, count), bad)]))
        else:
            cases.append(_case({**piece, "sections": [{"strips": [{"ends": 4, "bands": []}]}]}, [(0, bad)]))
    return {"cases": cases}
