"""Aiming and then flying gives back what was wanted; speed and yaw move the way they must."""

from dataclasses import replace

import numpy as np
import pytest

from models.aiming import aim, aim_where_possible
from models.bounds import LaunchOutOfReach, NoSuchFeed
from models.coefficients import ALL_SETS, SET_A
from models.feeds import WantedFeeds
from models.flight import simulate


def wanted_feeds(**changes):
    numbers = {"x_cm": 0, "y_cm": 0, "height_cm": 25, "target_x_cm": 172, "target_y_cm": -50, "net_clearance_cm": 6}
    return WantedFeeds.of(**(numbers | {"topspin_rps": -30, "sidespin_rps": 0} | changes))


def many_wanted(count=150):
    rng = np.random.default_rng(4)
    return wanted_feeds(
        x_cm=rng.uniform(-60, 70, count),
        y_cm=rng.uniform(-70, 70, count),
        height_cm=rng.uniform(10, 35, count),
        target_x_cm=rng.uniform(170, 265, count),
        target_y_cm=rng.uniform(-70, 70, count),
        net_clearance_cm=rng.uniform(8, 25, count),
        topspin_rps=rng.uniform(-40, 50, count),
        sidespin_rps=rng.uniform(-20, 20, count),
    )


@pytest.mark.parametrize("coefficients", ALL_SETS, ids=lambda each: each.name)
def test_an_aimed_ball_lands_on_its_target_within_a_micrometre(coefficients):
    wanted = many_wanted()
    flights = simulate(aim(wanted, coefficients), coefficients)

    assert np.abs(flights.landing_x_cm - wanted.target_x_cm).max() < 1e-4
    assert np.abs(flights.landing_y_cm - wanted.target_y_cm).max() < 1e-4
    assert np.abs(flights.net_clearance_cm - wanted.net_clearance_cm).max() < 1e-4


def test_without_air_the_aim_is_the_parabola():
    """Through 25 cm at the release, 25.25 cm over the net half way and 2 cm at 274 cm (elementary)."""
    no_air = replace(SET_A, drag_coefficient=0.0, lift_factor=0.0)
    feeds = aim(wanted_feeds(target_x_cm=274, target_y_cm=0, net_clearance_cm=8, topspin_rps=0), no_air)
    fall_per_m = ((0.2525 - 0.25) / 1.37 - (0.02 - 0.25) / 2.74) / 1.37
    slope = (0.2525 - 0.25) / 1.37 + fall_per_m * 1.37

    assert np.tan(np.radians(feeds.elevation_deg[0])) == pytest.approx(slope, abs=1e-7)
    assert (feeds.speed_mps[0] ** 2) == pytest.approx(9.81 * (1 + slope**2) / (2 * fall_per_m), rel=1e-7)


def test_the_yaw_of_a_ball_without_sidespin_is_the_angle_of_the_line_to_the_target():
    wanted = replace(many_wanted(), sidespin_rps=np.zeros(150))

    assert aim(wanted).yaw_deg == pytest.approx(wanted.yaw_deg, abs=1e-6)


@pytest.mark.parametrize(
    ("wanted", "corrections_deg"),
    [
        (wanted_feeds(target_y_cm=0), (-1.5, -2.8, -3.7)),
        (wanted_feeds(target_x_cm=245, target_y_cm=0, net_clearance_cm=12, topspin_rps=50), (-1.2, -2.3, -3.3)),
    ],
    ids=["short", "deep"],
)
def test_against_sidespin_the_head_is_turned_the_other_way(wanted, corrections_deg):
    """For 10, 20, 30 turns a second to the player's right; against a separate calculation with another integrator."""
    spun = replace(wanted.take(np.zeros(3, dtype=int)), sidespin_rps=np.array([10.0, 20.0, 30.0]))

    assert aim(spun).yaw_deg == pytest.approx(corrections_deg, abs=0.08)


def test_a_farther_target_needs_more_speed_and_a_target_further_right_more_yaw():
    deeper = aim(wanted_feeds(target_x_cm=np.arange(165, 270, 5)))
    further_right = aim(wanted_feeds(target_y_cm=np.arange(-75, 76, 10)))

    assert (np.diff(deeper.speed_mps) > 0).all()
    assert (np.diff(further_right.yaw_deg) > 0).all()


@pytest.mark.parametrize(
    ("wanted", "speed_mps", "elevation_deg", "landing_s"),
    [
        (wanted_feeds(), (4.48, 4.71), 20.7, (0.464, 0.483)),
        (wanted_feeds(y_cm=60), (5.04, 5.37), 17.8, None),
        (wanted_feeds(target_x_cm=215, target_y_cm=-55, net_clearance_cm=8), (6.29, 6.95), 8.5, None),
    ],
    ids=["short", "short from the corner", "longer"],
)
def test_the_aim_over_the_sets_agrees_with_an_independent_calculation(wanted, speed_mps, elevation_deg, landing_s):
    """Sets A, B and D in a separate calculation with another integrator (scipy's DOP853), to its rounding."""
    feeds = {each.name: aim(wanted, each) for each in ALL_SETS if each.name != "C"}
    speeds = [feed.speed_mps[0] for feed in feeds.values()]

    assert (min(speeds), max(speeds)) == pytest.approx(speed_mps, abs=0.006)
    assert feeds["A"].elevation_deg[0] == pytest.approx(elevation_deg, abs=0.06)
    if landing_s:
        times = [simulate(feeds[each.name], each).landing_time_s[0] for each in ALL_SETS if each.name != "C"]
        assert (min(times), max(times)) == pytest.approx(landing_s, abs=0.0006)


def test_a_ball_that_cannot_be_is_refused_with_what_to_change():
    """From half a metre up close to the net no ball drops to 3 cm over it and still lands at the end line."""
    impossible = wanted_feeds(x_cm=72, height_cm=54, target_x_cm=260, net_clearance_cm=3, topspin_rps=-15)

    with pytest.raises(NoSuchFeed, match=r"released at x 72 cm.*height over the net"):
        aim(impossible)


def test_among_many_the_impossible_feed_alone_is_left_blank():
    together = wanted_feeds(x_cm=[72, 0], height_cm=[54, 25], target_x_cm=[260, 245], net_clearance_cm=[3, 12])

    assert np.isnan(aim_where_possible(together, SET_A).speed_mps).tolist() == [True, False]


def test_a_ball_wanted_through_the_net_is_refused():
    with pytest.raises(LaunchOutOfReach, match="height over the net is -2 cm"):
        aim(wanted_feeds(net_clearance_cm=-2))
