"""The cone of returns and the ready position, against trigonometry worked by hand."""

from dataclasses import replace

import pytest

from models.bounds import FeederBeyondHall, TargetOffTable
from models.ready import cone_of_returns, ready_position
from models.stance import Place

BEHIND_CENTRE, BEHIND_CORNER = Place(-40, 0), Place(-40, -60)


@pytest.mark.parametrize(
    ("apex", "shortest_cm", "left_deg", "right_deg", "bisector_deg"),
    [
        (BEHIND_CENTRE, None, -13.65, 13.65, 0),
        (BEHIND_CORNER, None, -2.96, 23.46, 10.25),
        (BEHIND_CORNER, 35, -4.38, 32.73, 14.17),
    ],
)
def test_the_cone_spans_the_players_half(apex, shortest_cm, left_deg, right_deg, bisector_deg):
    """Arc tangents to the corners at 274 cm, or to the side lines 35 cm behind the net (elementary)."""
    cone = cone_of_returns(apex, shortest_behind_net_cm=shortest_cm)

    assert (cone.left_deg, cone.right_deg) == pytest.approx((left_deg, right_deg), abs=0.005)
    assert cone.bisector_deg == pytest.approx(bisector_deg, abs=0.005)
    assert cone.width_deg == pytest.approx(right_deg - left_deg, abs=0.01)


@pytest.mark.parametrize(
    ("apex", "shortest_cm", "bisector_y_cm", "equal_reach_y_cm"),
    [(BEHIND_CENTRE, None, 0, 0), (BEHIND_CORNER, None, 5.8, 9.6), (BEHIND_CORNER, 35, 31.9, 43.0)],
)
def test_the_two_definitions_of_the_ready_position_differ(apex, shortest_cm, bisector_y_cm, equal_reach_y_cm):
    """Angle bisector (Benguigui et al., Sci. Rep. 14, 2024, 3364, in tennis) against the middle of the reach."""
    cone = cone_of_returns(apex, shortest_behind_net_cm=shortest_cm)

    assert ready_position(cone).y_cm == pytest.approx(bisector_y_cm, abs=0.05)
    assert ready_position(cone, "equal_reach").y_cm == pytest.approx(equal_reach_y_cm, abs=0.05)
    assert ready_position(cone).x_cm == 324


@pytest.mark.parametrize(("shortest_cm", "reach_cm"), [(None, 88.4), (35, 130.9)])
def test_the_reach_is_as_wide_as_the_cone_is_where_the_player_moves(shortest_cm, reach_cm):
    """364 cm by the tangents 0.7625/3.14 and 0.7625/2.12 (elementary)."""
    cone = cone_of_returns(BEHIND_CENTRE, shortest_behind_net_cm=shortest_cm)

    assert cone.reach_cm() == pytest.approx((-reach_cm, reach_cm), abs=0.05)


def test_the_bisector_has_as_much_angle_on_either_side():
    cone = cone_of_returns(Place(20, 45), shortest_behind_net_cm=50)

    assert cone.bisector_deg - cone.left_deg == pytest.approx(cone.right_deg - cone.bisector_deg)


@pytest.mark.parametrize("definition", ["angle_bisector", "equal_reach"])
def test_a_mirrored_feeder_calls_for_the_mirrored_position(definition):
    cones = [cone_of_returns(Place(10, side * 55), shortest_behind_net_cm=40) for side in (-1, 1)]
    left, right = (ready_position(cone, definition).y_cm for cone in cones)

    assert left == pytest.approx(-right)


def test_against_a_feeder_on_the_players_left_he_stands_to_the_right_of_the_centre():
    assert ready_position(cone_of_returns(BEHIND_CORNER)).y_cm > 0


def test_farther_back_there_is_more_to_reach():
    cone = cone_of_returns(BEHIND_CENTRE)

    assert cone.reach_cm(400)[1] > cone.reach_cm(300)[1]
    assert replace(cone, right_deg=0.0).reach_cm(400)[1] == 0


@pytest.mark.parametrize("shortest_cm", [0, -5, 138])
def test_short_angles_that_miss_the_players_half_are_refused(shortest_cm):
    with pytest.raises(TargetOffTable, match=r"just over 0 to 137 cm"):
        cone_of_returns(BEHIND_CENTRE, shortest_behind_net_cm=shortest_cm)


def test_a_place_beyond_the_hall_has_no_cone():
    with pytest.raises(FeederBeyondHall):
        cone_of_returns(Place(0, 351))
