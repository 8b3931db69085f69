"""Kinds of feed in physical terms: angle, times and length, against geometry and a separate integrator."""

from dataclasses import fields, replace

import numpy as np
import pytest

from models.coefficients import ALL_SETS, SET_A, SET_B
from models.feed_times import angle_band, feed_physics, from_forehand_deg, time_band
from models.stance import DEEP_CENTRE, Place, yaw_deg
from models.typical import Described, typical_by_set
from models.words import ANGLE_BAND, TIME_BAND
from tests.models.flight_by_scipy import LAWS, by_scipy

DEEP_TOPSPIN = Described(-20, 60, 25, "right", "topspin", "long")
SHORT_BACKSPIN = Described(0, 0, 25, "right", "backspin", "short", height="low")
LIMITS = {"straight_within_deg": 6, "sharp_from_deg": 18}


@pytest.mark.parametrize(("x_cm", "y_cm"), [(-20, 60), (-20, -65), (60, 50), (100, -45), (0, 0)])
def test_a_straight_ball_comes_at_the_angle_at_which_the_head_points(x_cm, y_cm):
    """A ball without sidespin stays in its upright plane (exact), so its angle is the yaw of the geometry."""
    physics = feed_physics([replace(DEEP_TOPSPIN, x_cm=x_cm, y_cm=y_cm)])

    expected = yaw_deg(Place(x_cm, y_cm), DEEP_CENTRE)
    assert (physics.angle_deg.low[0], physics.angle_deg.high[0]) == pytest.approx((expected, expected), abs=0.3)


def test_sidespin_to_the_right_turns_the_ball_to_the_right():
    lines = [replace(DEEP_TOPSPIN, y_cm=0, sidespin=sidespin) for sidespin in ("left", "none", "right")]
    angle_deg = feed_physics(lines).angle_deg

    assert angle_deg.high[0] < angle_deg.low[1] <= angle_deg.high[1] < angle_deg.low[2]


@pytest.mark.parametrize("coefficients", [SET_A, SET_B], ids=lambda each: each.name)
@pytest.mark.parametrize("line", [DEEP_TOPSPIN, SHORT_BACKSPIN], ids=["deep topspin", "short backspin"])
def test_the_time_to_the_bounce_is_that_of_a_separate_integrator(coefficients, line):
    """scipy's DOP853 on the same feed, physics written out anew (tests/models/flight_by_scipy.py)."""
    physics = feed_physics([line], [coefficients])
    feed = typical_by_set([line], [coefficients])[0].feeds
    landing_s, *_, second_s, _, _ = by_scipy(
        {field.name: getattr(feed, field.name)[0] for field in fields(feed)}, LAWS[coefficients.name]
    )

    assert physics.bounce_time_s.low[0] == physics.bounce_time_s.high[0] == pytest.approx(landing_s, abs=2e-4)
    assert landing_s < physics.contact_time_s.low[0] < second_s


def test_each_figure_is_the_range_over_the_sets():
    alone = [feed_physics([DEEP_TOPSPIN], [each]).contact_time_s.low[0] for each in ALL_SETS]
    together = feed_physics([DEEP_TOPSPIN]).contact_time_s

    assert (together.low[0], together.high[0]) == pytest.approx((min(alone), max(alone)), rel=0.02)
    assert together.high[0] > together.low[0]


def test_from_near_the_net_there_is_less_time():
    """Forward means lower and earlier (a coach's rule; common practice, no source)."""
    back, near = (replace(SHORT_BACKSPIN, x_cm=x_cm) for x_cm in (-20, 70))
    times = feed_physics([back, near])

    assert times.bounce_time_s.high[1] < times.bounce_time_s.low[0]


def test_a_length_that_no_set_allows_is_doubtful_and_the_length_by_physics_is_told():
    lines = [SHORT_BACKSPIN, replace(SHORT_BACKSPIN, spin="heavy_topspin"), replace(DEEP_TOPSPIN, y_cm=0)]
    physics = feed_physics(lines)

    assert physics.verdicts == ("agrees", "doubtful", "agrees")
    assert physics.lengths == ("short", "long", "long")


def test_many_kinds_are_judged_together_as_each_alone():
    lines = [DEEP_TOPSPIN, SHORT_BACKSPIN, replace(DEEP_TOPSPIN, handedness="left", placement="forehand")]
    together = feed_physics(lines)

    for place, line in enumerate(lines):
        alone = feed_physics([line])
        assert together.contact_time_s.low[place] == pytest.approx(alone.contact_time_s.low[0])
        assert together.angle_deg.high[place] == pytest.approx(alone.angle_deg.high[0])


def test_without_a_line_there_is_nothing_to_tell():
    assert feed_physics([]).verdicts == ()


@pytest.mark.parametrize(
    ("angle_deg", "handedness", "band"),
    [
        (0, "right", "straight"),
        (6, "right", "straight"),
        (-6.1, "right", "from_forehand"),
        (-6.1, "left", "from_backhand"),
        (17.9, "right", "from_backhand"),
        (18, "right", "sharp_from_backhand"),
        (18, "left", "sharp_from_forehand"),
        (np.nan, "right", None),
    ],
)
def test_a_ball_that_travels_to_the_left_comes_from_a_right_handers_forehand_side(angle_deg, handedness, band):
    assert angle_band(from_forehand_deg(angle_deg, handedness), **LIMITS) == band
    assert band is None or band in ANGLE_BAND.names


@pytest.mark.parametrize(
    ("time_s", "band"), [(0.44, "hurried"), (0.45, "ordinary"), (0.69, "ordinary"), (0.7, "unhurried"), (np.nan, None)]
)
def test_the_time_to_react_has_a_word(time_s, band):
    assert time_band(time_s, hurried_below_s=0.45, unhurried_from_s=0.7) == band
    assert band is None or band in TIME_BAND.names
