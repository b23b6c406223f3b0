"""Our expansion against a slow, plain second one, pick for pick, on 5,000 random strips."""

import json
import random
from typing import Any

import pytest

from tests.oracle.bands import OraclePick, expand_strip, line_count, total_height_mm
from tests.pieces import Piece, cloth_of
from tests.strategies import STRANDS, random_project
from weftline.core.piece.cloth import Cloth
from weftline.core.weave.technique import mask_shafts

PARTS = 10
STRIPS_A_PART = 500


def ours(cloth: Cloth) -> list[OraclePick]:
    """Our picks, said as the second expansion says them."""
    weaving = cloth.sections[0].strips[0].weaving
    picks = weaving.picks
    return [
        OraclePick(
            int(picks.band[place]),
            int(picks.line[place]) + 1,
            frozenset(mask_shafts(int(picks.shed[place]))),
            weaving.windings[picks.wound[place]],
            float(picks.centre_mm[place]),
        )
        for place in range(len(picks))
    ]


def written(piece: Piece) -> tuple[list[dict[str, object]], list[list[int]], dict[str, int], float]:
    """What the second expansion asks for."""
    strip: Any = piece["sections"][0]["strips"][0]
    sheds: list[list[int]] = piece["weave"]["technique"]["sheds"]
    return strip["bands"], sheds, STRANDS, piece["beat"]["lines_per_cm"]


def without_height(pick: OraclePick) -> tuple[object, ...]:
    return pick.band, pick.line, pick.shed, pick.strands


@pytest.mark.parametrize("part", range(PARTS), ids=lambda part: f"strips {part * STRIPS_A_PART} and after")
def test_both_expansions_agree_pick_for_pick(part: int) -> None:
    for number in range(part * STRIPS_A_PART, (part + 1) * STRIPS_A_PART):
        piece = random_project(random.Random(number))
        text = f"strip {number}: {json.dumps(piece)}"
        cloth = cloth_of(piece)
        found, (expected, notes) = ours(cloth), expand_strip(*written(piece))
        assert [without_height(pick) for pick in found] == [without_height(pick) for pick in expected], text
        apart_mm = [abs(one.height_mm - other.height_mm) for one, other in zip(found, expected, strict=True)]
        assert max(apart_mm) <= 1e-9, text
        picks = cloth.sections[0].picks
        assert picks.line_count == line_count(*written(piece)), text
        assert abs(picks.height_mm - total_height_mm(*written(piece))) <= 1e-9, text
        resumes = [f"Band {place + 1}" for place in range(5) if f"bands[{place}]: resume has no effect" in notes]
        assert [finding.where.band for finding in cloth.findings if finding.code == "resume-idle"] == resumes, text


def test_the_random_strips_reach_every_way_of_writing_a_band() -> None:
    pieces = [random_project(random.Random(number)) for number in range(2 * STRIPS_A_PART)]
    bands = [band for piece in pieces for band in piece["sections"][0]["strips"][0]["bands"]]
    ways = {
        (band.get("mirror", "none"), band.get("middle"), band.get("joint"), band.get("times", 1) > 1, "sheds" in band)
        for band in bands
    }
    assert len(ways) == 3 * 3 * 3 * 2 * 2
    words = {word for band in bands for line in band["lines"] for word in line.split()}
    assert {"back", "×2", "*3", "-", "o+s", "m+m"} <= words
    notes = [expand_strip(*written(piece))[1] for piece in pieces]
    resumed = sum(band.get("resume", False) for band in bands)
    assert 0 < sum(map(len, notes)) < resumed, "some resumes drop a pick and some do not"
