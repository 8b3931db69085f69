"""Load and its change, by hand; a week without a log is missing, not rest."""

import numpy as np
import pytest

from models.training_load import effort_load, week_change, youth_guidance_h


def one_player(weeks, load, **more):
    return week_change(np.zeros(len(weeks)), weeks, load, **more)


def test_an_hour_at_effort_seven_is_420_units():
    """Foster et al. (2001)."""
    assert effort_load(7, 60) == 420
    assert np.isnan(effort_load(np.nan, 60))


def test_a_week_is_compared_with_the_mean_of_the_four_before():
    change = one_player([1, 2, 3, 4, 5, 6], [100, 200, 300, 200, 250, 119])

    assert np.isnan(change[:4]).all()
    assert change[4:] == pytest.approx([0.25, 119 / 237.5 - 1])


def test_weeks_without_a_log_are_passed_over_and_not_taken_for_rest():
    """Three weeks lost: the mean stays 200. Logged rest (0) counts, and makes it 100."""
    assert one_player([1, 2, 3, 4, 8], [200, 200, 200, 200, 200])[-1] == 0
    assert one_player([1, 2, 3, 4, 5, 6], [200, 200, 200, 0, 0, 200])[-1] == 1


def test_a_week_whose_effort_was_not_logged_is_missing():
    change = one_player([1, 2, 3, 4, 5, 6], [200, 200, np.nan, 200, 200, 300])

    assert np.isnan(change[2])
    assert change[5] == pytest.approx(0.5)


def test_weeks_too_long_ago_are_no_comparison():
    assert np.isnan(one_player([1, 2, 3, 4, 20], [200] * 5)[-1])
    assert one_player([1, 2, 3, 4, 20], [200] * 5, look_back_weeks=19)[-1] == 0


def test_a_player_is_never_compared_with_another_and_rows_may_come_in_any_order():
    player, week = np.repeat([5, 2], 5), np.tile(np.arange(5), 2)
    load = np.array([100, 100, 100, 100, 150, 10, 10, 10, 10, 5])
    shuffled = np.random.default_rng(0).permutation(10)

    change = week_change(player[shuffled], week[shuffled], load[shuffled])

    assert change[np.argsort(shuffled)][[4, 9]] == pytest.approx([0.5, -0.5])
    assert np.isnan(change).sum() == 8


def test_after_four_weeks_of_logged_rest_there_is_no_ratio():
    assert np.isnan(one_player([1, 2, 3, 4, 5], [0, 0, 0, 0, 100])[-1])


def test_a_newcomer_has_no_change():
    assert np.isnan(one_player([3, 4], [100, 200])).all()


@pytest.mark.parametrize(("age", "hours"), [(9, 9), (16, 16), (18, 16)])
def test_guidance_for_the_young_is_their_age_in_hours_and_sixteen_at_most(age, hours):
    """Jayanthi et al. (2015); American Academy of Pediatrics (2016)."""
    assert youth_guidance_h(age) == hours
