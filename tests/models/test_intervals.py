"""How sure a rate is, against Newcombe's printed tables and statsmodels."""

import numpy as np
import pytest
from statsmodels.stats.power import NormalIndPower
from statsmodels.stats.proportion import (
    confint_proportions_2indep,
    proportion_confint,
    samplesize_proportions_2indep_onetail,
)

from models.intervals import balls_needed, minimal_detectable_change, newcombe_difference, wilson

# Newcombe (1998), Stat. Med. 17:857, Table I, method 3 (second-hand: inputs in the documentation of DescTools).
WILSON = [(81, 263, 0.2553, 0.3662), (15, 148, 0.0624, 0.1605), (0, 20, 0.0, 0.1611), (1, 29, 0.0061, 0.1718)]
# Newcombe (1998), Stat. Med. 17:873, Table II, method 10 (second-hand).
DIFFERENCES = [(56, 70, 48, 80, 0.0524, 0.3339), (9, 10, 3, 10, 0.1705, 0.8090)]


@pytest.mark.parametrize(("good", "balls", "low", "high"), WILSON)
def test_the_range_of_a_rate_is_the_printed_one(good, balls, low, high):
    """Newcombe (1998) prints four decimals."""
    plausible = wilson(good / balls, balls)

    assert (low, high) == pytest.approx((plausible.low, plausible.high), abs=5e-5)
    assert proportion_confint(good, balls, method="wilson") == pytest.approx((plausible.low, plausible.high), abs=1e-12)


def test_a_player_who_missed_every_ball_has_a_lower_limit_of_exactly_zero():
    """Plain arithmetic gives -1e-17, which a screen shows as "-0%"."""
    assert wilson(0.0, 20).low == 0
    assert wilson(1.0, 20).high == 1


def test_no_balls_have_no_range():
    plausible = wilson(np.array([0.5, 0.5]), np.array([0, 10]))

    assert np.isnan(plausible.low[0])
    assert not np.isnan(plausible.low[1])


@pytest.mark.parametrize(("good", "balls", "good_before", "balls_before", "low", "high"), DIFFERENCES)
def test_the_range_of_a_change_is_the_printed_one(good, balls, good_before, balls_before, low, high):
    """Newcombe (1998), and statsmodels by the method "newcomb".

    Its method "score" is no reference: for 9 of 10 against 3 of 10 it gives .344 where Miettinen & Nurminen have .338.
    """
    limits = newcombe_difference(good / balls, balls, good_before / balls_before, balls_before)

    assert (low, high) == pytest.approx((limits.low, limits.high), abs=5e-5)
    library = confint_proportions_2indep(good, balls, good_before, balls_before, method="newcomb", compare="diff")
    assert library == pytest.approx((limits.low, limits.high), abs=1e-9)


def test_a_hundred_balls_twice_cannot_tell_less_than_thirteen_points():
    """Weir (2005), by hand with 1.96 for the quantile: 1.96 sqrt(2 x .7 x .3 / 100); and for 30, 60, 200 balls."""
    assert minimal_detectable_change(0.7, 100, 100) == pytest.approx(0.127023, abs=5e-6)
    several = minimal_detectable_change(0.7, np.array([30, 60, 200]), np.array([30, 60, 200]))
    assert pytest.approx(several, abs=5e-4) == [0.232, 0.164, 0.090]


@pytest.mark.parametrize(
    ("rate", "balls"), [(0.5, 387.3), (0.6, 355.94), (0.7, 293.15), (0.8, 199.0)], ids=["50", "60", "70", "80"]
)
def test_ten_points_more_need_hundreds_of_balls(rate, balls):
    """Fleiss, Levin & Paik (2003), ch. 4, as statsmodels computes it; the arcsine form is never far."""
    needed = balls_needed(rate, 0.10)

    assert balls == pytest.approx(needed, abs=0.05)
    library = samplesize_proportions_2indep_onetail(0.10, rate, power=0.8, alpha=0.025, alternative="larger")
    assert library == pytest.approx(needed, rel=1e-6)
    effect = 2 * (np.arcsin(np.sqrt(rate + 0.10)) - np.arcsin(np.sqrt(rate)))
    assert NormalIndPower().solve_power(effect, power=0.8, alpha=0.05) == pytest.approx(needed, rel=0.03)


def test_balls_that_resemble_each_other_must_be_more():
    """30-ball blocks at a correlation of .05: 2.45 balls are worth one."""
    assert balls_needed(0.6, 0.10, design_effect=2.45) == pytest.approx(872, abs=1)


def test_near_the_ceiling_the_fall_of_the_same_size_is_meant():
    assert balls_needed(0.95, 0.10) == pytest.approx(balls_needed(0.85, 0.10))


def test_a_change_is_as_sure_as_one_asks_for():
    """statsmodels by the method "newcomb", to 80 %."""
    limits = newcombe_difference(0.8, 70, 0.6, 80, confidence=0.8)

    library = confint_proportions_2indep(56, 70, 48, 80, method="newcomb", compare="diff", alpha=0.2)
    assert library == pytest.approx((limits.low, limits.high), abs=1e-9)


def test_a_single_ball_has_a_range():
    plausible = wilson(1.0, 1)

    assert proportion_confint(1, 1, method="wilson") == pytest.approx((plausible.low, plausible.high))


def test_a_rise_that_just_reaches_a_hundred_is_meant_as_a_rise():
    """From 80 to 100 of 100, and not to 60: the numbers of Fleiss, Levin & Paik by hand."""
    middle, after = 2 * 0.9 * 0.1, 0.8 * 0.2

    by_hand = (1.959964 * middle**0.5 + 0.841621 * after**0.5) ** 2 / 0.2**2
    assert balls_needed(0.8, 0.2) == pytest.approx(by_hand, rel=1e-5)
