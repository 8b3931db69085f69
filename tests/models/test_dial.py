"""A feeder's dial as a straight line, against statsmodels; and per-cent changes in its own steps."""

from math import isnan

import numpy as np
import pytest
import statsmodels.api as sm

from models.bounds import TooFewNotes
from models.dial import fit_dial

DIAL = np.array([2.0, 2, 2, 4, 4, 4, 6, 6, 6, 8, 8, 8])
SPEED = np.array([3.9, 4.1, 4.0, 5.6, 5.4, 5.5, 7.1, 6.8, 7.0, 8.4, 8.6, 8.5])
"""Invented: about 1 + 0.75 for each step... in m/s, read with some scatter."""


def line():
    return fit_dial(DIAL, SPEED, "speed_mps", "A")


def library_fit():
    return sm.OLS(SPEED, sm.add_constant(DIAL)).fit()


def test_the_line_and_its_variances_are_those_of_least_squares():
    fitted, library = line(), library_fit()

    assert (fitted.intercept, fitted.slope) == pytest.approx(tuple(library.params))
    covariance = library.cov_params()
    assert fitted.intercept_variance == pytest.approx(covariance[0, 0])
    assert fitted.slope_variance == pytest.approx(covariance[1, 1])
    assert fitted.covariance == pytest.approx(covariance[0, 1])


@pytest.mark.parametrize("dial", [2, 5, 8, 10])
def test_the_speed_at_a_setting_has_the_interval_of_its_mean(dial):
    expected = library_fit().get_prediction([[1, dial]]).summary_frame(alpha=0.05)
    estimate = line().at(dial)

    assert estimate.value == pytest.approx(expected["mean"].item())
    assert (estimate.low, estimate.high) == pytest.approx(
        (expected["mean_ci_lower"].item(), expected["mean_ci_upper"].item())
    )


def test_a_change_in_per_cent_becomes_steps_of_the_dial():
    """(1 + p) v = a + b (d + steps), so steps = p v / b (elementary)."""
    fitted = line()
    steps = fitted.steps_for(9, dial=5)

    assert fitted.at(5 + steps.value).value == pytest.approx(1.09 * fitted.at(5).value)
    assert steps.low < steps.value < steps.high
    assert fitted.steps_for(-9, dial=5).value == pytest.approx(-steps.value)


def test_the_interval_of_the_steps_is_that_of_the_delta_method():
    """Against statsmodels' fit, with the derivatives of p (a/b + d) taken numerically."""
    library = library_fit()

    def steps(parameters):
        return 0.09 * (parameters[0] / parameters[1] + 5)

    nudge = 1e-6
    slopes = np.array([(steps(library.params + nudge * unit) - steps(library.params)) / nudge for unit in np.eye(2)])
    half = 2.2281388519649385 * np.sqrt(slopes @ library.cov_params() @ slopes)  # Student's t, 10 df, 97.5 %
    estimate = line().steps_for(9, dial=5)

    assert (estimate.low, estimate.high) == pytest.approx((estimate.value - half, estimate.value + half), rel=1e-4)


def test_the_setting_for_a_speed_is_found_back():
    fitted = line()

    assert fitted.dial_for(fitted.at(3.7).value) == pytest.approx(3.7)
    assert fitted.covers(3.7)
    assert not fitted.covers(9)


def test_a_straight_dial_is_not_called_bent_and_a_bent_one_is():
    """Lack-of-fit F test (Draper & Smith, Applied Regression Analysis, from memory) against statsmodels' anova."""
    bent = SPEED + 0.15 * (DIAL - 5) ** 2
    straight_model = sm.OLS(bent, sm.add_constant(DIAL)).fit()
    free_model = sm.OLS(bent, (DIAL[:, None] == np.unique(DIAL)).astype(float)).fit()

    assert line().bend_p_value > 0.05
    assert fit_dial(DIAL, bent, "speed_mps", "A").bend_p_value == pytest.approx(
        free_model.compare_f_test(straight_model)[1], rel=1e-6
    )


def test_three_settings_and_one_that_was_noted_twice_are_just_enough_to_tell_a_bend():
    dial, speed = np.array([2.0, 4, 4, 6]), np.array([4.0, 5.4, 5.6, 6.3])
    straight_model = sm.OLS(speed, sm.add_constant(dial)).fit()
    free_model = sm.OLS(speed, (dial[:, None] == np.unique(dial)).astype(float)).fit()

    assert fit_dial(dial, speed, "speed_mps", "A").bend_p_value == pytest.approx(
        free_model.compare_f_test(straight_model)[1], rel=1e-6
    )
    for untold in (dial != 6, [0, 1, 3]):
        assert isnan(fit_dial(dial[untold], speed[untold], "speed_mps", "A").bend_p_value)


def test_two_balls_make_a_line_without_an_interval():
    fitted = fit_dial(np.array([2.0, 6.0]), np.array([4.0, 7.0]), "speed_mps", "A")

    assert fitted.at(4).value == 5.5
    assert isnan(fitted.at(4).low)
    assert isnan(fitted.bend_p_value)
    assert fitted.steps_for(10, dial=4).value == pytest.approx(0.55 / 0.75)


def test_one_setting_is_not_enough():
    with pytest.raises(TooFewNotes, match="3 balls are noted, all at one setting"):
        fit_dial(np.array([5.0, 5, 5]), np.array([4.0, 4.1, 4.2]), "speed_mps", "A")


@pytest.mark.parametrize("values", [[4.0, 4.0, 4.0, 4.0], [4.0, 5.0, 5.1, 4.1]], ids=["flat", "within the noise"])
def test_a_dial_that_seems_to_do_nothing_has_no_steps(values):
    fitted = fit_dial(np.array([2.0, 2, 6, 6]), np.array(values)[[0, 1, 2, 3]], "speed_mps", "A")

    with pytest.raises(TooFewNotes, match="cannot be told what a step of the dial does"):
        fitted.steps_for(10, dial=4)
    with pytest.raises(TooFewNotes, match="settings further apart"):
        fitted.dial_for(4.5)


def test_a_step_of_the_dial_has_the_interval_of_the_slope():
    low, high = library_fit().conf_int()[1]

    assert (line().step.value, line().step.low, line().step.high) == pytest.approx((line().slope, low, high))
    assert line().tells_steps


def test_a_dial_whose_steps_may_as_well_do_nothing_does_not_tell():
    assert not fit_dial(DIAL, np.tile([4.0, 4.1, 3.9, 4.05], 3), "speed_mps", "A").tells_steps
