"""What a moved feeder needs: two rules of coaching, each with its sign and its range over the sets of coefficients.

The ranges are those of a separate calculation with another integrator; the rules themselves are common practice, no
source. Rule one: from the centre to a corner a ball needs a bit more speed. Rule two: from further forward it comes
lower and earlier.
"""

from dataclasses import replace
from functools import cache

import numpy as np
import pytest

from models import moving
from models.bounds import FeederBeyondHall, FeederPastNet, NoSuchFeed
from models.coefficients import ALL_SETS, SET_A, SET_B
from models.feeds import WantedFeeds
from models.flight import simulate
from models.moving import advice_by_set, moving_advice, other_ball, range_over

FAR_BACKHAND = WantedFeeds.of(
    x_cm=0,
    y_cm=0,
    height_cm=25,
    target_x_cm=[172, 215, 245],
    target_y_cm=[-50, -55, -60],
    net_clearance_cm=[6, 8, 12],
    topspin_rps=[-30, -30, 10],
    sidespin_rps=0,
)
"""A short and a longer backspin ball, and a deep topspin ball, all to a right-hander's wide backhand."""
SHORT_STRAIGHT = WantedFeeds.of(
    x_cm=0, y_cm=0, height_cm=25, target_x_cm=172, target_y_cm=0, net_clearance_cm=6, topspin_rps=-30, sidespin_rps=0
)


@cache
def to_the_corner():
    return advice_by_set(FAR_BACKHAND, 0, 60, 25)


@cache
def forward():
    return advice_by_set(SHORT_STRAIGHT, 70, 0, 25)


def test_the_way_from_the_corner_is_longer_and_the_head_turns_to_the_players_left():
    """14.0, 9.9 and 8.2 per cent, and for the short ball 16.4 degrees: geometry."""
    advice = to_the_corner()["A"]

    assert advice.distance_change_percent == pytest.approx([14.0, 9.9, 8.2], abs=0.06)
    assert advice.head_only.turn_deg[0] == pytest.approx(-32.6 + 16.2, abs=0.06)


def test_turning_only_the_head_sends_a_short_ball_into_the_net_and_lets_long_ones_drop_short():
    advice = to_the_corner()["A"].head_only

    assert advice.clips_net.tolist() == [True, False, False]
    assert advice.flights.net_clearance_cm == pytest.approx([-4.5, 5.4, 10.6], abs=0.06)
    assert advice.too_far_cm == pytest.approx([-25, -22, -21], abs=0.6)
    assert advice.speed_change_percent.tolist() == [0, 0, 0]


def test_every_set_sees_the_short_ball_in_the_net():
    assert [advice.head_only.clips_net.tolist() for advice in to_the_corner().values()] == [[True, False, False]] * 4


def test_from_the_corner_the_same_landing_needs_six_to_ten_per_cent_more_speed():
    speed = range_over(advice.keep_landing.speed_change_percent for advice in to_the_corner().values())

    assert speed.low == pytest.approx([8.6, 6.2, 6.8], abs=0.06)
    assert speed.high == pytest.approx([9.6, 7.6, 7.2], abs=0.06)
    assert ((speed.low > 6) & (speed.high < 10)).all()


def test_with_the_same_landing_the_ball_passes_the_net_higher_than_before_and_takes_longer():
    advice = to_the_corner()["A"]
    later_s = advice.keep_landing.flights.landing_time_s - advice.before.flights.landing_time_s

    assert advice.keep_landing.flights.net_clearance_cm[0] == pytest.approx(8.1, abs=0.06)
    assert (advice.keep_landing.flights.net_clearance_cm > FAR_BACKHAND.net_clearance_cm).all()
    assert later_s[0] == pytest.approx(0.033, abs=0.0006)


def test_the_same_clearance_needs_less_extra_speed_and_lands_shorter():
    advice = to_the_corner()["A"].keep_clearance

    assert advice.speed_change_percent == pytest.approx([7.1, 4.3, 4.0], abs=0.06)
    assert advice.too_far_cm[0] == pytest.approx(-4.8, abs=0.06)
    assert to_the_corner()["B"].keep_clearance.speed_change_percent[0] == pytest.approx(7.8, abs=0.06)


def test_keeping_both_needs_most_speed_and_a_flatter_head():
    advice = to_the_corner()["A"].keep_both

    assert advice.speed_change_percent == pytest.approx([12.4, 9.2, 10.5], abs=0.06)
    assert advice.elevation_change_deg[0] == pytest.approx(17.8 - 20.7, abs=0.1)
    assert advice.too_far_cm == pytest.approx([0, 0, 0], abs=1e-3)
    assert advice.flights.net_clearance_cm == pytest.approx(FAR_BACKHAND.net_clearance_cm, abs=1e-3)


def test_moving_back_again_undoes_the_change():
    there = moving_advice(FAR_BACKHAND, 0, 60, 25).keep_both
    back = moving_advice(FAR_BACKHAND.moved_to(0, 60, 25), 0, 0, 25).keep_both

    undone = (1 + there.speed_change_percent / 100) * (1 + back.speed_change_percent / 100)
    assert undone == pytest.approx([1, 1, 1], abs=1e-6)
    assert back.turn_deg == pytest.approx(-there.turn_deg, abs=1e-6)


@pytest.mark.parametrize("coefficients", ALL_SETS, ids=lambda each: each.name)
def test_from_further_forward_the_ball_comes_lower_and_earlier_by_every_set(coefficients):
    advice = forward()[coefficients.name]

    assert advice.is_lower[0]
    assert advice.is_earlier[0]
    assert advice.keep_both.speed_change_percent[0] < 0


@pytest.mark.parametrize(("name", "apex", "bounce_apex", "landing"), [("A", -23, -17, -25), ("B", -22.4, -17.7, -23.2)])
def test_seventy_cm_forward_lowers_the_arc_by_a_quarter_and_the_bounce_by_a_sixth(name, apex, bounce_apex, landing):
    advice = forward()[name]

    assert advice.flight_apex_change_percent[0] == pytest.approx(apex, abs=0.6)
    assert advice.bounce_apex_change_percent[0] == pytest.approx(bounce_apex, abs=0.6)
    assert advice.landing_time_change_percent[0] == pytest.approx(landing, abs=0.6)
    assert advice.second_time_change_percent[0] == pytest.approx(-18, abs=1.2)
    assert advice.keep_both.speed_change_percent[0] == pytest.approx(-27.5, abs=1.1)


def test_from_further_forward_the_ball_is_not_flatter():
    """It falls more steeply, and takes longer from the net to the bounce: so "lower and earlier", not "flatter"."""
    advice = forward()["A"]
    before, after = advice.before.flights, advice.keep_both.flights
    net_to_bounce = [flights.landing_time_s[0] - flights.net_time_s[0] for flights in (before, after)]

    assert before.fall_angle_deg[0] == pytest.approx(36.4, abs=0.06)
    assert after.fall_angle_deg[0] == pytest.approx(39.1, abs=0.06)
    assert net_to_bounce[1] / net_to_bounce[0] == pytest.approx(1.23, abs=0.01)


def test_a_feeder_moved_back_is_neither_lower_nor_earlier():
    advice = moving_advice(SHORT_STRAIGHT, -30, 0, 25)

    assert not advice.is_lower[0]
    assert not advice.is_earlier[0]


def test_what_cannot_be_kept_is_blank_and_not_said_to_clip_the_net():
    """Released low, right behind the net, at its old elevation the ball points below the height it is to pass at."""
    low = WantedFeeds.of(
        x_cm=0, y_cm=0, height_cm=10, target_x_cm=245, target_y_cm=0, net_clearance_cm=6, topspin_rps=0, sidespin_rps=0
    )
    advice = moving_advice(low, 120, 0, 10)

    assert np.isnan(advice.keep_clearance.speed_change_percent[0])
    assert not advice.keep_clearance.clips_net[0]
    assert advice.head_only.clips_net[0]


def test_a_ball_with_sidespin_is_turned_onto_the_line_to_its_target():
    spun = WantedFeeds.of(
        x_cm=0,
        y_cm=0,
        height_cm=25,
        target_x_cm=172,
        target_y_cm=0,
        net_clearance_cm=6,
        topspin_rps=-30,
        sidespin_rps=20,
    )
    advice = moving_advice(spun, 0, 60, 25)
    flights = simulate(advice.keep_landing.feeds)

    assert (flights.landing_x_cm[0], flights.landing_y_cm[0]) == pytest.approx((172, 0), abs=1e-3)
    assert advice.head_only.turn_deg[0] < 0


def test_another_ball_wanted_from_the_new_place_is_told_against_the_ball_before():
    """The same ball wanted again is what keeps both; a nearer landing needs less speed than that."""
    advice = forward()["A"]
    there = SHORT_STRAIGHT.moved_to(70, 0, 25)
    same, nearer = (
        other_ball(replace(there, target_x_cm=np.array([x_cm])), advice.before.feeds) for x_cm in (172.0, 165.0)
    )

    assert same.speed_change_percent == pytest.approx(advice.keep_both.speed_change_percent, abs=1e-6)
    assert nearer.speed_change_percent[0] < same.speed_change_percent[0]
    assert (nearer.flights.landing_x_cm[0], nearer.too_far_cm[0]) == pytest.approx((165, 0), abs=1e-3)


@pytest.mark.parametrize("having", [("C", "D"), ()])
def test_what_some_sets_have_is_told_by_them_and_what_none_has_is_refused(monkeypatch, having):
    """Which sets have a ball is not asked here: flying it under all of them takes seconds."""

    def advice(wanted, x_cm, y_cm, height_cm, coefficients):
        if coefficients.name not in having:
            raise NoSuchFeed(f"no such ball under {coefficients.name}")
        return coefficients.name, x_cm, y_cm, height_cm

    monkeypatch.setattr(moving, "moving_advice", advice)

    if not having:
        with pytest.raises(NoSuchFeed, match="under D"):
            advice_by_set(SHORT_STRAIGHT, 0, 20, 25)
        return
    assert advice_by_set(SHORT_STRAIGHT, 0, 20, 25) == {name: (name, 0, 20, 25) for name in having}


def test_without_any_set_there_is_no_advice_and_no_refusal():
    assert advice_by_set(SHORT_STRAIGHT, 0, 20, 25, sets=()) == {}


def test_a_feeder_cannot_be_moved_out_of_the_hall_or_past_the_net():
    with pytest.raises(FeederBeyondHall, match="feeder's y is 400 cm"):
        moving_advice(SHORT_STRAIGHT, 0, 400, 25, SET_A)
    with pytest.raises(FeederPastNet, match="stand at an x below 137 cm"):
        moving_advice(SHORT_STRAIGHT, 140, 0, 25, SET_B)
