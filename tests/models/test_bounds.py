"""Bad numbers get a sentence that says what was seen and what would be possible."""

import numpy as np
import pytest

from models.bounds import (
    FeederBeyondHall,
    FeederPastNet,
    LaunchOutOfReach,
    OutOfBounds,
    SpinOutOfReach,
    TargetOffTable,
    YawMissesTable,
    check_target,
    check_yaw,
    yaw_range_deg,
)
from models.feeds import Feeds
from models.flight import simulate


def feed(**changes):
    numbers = {"x_cm": 0, "y_cm": 0, "height_cm": 25, "speed_mps": 6, "elevation_deg": 12, "yaw_deg": 0}
    return Feeds.of(**(numbers | {"topspin_rps": 0, "sidespin_rps": 0} | changes))


@pytest.mark.parametrize(
    ("change", "refusal", "sentence"),
    [
        (
            {"x_cm": -900},
            FeederBeyondHall,
            "The feeder's x is -900 cm; possible is -563 to 837 cm. Measure from the middle",
        ),
        ({"y_cm": 351}, FeederBeyondHall, "The feeder's y is 351 cm; possible is -350 to 350 cm"),
        ({"x_cm": 137}, FeederPastNet, "at or beyond the net"),
        ({"height_cm": 500}, LaunchOutOfReach, "The release height is 500 cm; possible is -74 to 424 cm"),
        ({"speed_mps": 50}, LaunchOutOfReach, "The speed is 50 m/s; possible is 0.1 to 35 m/s"),
        ({"elevation_deg": 90}, LaunchOutOfReach, "The elevation is 90 deg; possible is -85 to 85 deg"),
        ({"topspin_rps": 1000}, SpinOutOfReach, "The spin is 1000 turns a second; possible is -150 to 150"),
        ({"sidespin_rps": -151}, SpinOutOfReach, "Give turns a second, not a minute"),
        ({"speed_mps": float("nan")}, LaunchOutOfReach, "The speed is nan m/s"),
    ],
)
def test_an_impossible_feed_is_refused_in_a_sentence(change, refusal, sentence):
    with pytest.raises(refusal) as refused:
        simulate(feed(**change))

    assert sentence in str(refused.value)
    assert isinstance(refused.value, ValueError)


def test_the_first_impossible_number_of_a_batch_is_named():
    with pytest.raises(SpinOutOfReach, match="The spin is 200 turns"):
        simulate(feed(topspin_rps=np.array([10.0, 200.0, 300.0])))


@pytest.mark.parametrize(("x_cm", "y_cm"), [(100, 0), (275, 0), (200, 77), (200, float("nan"))])
def test_a_target_off_the_players_half_is_refused(x_cm, y_cm):
    with pytest.raises(TargetOffTable, match="The target's"):
        check_target(x_cm, y_cm)


def test_the_corners_of_the_players_half_are_targets():
    check_target(np.array([137.0, 274.0]), np.array([-76.25, 76.25]))
    with pytest.raises(TargetOffTable):
        check_target(np.array([274.1]), np.array([76.25]))


@pytest.mark.parametrize(
    ("x_cm", "y_cm", "lowest_deg", "highest_deg"),
    [(0, 0, -29.1, 29.1), (0, 60, -44.84, 6.77), (-40, -60, -5.2, 37.6), (205, 0, -180, 180)],
)
def test_the_yaws_that_meet_the_players_half_lie_between_its_corners(x_cm, y_cm, lowest_deg, highest_deg):
    """Arc tangents to the corners at 137 and 274 cm (elementary)."""
    assert yaw_range_deg(x_cm, y_cm) == pytest.approx((lowest_deg, highest_deg), abs=0.05)


@pytest.mark.parametrize(
    ("x_cm", "y_cm", "yaw_deg"), [(0, 0, 30), (0, 0, 180), (0, 60, 10), (100, 100, 0), (400, 0, 0), (0, 0, -90)]
)
def test_a_yaw_that_misses_the_table_is_refused_with_the_yaws_that_do_not(x_cm, y_cm, yaw_deg):
    with pytest.raises(YawMissesTable, match=r"misses the player's half.*Turn it to between"):
        check_yaw(x_cm, y_cm, yaw_deg)


@pytest.mark.parametrize(
    ("x_cm", "y_cm", "yaw_deg"), [(0, 0, 0), (0, 0, 29), (0, 60, -14), (100, 100, -60), (400, 0, 180), (400, 0, -170)]
)
def test_a_yaw_over_the_players_half_passes(x_cm, y_cm, yaw_deg):
    lowest, highest = yaw_range_deg(x_cm, y_cm)

    check_yaw(x_cm, y_cm, yaw_deg)
    assert (yaw_deg - lowest) % 360 <= highest - lowest


def test_the_yaw_of_a_feeder_beyond_the_hall_is_not_discussed():
    with pytest.raises(OutOfBounds, match="The feeder's y is -400 cm"):
        check_yaw(0, -400, 0)
