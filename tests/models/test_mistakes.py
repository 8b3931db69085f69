"""Which mistakes go with which spin, against Goodman's ranges in statsmodels."""

import numpy as np
import pytest
from statsmodels.stats.proportion import confint_proportions_2indep, multinomial_proportions_confint

from models.mistakes import outcome_shares, standing_out

# Invented. Columns: good, net, long, wide, missed. Rows: backspin (into the net), no spin, topspin.
COUNTS = np.array([[60, 30, 5, 3, 2], [75, 8, 8, 5, 4], [70, 6, 14, 6, 4]])

ONE_WINDOW = [1, 1, 1]


def test_shares_and_their_ranges_are_goodmans():
    """Goodman (1965): ranges of one spin's outcomes hold together."""
    shares = outcome_shares(COUNTS, COUNTS.sum(axis=1))

    for spin, counts in enumerate(COUNTS):
        library = multinomial_proportions_confint(counts, method="goodman")
        assert library[:, 0] == pytest.approx(shares.low[spin], abs=1e-9)
        assert library[:, 1] == pytest.approx(shares.high[spin], abs=1e-9)
    assert shares.share.sum(axis=1) == pytest.approx(1)


def test_fewer_effective_balls_make_the_ranges_longer_and_leave_the_shares():
    sure, unsure = outcome_shares(COUNTS, [100, 100, 100]), outcome_shares(COUNTS, [40, 40, 40])

    assert sure.share.tolist() == unsure.share.tolist()
    assert np.all(unsure.high - unsure.low > sure.high - sure.low)


def test_the_net_stands_out_on_backspin_and_nothing_else_does():
    stands_out = standing_out(ONE_WINDOW, COUNTS, COUNTS.sum(axis=1))

    assert np.argwhere(stands_out).tolist() == [[0, 1]]


def test_the_same_shares_on_few_balls_say_nothing():
    assert not standing_out(ONE_WINDOW, COUNTS, [12, 12, 12]).any()


def test_a_spin_never_met_and_a_single_spin_say_nothing():
    shares = outcome_shares([[0, 0, 0], [8, 1, 1]], [0, 10])

    assert np.isnan(shares.share[0]).all()
    assert not standing_out([1, 1], [[0, 0, 0], [8, 1, 1]], [0, 10]).any()
    assert not standing_out([1], [[8, 30, 1]], [39]).any()


def test_each_window_is_compared_within_itself_whatever_stands_beside_it():
    """Windows of three, two and one spins at once, in any order of their rows, as each of them alone."""
    window = np.array([7, 3, 7, 3, 7, 9])
    counts = np.array(
        [[60, 30, 5, 3, 2], [40, 50, 4, 3, 3], [75, 8, 8, 5, 4], [80, 5, 5, 5, 5], [70, 6, 14, 6, 4], COUNTS[0]]
    )
    worth = np.array([100.0, 80.0, 90.0, 70.0, 60.0, 100.0])

    together = standing_out(window, counts, worth)

    for number in np.unique(window):
        rows = window == number
        assert together[rows].tolist() == standing_out(window[rows], counts[rows], worth[rows]).tolist()
    assert together[1].tolist() == [False, True, False, False, False]
    assert not together[5].any()


def test_every_outcome_is_compared_as_newcombe_does_at_its_share_of_the_error():
    """Two hundred windows of two to four spins; a habit is planted in many."""
    draw = np.random.default_rng(5)
    spins = draw.integers(2, 5, 200)
    window = np.repeat(np.arange(200), spins)
    counts = (
        draw.multinomial(60, [0.6, 0.2, 0.1, 0.06, 0.04], len(window)) + draw.poisson(6, (len(window), 5)) ** 2 // 9
    )
    worth = counts.sum(axis=1) * draw.uniform(0.5, 1, len(window))

    found = standing_out(window, counts, worth)

    total = counts.sum(axis=1, keepdims=True)
    in_window = (window[:, None] == window) & ~np.eye(len(window), dtype=bool)
    of_others = (in_window @ counts) / (in_window @ total)
    these, those = worth[:, None], (in_window @ worth)[:, None]
    plain = np.zeros(found.shape, dtype=bool)
    for several in (2, 3, 4):
        at = spins[window] == several
        two_counts = (column[at] for column in (these * counts / total, these, those * of_others, those))
        low, _ = confint_proportions_2indep(
            *two_counts, method="newcomb", compare="diff", alpha=2 * 0.05 / (several * 5)
        )
        plain[at] = low > 0
    assert found.dtype == bool
    assert found.tolist() == plain.tolist()
    assert 30 < found.sum() < found.size / 2


def test_a_single_ball_has_a_share():
    assert outcome_shares([[0, 1, 0]], [1]).share.tolist() == [[0, 1, 0]]
