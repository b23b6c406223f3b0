"""A tenth of ``bench/calibration.py``, seeded: intervals hold what they say in a world that is not the model.

Bounds are those of the whole run for all quantities together, and two standard errors of 200 weavers wider for each.
"""

from functools import cache
from math import exp, log
from typing import Final

import numpy as np
import pytest

from bench.calibration import OTHER, Tally, same_cloth, scores
from bench.weavers import World

WEAVERS: Final = 200
READ: Final = ("lines_per_cm", "mass_g_m2", "thickness_mm", "draw_in", "warp_take_up")
WORLDS: Final = (World(), World(lines=0.8), World(lines=1.2), World(lines=0.65), World(lines=1.35))


@cache
def tally(world: World) -> Tally:
    return same_cloth(
        WEAVERS if world in WORLDS[:3] else WEAVERS // 2, world, 40_000_000 + round(100 * world.lines) * 1000
    )


@cache
def told(changing: bool) -> dict[str, dict[int, float]]:
    return scores(WEAVERS, World(), 41_000_000, changing)


@pytest.mark.parametrize("world", WORLDS[:3], ids=lambda one: f"lines x {one.lines}")
def test_before_any_sample_nine_in_ten_hold_while_the_level_is_within_a_fifth(world: World) -> None:
    shares = [tally(world).share(name, 0) for name in ("lines_per_cm", "mass_g_m2")]
    assert min(shares) >= 0.80
    assert np.mean(shares) >= 0.85


@pytest.mark.parametrize("after", [1, 3, 10])
@pytest.mark.parametrize("world", WORLDS, ids=lambda one: f"lines x {one.lines}")
def test_after_samples_of_the_same_cloth_nine_in_ten_hold_whatever_the_level(world: World, after: int) -> None:
    shares = [tally(world).share(name, after) for name in READ]
    assert min(shares) >= 0.80
    assert max(shares) <= 0.985
    assert 0.85 <= np.mean(shares) <= 0.95


@pytest.mark.parametrize("after", [1, 3, 10])
def test_another_yarn_at_another_sett_is_told_more_widely_and_no_less_truly(after: int) -> None:
    found = tally(World())
    assert found.share(OTHER, after) >= 0.85
    assert found.middle("lines_per_cm", after) * 2 < found.middle(OTHER, after) < found.middle(OTHER, 0)


def test_an_interval_that_is_far_off_does_not_hold() -> None:
    """What 35 % off does before any sample: the prior is no wider than it may be, and the count of held ones shows it."""
    assert tally(World(lines=0.65)).share("lines_per_cm", 0) < 0.70
    assert tally(World(lines=1.35)).share("lines_per_cm", 0) < 0.90


@pytest.mark.parametrize("name", ["lines_per_cm", "mass_g_m2"])
def test_one_sample_takes_two_thirds_of_the_width_of_lines_and_mass(name: str) -> None:
    found = tally(World())
    assert max(found.width[name, 0]) <= log(2.5)
    assert all(found.middle(name, after) < found.middle(name, 0) / 3 for after in (1, 3, 10))
    assert exp(found.middle(name, 0)) > 2


def rivals(changing: bool, after: int) -> dict[str, float]:
    return {
        name: by[after] for name, by in told(changing).items() if name not in ("model", "flat average, misses known")
    }


@pytest.mark.parametrize("after", [1, 3, 10])
def test_where_cloths_change_the_model_foretells_better_than_a_flat_average_and_bayesian_ridge(after: int) -> None:
    assert told(True)["model"][after] > max(rivals(True, after).values()) + 0.1


@pytest.mark.parametrize("after, worse", [(1, 0.03), (3, 0.03), (10, 0.0)])
def test_of_one_cloth_it_is_as_good_as_the_flat_average_and_then_better(after: int, worse: float) -> None:
    """There the average of her own counts is nearly all that can be known; 200 weavers tell scores apart to 0.03."""
    assert told(False)["model"][after] > max(rivals(False, after).values()) - worse
