"""The length of a ball by its second bounce, a claim against it, and the time to react."""

import numpy as np
import pytest

from models.aiming import aim
from models.coefficients import ALL_SETS
from models.feeds import WantedFeeds
from models.flight import simulate
from models.incoming import compare_length, is_hurried, length_of, runs_off_side
from models.table import is_on_table

BACKSPIN = {"x_cm": 0, "height_cm": 25, "net_clearance_cm": 6, "topspin_rps": -30, "sidespin_rps": 0}


def flights_to(x_cm, y_cm=0, from_y_cm=0, **changes):
    wanted = BACKSPIN | {"y_cm": from_y_cm, "target_x_cm": x_cm, "target_y_cm": y_cm} | changes
    return simulate(aim(WantedFeeds.of(**wanted)))


@pytest.mark.parametrize(("landing_x_cm", "second_x_cm"), [(170, 255), (176, 271), (180, 281)])
def test_six_cm_of_landing_are_sixteen_of_the_second_bounce(landing_x_cm, second_x_cm):
    """Backspin of 30 turns a second, 6 cm over the net; against a separate calculation (coefficients A)."""
    assert flights_to(landing_x_cm).second_x_cm[0] == pytest.approx(second_x_cm, abs=0.6)


def test_a_low_backspin_ball_is_half_long_only_forty_cm_behind_the_net():
    """The second bounce on the end line belongs to a landing at 177 cm."""
    landings = np.arange(165, 200, 1.0)
    second_cm = flights_to(landings).second_x_cm

    assert np.interp(274, second_cm, landings) == pytest.approx(177, abs=0.5)


@pytest.mark.parametrize(
    ("landing_x_cm", "length"),
    [(165, "short"), (172, "short"), (174, "half_long"), (180, "half_long"), (184, "long"), (245, "long")],
)
def test_the_length_is_read_off_the_second_bounce(landing_x_cm, length):
    assert length_of(flights_to(landing_x_cm)).tolist() == [length]


def test_the_tolerance_of_half_long_is_the_clubs():
    assert length_of(flights_to(174), tolerance_cm=5).tolist() == ["short"]
    assert length_of(flights_to(190), tolerance_cm=40).tolist() == ["half_long"]


def test_a_short_ball_from_the_corner_that_runs_off_the_side_line_is_not_short():
    """It would bounce the second time beside the table, at (262, -108) cm; the straight one stays on it."""
    flights = flights_to(172, [-50, -50], from_y_cm=[60, 0])

    assert flights.second_x_cm[0] == pytest.approx(262, abs=0.6)
    assert flights.second_y_cm == pytest.approx([-108, -76], abs=0.6)
    assert is_on_table(flights.second_x_cm, flights.second_y_cm).tolist() == [False, True]
    assert runs_off_side(flights).tolist() == [True, False]
    assert length_of(flights).tolist() == ["long", "short"]


def test_a_ball_that_misses_the_table_has_no_length():
    flights = simulate(aim(WantedFeeds.of(**BACKSPIN, y_cm=0, target_x_cm=172, target_y_cm=0)))
    missed = type(flights)(**{name: np.array([np.nan]) for name in vars(flights)})

    assert length_of(missed).tolist() == [""]
    assert not runs_off_side(missed)[0]


@pytest.mark.parametrize(
    ("lengths", "verdict"),
    [
        (["short", "short", "short", "short"], "agrees"),
        (["short", "half_long", "short", "short"], "possible"),
        (["half_long", "long", "long", "long"], "doubtful"),
        (["", "", "", ""], "doubtful"),
    ],
)
def test_a_claim_of_short_is_weighed_against_all_sets(lengths, verdict):
    assert compare_length("short", lengths) == verdict


def test_the_sets_disagree_about_a_ball_between_two_lengths():
    wanted = WantedFeeds.of(**BACKSPIN, y_cm=0, target_x_cm=172, target_y_cm=0)
    lengths = [str(length_of(simulate(aim(wanted, each), each), tolerance_cm=12)[0]) for each in ALL_SETS]

    assert set(lengths) == {"short", "half_long"}
    assert compare_length("short", lengths) == "possible"


def test_a_deep_fast_topspin_ball_leaves_no_time_to_react_with_the_feet():
    """Feet react in 0.43 to 0.45 s at all levels (ITTF Sports Science Congress 2025, paper 322967)."""
    fast = flights_to(245, net_clearance_cm=12, topspin_rps=50)
    slow = flights_to(172)

    assert is_hurried(fast.contact_time_s).tolist() == [True]
    assert 0.38 < fast.contact_time_s[0] < 0.44
    assert is_hurried(slow.contact_time_s).tolist() == [False]
