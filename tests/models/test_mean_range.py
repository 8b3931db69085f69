"""The range of a mean, against the handbook and scipy."""

import math

import numpy as np
import pytest
from scipy import stats

from models.mean_range import range_of_mean


def test_the_worked_example_of_the_handbook() -> None:
    """NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.5.2, heat flow meters (values from memory)."""
    found = range_of_mean(9.261460, 0.022789, 195)

    assert (found.low, found.high) == pytest.approx((9.258242, 9.264679), abs=2e-6)


@pytest.mark.parametrize("count", [2, 3, 10, 200])
def test_it_is_what_scipy_says(count: int) -> None:
    values = np.random.default_rng(count).normal(0.5, 0.2, count)
    low, high = stats.t.interval(0.9, count - 1, values.mean(), stats.sem(values))

    found = range_of_mean(float(values.mean()), float(values.std(ddof=1)), count, 0.9)

    assert (found.low, found.high) == pytest.approx((low, high))


def test_one_figure_has_no_range() -> None:
    found = range_of_mean(0.4, float("nan"), 1)

    assert found.value == 0.4
    assert math.isnan(found.low)
    assert math.isnan(found.high)
