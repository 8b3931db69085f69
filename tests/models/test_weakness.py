"""Weak on a ball: against what is expected of this player on it, by hand and by statsmodels."""

from dataclasses import replace

import numpy as np
import pytest
from scipy import special
from statsmodels.stats.proportion import confint_proportions_2indep

from models.own_level import at_own_level
from models.weakness import MetKinds, against_expectation

CELLS = np.arange(4)
CLUB_RATE = np.array([0.8, 0.7, 0.6, 0.4])


def met(rate, doubt=0.0, balls=100.0):
    fed = np.full(4, balls)
    return MetKinds(CELLS, CELLS, np.asarray(rate) * fed, fed, special.logit(CLUB_RATE), doubt * np.eye(4))


def weak(log, worth=100.0):
    return np.flatnonzero(against_expectation(log, np.full(4, worth)).is_weak).tolist()


def test_a_ball_that_is_hard_for_everybody_is_no_weakness():
    """Two of five on the last, far below the player's own level."""
    assert weak(met(CLUB_RATE)) == []


def test_a_ball_on_which_the_player_alone_fails_is_one():
    assert weak(met(CLUB_RATE - [0, 0.3, 0, 0])) == [1]


def test_a_player_who_never_misses_is_weak_on_nothing():
    assert weak(met(np.ones(4), balls=12.0), worth=12.0) == []


def test_where_nobody_else_can_tell_how_hard_a_ball_is_no_weakness_is_claimed():
    assert weak(met(CLUB_RATE - [0, 0.3, 0, 0], doubt=1.0)) == []


def test_balls_that_share_their_luck_tell_less():
    assert weak(met(CLUB_RATE - [0, 0.3, 0, 0]), worth=12.0) == []


def test_the_range_is_newcombes_and_the_expected_rate_that_of_the_players_level():
    log = met(CLUB_RATE - [0, 0.2, 0, 0])
    found = against_expectation(log, np.full(4, 100.0))

    assert np.sum(found.expected_rate) * 100 == pytest.approx((log.good.sum() + 0.5) * 400 / 401)
    assert np.ptp(special.logit(found.expected_rate) - special.logit(CLUB_RATE)) == pytest.approx(0, abs=1e-9)
    for cell in range(4):
        worth = found.effective_balls[cell]
        counts = (found.rate[cell] * 100, 100, found.expected_rate[cell] * worth, worth)
        high = confint_proportions_2indep(*counts, method="newcomb", compare="diff")[1]
        assert found.is_weak[cell] == (high < 0)


def test_doubt_that_all_balls_have_in_common_is_the_players_level():
    log = met(CLUB_RATE - [0, 0.3, 0, 0])
    common = replace(log, doubt=np.ones((4, 4)))

    sure, same = (against_expectation(one, np.full(4, 100.0)) for one in (log, common))
    assert same.effective_balls == pytest.approx(sure.effective_balls)


def test_an_expected_rate_is_moved_by_one_amount_until_the_total_comes_out():
    rate = at_own_level(special.logit(CLUB_RATE), [9, 9, 9, 9], [10, 10, 10, 10])

    assert rate.sum() * 10 == pytest.approx(36.5 * 40 / 41)


UNLIKE = MetKinds(
    np.array([0, 0, 1, 1, 2]),
    np.array([0, 1, 1, 2, 3]),
    np.array([20.0, 30, 28, 16, 5]),
    np.array([30.0, 40, 35, 40, 20]),
    np.array([0.9, 0.2, -0.4, -1.1]),
    0.05 * np.eye(4) + 0.03,
)
"""Cells of several kinds, unequal counts and rates; `ease` is by kind, and comes to the rows below."""


def test_doubt_about_balls_and_level_goes_into_the_expected_rate_as_the_whole_calculation_moves():
    """The delta method by finite differences: every ease is moved a little, and everything worked out anew."""
    rows = replace(UNLIKE, ease=UNLIKE.ease[UNLIKE.kind])
    of_cell = np.eye(3)[UNLIKE.cell].T
    fed = of_cell @ UNLIKE.balls

    def expected(ease, level=0.0):
        rate = at_own_level(ease[UNLIKE.kind], UNLIKE.good, UNLIKE.balls)
        return of_cell @ (UNLIKE.balls * special.expit(special.logit(rate) + level)) / fed

    steps = [(expected(UNLIKE.ease + step) - expected(UNLIKE.ease - step)) / 2e-5 for step in 1e-5 * np.eye(4)]
    by_level = (expected(UNLIKE.ease, 1e-5) - expected(UNLIKE.ease, -1e-5)) / 2e-5
    rate = at_own_level(rows.ease, rows.good, rows.balls)
    of_level = 1 / np.sum(UNLIKE.balls * rate * (1 - rate))
    for effect in (1.0, 1.7):
        variance = np.diag(np.transpose(steps) @ UNLIKE.doubt @ np.array(steps)) + by_level**2 * of_level * effect
        known = expected(UNLIKE.ease) * (1 - expected(UNLIKE.ease)) / variance

        assert against_expectation(rows, fed, effect).effective_balls == pytest.approx(known, rel=1e-6)
    assert np.array_equal(
        against_expectation(rows, fed).effective_balls, against_expectation(rows, fed, 1.0).effective_balls
    )


def test_who_asks_for_less_certainty_is_told_of_more_weaknesses():
    log = met(CLUB_RATE - [0, 0.2, 0.1, 0])

    assert [
        np.flatnonzero(against_expectation(log, np.full(4, 60.0), confidence=sure).is_weak).tolist()
        for sure in (0.95, 0.6)
    ] == [[], [1]]
