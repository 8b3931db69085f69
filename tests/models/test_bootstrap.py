"""Blocks dealt again, against scipy's own bootstrap and the textbook range."""

import numpy as np
import pytest
from scipy import stats

from models.bootstrap import expanded_percentiles, resample_whole

DRAW = np.random.default_rng(17)
BLOCK_HITS = DRAW.integers(10, 28, 12).astype(float)


def test_the_spread_of_dealt_totals_is_that_of_the_library():
    """scipy resamples the same twelve blocks: the standard errors agree within chance."""
    library = stats.bootstrap((BLOCK_HITS,), np.sum, n_resamples=4000, rng=np.random.default_rng(1))

    dealt = resample_whole(BLOCK_HITS, 4000, seed=2)

    assert dealt.mean() == pytest.approx(BLOCK_HITS.sum(), rel=0.01)
    assert dealt.std() == pytest.approx(library.standard_error, rel=0.06)


def test_columns_of_a_block_stay_together():
    pairs = np.stack([BLOCK_HITS, 30 - BLOCK_HITS], axis=1)

    dealt = resample_whole(pairs, 50, seed=3)

    assert dealt.shape == (50, 2)
    assert dealt.sum(axis=1) == pytest.approx(12 * 30)


def test_the_same_seed_deals_the_same_blocks():
    assert np.array_equal(resample_whole(BLOCK_HITS, 20, seed=5), resample_whole(BLOCK_HITS, 20, seed=5))
    assert not np.array_equal(resample_whole(BLOCK_HITS, 20, seed=5), resample_whole(BLOCK_HITS, 20, seed=6))


def test_the_range_of_a_mean_is_that_of_students_t():
    """Hesterberg (2015): expanded percentiles reproduce the t range of a mean; plain ones are a sixth too short."""
    dealt = resample_whole(BLOCK_HITS, 40_000, seed=7) / 12
    half = stats.t.ppf(0.975, 11) * BLOCK_HITS.std(ddof=1) / np.sqrt(12)

    low, high = expanded_percentiles(dealt, 12, 0.95)

    assert high - low == pytest.approx(2 * half, rel=0.04)
    assert np.subtract(*np.quantile(dealt, [0.975, 0.025])) < 0.90 * 2 * half


@pytest.mark.parametrize(("blocks", "confidence"), [(3, 0.95), (6, 0.9)])
def test_the_percentiles_are_expanded_by_the_published_formula(blocks, confidence):
    """Hesterberg (2015): the normal tail at sqrt(n / (n - 1)) times Student's t with n - 1 degrees of freedom."""
    quantile = stats.t.ppf(0.5 + confidence / 2, blocks - 1)
    tail = stats.norm.sf(np.sqrt(blocks / (blocks - 1)) * quantile)

    assert expanded_percentiles(np.linspace(0, 1, 11), blocks, confidence) == pytest.approx((tail, 1 - tail))


def test_deals_without_a_value_are_passed_over():
    values = np.array([np.nan, 1.0, 2.0, 3.0, np.nan])

    assert expanded_percentiles(values, 50, 0.95) == expanded_percentiles(values[1:4], 50, 0.95)


def test_cells_that_few_blocks_hold_are_dealt_as_if_every_block_held_them():
    """Whole numbers below 2**53 add up exactly, in whatever order and with however many noughts between."""
    totals = np.where(DRAW.random((40, 6, 1)) < 0.2, DRAW.integers(0, 30, (40, 6, 4)), 0).astype(float)

    dealt = resample_whole(totals, 300, seed=8)

    assert np.array_equal(dealt, resample_whole(totals.reshape(40, -1), 300, seed=8).reshape(300, 6, 4))
