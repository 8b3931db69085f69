"""How many balls a count is worth, against the litters of Weil (1970), a standard table of clustered counts."""

import numpy as np
import pytest

from models.effective_balls import design_effect, effective_balls
from tests.models.published import CONTROL_LITTERS, TREATED_LITTERS


@pytest.mark.parametrize(
    ("litters", "rho", "effect"),
    [(CONTROL_LITTERS, 0.029091, 1.232495), (TREATED_LITTERS, 0.372135, 3.952861)],
    ids=["control", "treated"],
)
def test_the_design_effect_is_near_the_one_of_rao_and_scott(litters, rho, effect):
    """Rao & Scott (1992) take it from the spread between litters; ours, from the correlation, lies within 10%."""
    balls = np.array(litters[1])

    assert design_effect(balls.sum(), (balls**2).sum(), rho) == pytest.approx(effect, rel=0.10)


def test_three_hundred_balls_in_ten_blocks_are_worth_a_hundred_and_twenty():
    """Kish (1965): 1 + 29 x .05 = 2.45 balls for one."""
    assert effective_balls(300, 10 * 30**2, 0.05) == pytest.approx(300 / 2.45)
    assert effective_balls(300, 10 * 30**2, 0.0) == pytest.approx(300)


def test_balls_of_one_day_are_worth_less_than_the_same_blocks_on_ten_days():
    """1 + 29 x .05 + 270 x .02 = 7.85 on one day, 1 + 29 x .05 + 120 x .02 = 4.85 on two; 2.45 on ten."""
    one, two, ten = (effective_balls(300, 10 * 30**2, 0.05, days * (300 // days) ** 2, 0.02) for days in (1, 2, 10))

    assert (one, two, ten) == pytest.approx((300 / 7.85, 300 / 4.85, 300 / 2.45))


def test_the_effective_balls_of_unequal_blocks_are_those_of_the_whole_matrix_of_correlations():
    """Variance of a mean: the sum of every pair's correlation, over n^2; blocks of 2, 3 and 4 balls in two sessions."""
    block, session = np.repeat([1, 2, 3], [2, 3, 4]), np.repeat([1, 1, 2], [2, 3, 4])
    alike = 0.1 * (session[:, None] == session) + 0.2 * (block[:, None] == block) + 0.7 * np.eye(9)

    worth = effective_balls(9, 4 + 9 + 16, 0.3, 25 + 16, 0.1)

    assert worth == pytest.approx(81 / alike.sum())


def test_no_balls_are_worth_none():
    assert effective_balls(np.array([0, 10]), np.array([0, 100]), 0.1).tolist() == pytest.approx([0, 10 / 1.9])


def test_sessions_tell_nothing_where_their_form_is_not_known():
    assert design_effect([60], [1800], 0.1, [3600]).tolist() == design_effect([60], [1800], 0.1).tolist()
    assert effective_balls([60], [1800], 0.1, [3600]).tolist() == effective_balls([60], [1800], 0.1).tolist()


def test_a_single_ball_is_worth_one():
    assert effective_balls([1], [1], 0.1).tolist() == [1]
