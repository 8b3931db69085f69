"""Both dials of a feeder from the landings of one or several evenings: what went in comes out."""

import numpy as np
import pytest

from models.coefficients import ALL_SETS, SET_A
from models.feeder_calibration import NotedBalls, calibrate_feeder
from models.feeds import Feeds
from models.flight import simulate

SPEED_MARKS = np.repeat([6.0, 6.5, 7.0, 7.5], 3)
SPIN_MARKS = np.repeat([-4.0, -2.0, 2.0, 4.0], 3)
NONE = np.full(12, np.nan)


def noted(speed_setting, flown_mps, spin_setting=NONE, topspin_rps=0.0, coefficients=SET_A, **known):
    """Balls flown by a set of coefficients from two places at two tilts, noted exactly; what is known beside them."""
    stand = {"x_cm": np.tile([-20.0, -30, -20], 4), "y_cm": 0.0, "height_cm": 25.0}
    tilt_deg = np.tile([10.0, 12, 10], 4)
    flown = {"speed_mps": flown_mps, "yaw_deg": 1, "topspin_rps": topspin_rps, "sidespin_rps": 0}
    flights = simulate(Feeds.of(**stand, elevation_deg=tilt_deg, **flown), coefficients)
    dials = {"speed_setting": speed_setting, "spin_setting": spin_setting}
    beside = {"topspin_rps": np.nan, "speed_mps": np.nan} | known
    landed = {"landing_x_cm": flights.landing_x_cm, "landing_y_cm": flights.landing_y_cm}
    return NotedBalls.of(**stand, elevation_deg=tilt_deg, **dials, **beside, **landed)


def both(first, second):
    columns = {name: np.append(column, vars(second)[name]) for name, column in vars(first).items()}
    return NotedBalls(**columns)


def plain(**changes):
    return noted(SPEED_MARKS, 1.0 + 0.8 * SPEED_MARKS, **changes)


def spun(**changes):
    return noted(6.5, 1.0 + 0.8 * 6.5, SPIN_MARKS, 7.0 * SPIN_MARKS, **changes)


def of_dial(calibrations, dial):
    return next(each for each in calibrations if each.dial == dial)


@pytest.mark.parametrize("coefficients", ALL_SETS, ids=lambda each: each.name)
def test_speed_and_then_spin_are_found_back_from_balls_of_several_places_and_tilts(coefficients):
    balls = both(plain(coefficients=coefficients), spun(coefficients=coefficients))
    found = calibrate_feeder(balls, [coefficients])
    speed, spin = of_dial(found, "speed"), of_dial(found, "spin")

    assert (speed.line.intercept, speed.line.slope) == pytest.approx((1.0, 0.8), abs=0.02)
    assert (spin.line.intercept, spin.line.slope) == pytest.approx((0.0, 7.0), abs=0.4)
    assert (speed.balls, speed.settings, speed.unexplained) == (12, 4, 0)
    assert (spin.coefficients, spin.coefficients_version) == (coefficients.name, coefficients.version)


def test_a_straight_dial_with_some_scatter_is_straight_and_the_truth_lies_in_its_range():
    scatter_mps = np.random.default_rng(3).normal(0, 0.05, 12)
    speed = of_dial(calibrate_feeder(noted(SPEED_MARKS, 1.0 + 0.8 * SPEED_MARKS + scatter_mps), [SET_A]), "speed")

    assert speed.verdict == "straight"
    assert speed.line.step.low < 0.8 < speed.line.step.high


def test_a_known_spin_is_taken_into_account():
    """A feeder with one wheel gives no ball without spin: backspin of 20 turns a second carries further."""
    balls = noted(SPEED_MARKS, 1.0 + 0.7 * SPEED_MARKS, topspin_rps=-20.0)
    told = NotedBalls(**vars(balls) | {"topspin_rps": np.full(12, -20.0)})
    right, wrong = (of_dial(calibrate_feeder(each, [SET_A]), "speed").line for each in (told, balls))

    assert (right.intercept, right.slope) == pytest.approx((1.0, 0.7), abs=0.02)
    assert wrong.at(7).value > right.at(7).value + 0.1


def test_a_measured_speed_calibrates_the_spin_dial_without_the_speed_dial():
    balls = spun(speed_mps=1.0 + 0.8 * 6.5)
    speed, spin = calibrate_feeder(balls, [SET_A])

    assert (speed.verdict, speed.line, speed.balls) == ("too_few", None, 0)
    assert spin.line.slope == pytest.approx(7.0, abs=0.2)


def test_without_a_speed_the_spin_dial_is_left_alone():
    _, spin = calibrate_feeder(spun(), [SET_A])

    assert (spin.verdict, spin.line, spin.balls, spin.unexplained) == ("not_explained", None, 0, 12)


def test_five_balls_are_too_few_and_so_is_one_setting():
    five = plain().take(np.arange(5))
    one_setting = plain().take(np.array([0, 1, 2, 0, 1, 2, 0]))

    assert of_dial(calibrate_feeder(five, [SET_A]), "speed").verdict == "too_few"
    assert of_dial(calibrate_feeder(one_setting, [SET_A]), "speed").verdict == "too_few"


def test_a_ball_that_no_speed_explains_is_left_out_and_counted():
    """Fed steeply downwards, a ball meets the table in front of the net at any speed."""
    balls = plain()
    tilt_deg = balls.elevation_deg.copy()
    tilt_deg[0] = -40
    speed = of_dial(calibrate_feeder(NotedBalls(**vars(balls) | {"elevation_deg": tilt_deg}), [SET_A]), "speed")

    assert (speed.balls, speed.unexplained) == (11, 1)
    assert speed.line.slope == pytest.approx(0.8, abs=0.02)


def test_where_many_balls_are_left_out_the_others_are_not_trusted():
    """Those that remain would be the ones that suit the set of coefficients."""
    balls = plain()
    tilt_deg = np.where(np.arange(12) % 2, -40.0, balls.elevation_deg)
    speed = of_dial(calibrate_feeder(NotedBalls(**vars(balls) | {"elevation_deg": tilt_deg}), [SET_A]), "speed")

    assert (speed.verdict, speed.line, speed.unexplained) == ("not_explained", None, 6)


def test_a_dial_that_does_nothing_is_not_clear():
    scatter = np.random.default_rng(3).normal(0, 0.1, 12)
    speed = of_dial(calibrate_feeder(noted(SPEED_MARKS, 6.5 + scatter), [SET_A]), "speed")

    assert speed.verdict == "not_clear"


def test_a_dial_that_bends_is_told():
    scatter = np.random.default_rng(3).normal(0, 0.01, 12)
    bent_mps = 6.0 + 0.6 * (SPEED_MARKS - 6) ** 2 + scatter
    speed = of_dial(calibrate_feeder(noted(SPEED_MARKS, bent_mps), [SET_A]), "speed")

    assert speed.verdict == "bends"
    assert speed.line.bend_p_value < 0.001
