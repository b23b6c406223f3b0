"""What is looked at: repeats, edges, floating ends."""

from typing import Any

import numpy as np
import pytest

from tests.drawing.wool.woollen import cloth_of
from weftline.drawing.wool import EdgeWarp, Scale, sight
from weftline.drawing.wool.columns import LEFT, RIGHT, showing
from weftline.drawing.wool.sight import repeat_of


@pytest.mark.parametrize(
    "ends,repeat",
    [([1, 2, 3, 2] * 5 + [1], 4), ([1, 2, 1, 2, 1], 2), ([1, 2, 3, 4], 4), ([1], 1), ([1, 1, 2, 1, 1, 2, 1], 3)],
)
def test_the_repeat_of_a_threading(ends: list[int], repeat: int) -> None:
    assert repeat_of(np.array(ends, dtype=np.uint8)) == repeat


def test_a_floating_end_shows_half_of_all_passes_on_each_side() -> None:
    yarns: dict[str, Any] = {key: {} for key in "ab"}
    band = {"lines": ["a b a *20"]}
    cloth, _ = cloth_of({"yarns": yarns, "sections": [{"strips": [{"ends": 13, "bands": [band]}]}]})
    weaving = cloth.sections[0].strips[0].weaving
    seen = sight(
        weaving, Scale(10, 9, 8 / 3), mirrored=False, back=False, edge=EdgeWarp("floating", 1), woven=len(weaving.picks)
    )
    left, right = showing(seen, LEFT), showing(seen, RIGHT)
    assert len(left) == len(right) == 30  # one and a half a line
    assert not set(left) & set(right)
    assert set(weaving.picks.wound[left]) == {0, 1}  # of mixed colours
