"""Threadings: the shaft of each end, and numbers of ends that leave both edges alike."""

import numpy as np
import pytest

from weftline.core.weave.threading import balanced_counts, is_balanced, thread

POINT, ROSEPATH, STRAIGHT = (1, 2, 3, 2), (1, 2, 3, 4, 3, 2), (1, 2, 3, 4)


@pytest.mark.parametrize(
    "repeat,count,start,ends",
    [
        pytest.param(POINT, 1, 1, "1", id="one end"),
        pytest.param(POINT, 9, 1, "123212321", id="two repeats and one end"),
        pytest.param(POINT, 6, 3, "321232", id="starting at the point"),
        pytest.param(POINT, 5, 4, "21232", id="starting on the last place of the repeat"),
        pytest.param((7,), 3, 1, "777", id="a repeat of one end"),
        pytest.param(ROSEPATH, 3, 1, "123", id="less than a repeat"),
    ],
)
def test_ends_stand_on(repeat: tuple[int, ...], count: int, start: int, ends: str) -> None:
    found = thread(repeat, count, start)
    assert "".join(map(str, found)) == ends
    assert found.dtype == np.uint8


@pytest.mark.parametrize(
    "ends,balanced",
    [
        pytest.param("12321", True, id="a whole point is balanced"),
        pytest.param("1232", False, id="a point without its last end is not"),
        pytest.param("2123212", True, id="a point that starts beside itself is balanced"),
        pytest.param("1", True, id="one end is balanced"),
        pytest.param("12", False, id="two unlike ends are not"),
        pytest.param("2112", True, id="an even number of ends may be balanced"),
    ],
)
def test_balance(ends: str, balanced: bool) -> None:
    assert is_balanced(np.array([int(shaft) for shaft in ends], dtype=np.uint8)) is balanced


@pytest.mark.parametrize(
    "repeat,count,start,counts",
    [
        pytest.param(POINT, 120, 1, (121, 117), id="the nearer one comes first"),
        pytest.param(POINT, 119, 1, (121, 117), id="of two equally near the larger comes first"),
        pytest.param(POINT, 118, 1, (117, 121), id="below where that is nearer"),
        pytest.param(POINT, 2, 1, (5,), id="one end is never offered"),
        pytest.param(POINT, 6, 2, (7, 3), id="another start has other numbers"),
        pytest.param(ROSEPATH, 90, 1, (91, 85), id="rosepath has a longer repeat"),
        pytest.param(STRAIGHT, 40, 1, (), id="a straight threading has none"),
        pytest.param((1, 2), 40, 1, (41, 39), id="plain weave has every odd number"),
    ],
)
def test_the_nearest_balanced_numbers(repeat: tuple[int, ...], count: int, start: int, counts: tuple[int, ...]) -> None:
    assert balanced_counts(repeat, count, start) == counts
    assert all(is_balanced(thread(repeat, found, start)) for found in counts)
