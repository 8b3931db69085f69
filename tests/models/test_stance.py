"""Where a feeder stands, and how its head must be turned: signs for both hands, and angles by trigonometry."""

from math import degrees

import numpy as np
import pytest

from models.bounds import FeederBeyondHall
from models.stance import (
    DEEP_CENTRE,
    Place,
    depth_of,
    distance_cm,
    forehand_cm,
    head_turn_deg,
    side_of,
    sideways_cm,
    yaw_deg,
)

BACK_CENTRE, BACK_CORNER, FORWARD = Place(0, 0), Place(0, 60), Place(70, 0)
WIDE_BACKHAND = Place(264, -66.25)
"""Of a right-hander."""


@pytest.mark.parametrize(
    ("x_cm", "depth"), [(-60, "back"), (29.9, "back"), (30, "middle"), (90.9, "middle"), (91, "near"), (136, "near")]
)
def test_the_depth_of_a_feeder_follows_the_limits(x_cm, depth):
    assert depth_of(x_cm) == depth


def test_a_club_may_set_other_limits():
    assert depth_of(40, back_below_cm=50) == "back"
    assert side_of(30, "right", centre_within_cm=40) == "centre"


@pytest.mark.parametrize(
    ("y_cm", "for_right_hander", "for_left_hander"),
    [
        (60, "forehand", "backhand"),
        (-60, "backhand", "forehand"),
        (25, "centre", "centre"),
        (-25.1, "backhand", "forehand"),
    ],
)
def test_a_side_is_named_for_the_players_hand(y_cm, for_right_hander, for_left_hander):
    assert side_of(y_cm, "right") == for_right_hander
    assert side_of(y_cm, "left") == for_left_hander
    assert forehand_cm(y_cm, "left") == -forehand_cm(y_cm, "right")


@pytest.mark.parametrize(
    ("feeder", "target", "expected_deg"),
    [
        (BACK_CENTRE, WIDE_BACKHAND, -14.09),
        (BACK_CORNER, DEEP_CENTRE, -13.76),
        (BACK_CORNER, WIDE_BACKHAND, -25.56),
        (FORWARD, WIDE_BACKHAND, -18.85),
        (BACK_CENTRE, DEEP_CENTRE, 0.0),
        (Place(0, -60), DEEP_CENTRE, 13.76),
    ],
)
def test_the_yaw_is_the_angle_to_the_target_positive_to_the_players_right(feeder, target, expected_deg):
    """Arc tangent of the offsets (elementary)."""
    assert yaw_deg(feeder, target) == pytest.approx(expected_deg, abs=0.005)


def test_the_distance_is_that_of_the_ground_plan():
    """Pythagoras: 1.72 and 0.50 m give 1.791 m, from the corner 2.042 m."""
    assert distance_cm(BACK_CENTRE, Place(172, -50)) == pytest.approx(179.1, abs=0.05)
    assert distance_cm(BACK_CORNER, Place(172, -50)) == pytest.approx(204.2, abs=0.05)


def test_moved_to_the_players_right_the_head_turns_to_the_players_left():
    assert head_turn_deg(BACK_CENTRE, BACK_CORNER) == pytest.approx(-13.76, abs=0.005)
    assert head_turn_deg(BACK_CORNER, BACK_CENTRE) == -head_turn_deg(BACK_CENTRE, BACK_CORNER)


def test_moved_along_the_line_to_the_target_the_head_stays():
    assert head_turn_deg(Place(0, 0), Place(70, 0)) == 0


def test_one_degree_is_four_and_a_quarter_cm_at_deep_centre():
    """245 cm times the tangent of one degree (elementary)."""
    assert sideways_cm(1, BACK_CENTRE) == pytest.approx(4.28, abs=0.005)
    assert degrees(np.arctan(sideways_cm(5, BACK_CENTRE) / 245)) == pytest.approx(5)


def test_a_feeder_beyond_the_hall_has_no_yaw():
    with pytest.raises(FeederBeyondHall, match=r"feeder's x is -600 cm; possible is -563 to 837 cm"):
        yaw_deg(Place(-600, 0))
