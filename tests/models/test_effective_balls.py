"""How many balls a count is worth, against the litters of Weil (1970), a standard table of clustered counts."""

import numpy as np
import pytest

from models.effective_balls import club_correlation, design_effect, effective_balls
from tests.models.published import CONTROL_LITTERS, TREATED_LITTERS


def correlation_within(alike, good, balls):
    return club_correlation(alike, good, balls, least_freedom=1)


@pytest.mark.parametrize(
    ("litters", "rho"), [(CONTROL_LITTERS, 0.029091), (TREATED_LITTERS, 0.372135)], ids=["control", "treated"]
)
def test_the_correlation_within_litters_is_that_of_the_analysis_of_variance(litters, rho):
    """(MSB - MSW) / (MSB + (n0 - 1) MSW), computed from the published litters."""
    good, balls = litters

    assert correlation_within(np.zeros(16), good, balls).rho == pytest.approx(rho, abs=1e-6)


@pytest.mark.parametrize(
    ("litters", "effect"), [(CONTROL_LITTERS, 1.232495), (TREATED_LITTERS, 3.952861)], ids=["control", "treated"]
)
def test_the_design_effect_is_near_the_one_of_rao_and_scott(litters, effect):
    """Rao & Scott (1992) take it from the spread between litters; ours, from the correlation, lies within 10%."""
    good, balls = np.array(litters)
    rho = correlation_within(np.zeros(16), good, balls).rho

    assert design_effect(balls.sum(), (balls**2).sum(), rho) == pytest.approx(effect, rel=0.10)


def test_an_easy_and_a_hard_cell_do_not_pass_for_resemblance():
    """Nothing but the cells differs: no correlation within them, a high one across them."""
    good, balls = np.array([9, 9, 9, 9, 2, 2, 2, 2]), np.full(8, 10)

    assert correlation_within([1, 1, 1, 1, 2, 2, 2, 2], good, balls).rho == 0
    assert correlation_within(np.zeros(8), good, balls).rho > 0.4


def test_balls_that_balance_each_other_within_a_block_have_no_negative_correlation():
    assert correlation_within(np.zeros(4), [5, 5, 5, 5], [10, 10, 10, 10]).rho == 0


def test_a_young_club_gets_its_setting_and_is_told_so():
    """Sixteen blocks allow fifteen comparisons, fewer than the setting asks for."""
    measured = club_correlation(np.zeros(16), *TREATED_LITTERS, assumed_rho=0.07)

    assert (measured.rho, measured.freedom, measured.is_assumed) == (0.07, 15, True)


def test_blocks_without_balls_change_nothing():
    good, balls = TREATED_LITTERS
    with_empty_blocks = correlation_within(np.zeros(18), [0, *good, 0], [0, *balls, 0])

    assert with_empty_blocks == correlation_within(np.zeros(16), good, balls)


def test_three_hundred_balls_in_ten_blocks_are_worth_a_hundred_and_twenty():
    """Kish (1965): 1 + 29 x .05 = 2.45 balls for one."""
    assert effective_balls(300, 10 * 30**2, 0.05) == pytest.approx(300 / 2.45)
    assert effective_balls(300, 10 * 30**2, 0.0) == pytest.approx(300)


def test_no_balls_are_worth_none():
    assert effective_balls(np.array([0, 10]), np.array([0, 100]), 0.1).tolist() == pytest.approx([0, 10 / 1.9])


def test_a_club_without_blocks_to_compare_gets_its_setting_whatever_it_asks_for():
    assert club_correlation([], [], [], least_freedom=0).is_assumed
    assert club_correlation([1, 2], [3, 4], [5, 6], least_freedom=0).is_assumed
