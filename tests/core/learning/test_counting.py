"""How sure a count is: worked examples, and what must hold of any."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from weftline.core.learning.counting import counted, half_unsure, log_unsure


@pytest.mark.outside
@pytest.mark.parametrize(
    "counts, mean, scatter, unsure, far",
    [
        ((24, 25, 24, 23, 25), 24.2, 0.836660, 0.374166, 1.038851),
        ((121, 119, 122, 120, 118, 121, 120, 119, 121, 120), 120.1, 1.197219, 0.378594, 0.856439),
    ],
)
def test_counts_that_were_worked_by_the_rule(
    counts: tuple[int, ...], mean: float, scatter: float, unsure: float, far: float
) -> None:
    """u = s / sqrt(n) and U = t(0.975, n - 1) u: NIST Technical Note 1297 (1994), 5.1, appendices A and B; t by scipy."""
    found = counted(counts)
    assert (found.mean, found.scatter, found.unsure, found.far) == pytest.approx((mean, scatter, unsure, far), abs=6e-7)


@pytest.mark.outside
@pytest.mark.parametrize("over_cm, unsure", [(2, 0.14434), (5, 0.05774), (10, 0.02887)])
def test_a_count_to_half_a_thread(over_cm: float, unsure: float) -> None:
    """A rectangle of half a thread either side: 0.5 / (sqrt(3) L), NIST Technical Note 1297, 4.6."""
    assert half_unsure(over_cm) == pytest.approx(unsure, abs=5e-6)


def test_one_count_is_as_sure_as_its_rounding_and_the_tape() -> None:
    assert log_unsure((62,), 150) == pytest.approx(((0.2887 / 62) ** 2 + (0.5 / 150) ** 2) ** 0.5)


def test_counts_that_agree_are_surer_than_one_and_those_that_do_not_are_not() -> None:
    assert log_unsure((62, 62, 62, 62), 150) < log_unsure((62,), 150) < log_unsure((58, 66, 62, 70), 150)


@given(lines=st.integers(1, 500), over=st.floats(10, 1000))
def test_a_longer_count_is_surer(lines: int, over: float) -> None:
    assert log_unsure((2 * lines,), 2 * over) == pytest.approx(log_unsure((lines,), over) / 2)
