"""Quantiles of Student's t against scipy."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from weftline.core.learning.student import t_quantile


@pytest.mark.outside
@given(share=st.floats(0.001, 0.999), degrees=st.floats(2, 300))
def test_quantiles_are_scipys(share: float, degrees: float) -> None:
    assert t_quantile(share, degrees) == pytest.approx(float(stats.t.ppf(share, degrees)), rel=1e-7, abs=1e-9)


@pytest.mark.outside
@pytest.mark.parametrize("n, t", [(2, 12.7062), (3, 4.3027), (4, 3.1824), (5, 2.7764), (6, 2.5706), (8, 2.3646), (10, 2.2622), (20, 2.0930), (30, 2.0452)])  # fmt: skip
def test_printed_quantiles(n: int, t: float) -> None:
    """The 0.975 quantiles that go with n counts (NIST Technical Note 1297, table B.1, to more digits)."""
    assert t_quantile(0.975, n - 1) == pytest.approx(t, abs=6e-5)


@pytest.mark.parametrize("share, degrees", [(0.0, 5), (1.0, 5), (0.9, 0.5)])
def test_what_is_no_share_is_refused(share: float, degrees: float) -> None:
    with pytest.raises(ValueError, match="the share lies between 0 and 1"):
        t_quantile(share, degrees)
