"""After a move: from where check balls land to which way, and how far, to turn the head."""

from math import inf, radians, tan

import numpy as np
import pytest
from scipy import stats

from models.bounds import FeederBeyondHall, TargetOffTable, TooFewNotes
from models.check_ball import correct_head
from models.stance import DEEP_CENTRE, Place, yaw_deg

CORNER = Place(0, 60)


def landings_along(feeder, yaws_deg, x_cm=240):
    return [Place(x_cm, feeder.y_cm + (x_cm - feeder.x_cm) * tan(radians(yaw))) for yaw in yaws_deg]


def test_balls_that_land_too_far_right_turn_the_head_to_the_players_left():
    """All along yaw -10 where -13.76 points at deep centre (arc tangent of 60/245)."""
    correction = correct_head(CORNER, landings_along(CORNER, [-10.5, -10.0, -9.5, -10.0]))

    assert correction.turn_deg == pytest.approx(-3.76, abs=0.005)
    assert correction.way == "players_left"
    assert correction.balls == 4


def test_the_turn_in_cm_is_what_the_balls_miss_at_deep_centre():
    """252 cm of way by the tangent of 3.76 degrees (elementary)."""
    correction = correct_head(CORNER, landings_along(CORNER, [-10, -10]))

    assert correction.sideways_cm == pytest.approx(-np.hypot(245, 60) * tan(radians(3.7608)), abs=0.01)


def test_the_turn_brings_the_balls_to_the_target():
    correction = correct_head(CORNER, landings_along(CORNER, [-9.0, -8.0]))
    turned = landings_along(CORNER, [-8.5 + correction.turn_deg], x_cm=245)[0]

    assert (turned.x_cm, turned.y_cm) == pytest.approx((DEEP_CENTRE.x_cm, DEEP_CENTRE.y_cm), abs=1e-9)


def test_the_interval_is_students():
    """Against scipy.stats.ttest_1samp."""
    yaws = [-10.4, -9.1, -11.0, -10.2, -9.6]
    correction = correct_head(CORNER, landings_along(CORNER, yaws))
    reference = stats.ttest_1samp(yaw_deg(CORNER) - np.array(yaws), 0).confidence_interval(0.95)

    assert (correction.low_deg, correction.high_deg) == pytest.approx(tuple(reference), abs=1e-9)


def test_balls_that_scatter_about_the_target_leave_the_head_alone():
    correction = correct_head(CORNER, landings_along(CORNER, [-12.0, -15.0, -14.5, -13.0]))

    assert correction.low_deg < 0 < correction.high_deg
    assert correction.way == "leave_it"


def test_a_ball_on_the_line_to_the_target_leaves_the_head_alone():
    assert correct_head(CORNER, [DEEP_CENTRE]).way == "leave_it"


def test_one_ball_gives_a_turn_without_an_interval():
    correction = correct_head(CORNER, landings_along(CORNER, [-16]))

    assert correction.way == "players_right"
    assert (correction.low_deg, correction.high_deg) == (-inf, inf)


def test_a_mirrored_feeder_gets_the_mirrored_turn():
    left = correct_head(Place(0, -60), landings_along(Place(0, -60), [10, 11]))
    right = correct_head(CORNER, landings_along(CORNER, [-10, -11]))

    assert left.turn_deg == pytest.approx(-right.turn_deg)


def test_another_target_may_be_named():
    assert correct_head(CORNER, [Place(260, 0)], target=Place(260, 0)).turn_deg == 0


def test_notes_that_cannot_be_are_refused():
    with pytest.raises(TooFewNotes, match="No landing is noted"):
        correct_head(CORNER, [])
    with pytest.raises(TargetOffTable, match="The noted landing's y is 90 cm"):
        correct_head(CORNER, [Place(240, 0), Place(240, 90)])
    with pytest.raises(FeederBeyondHall):
        correct_head(Place(0, 900), [Place(240, 0)])
