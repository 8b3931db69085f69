"""The words of a log line as a typical feed, and whether a ball can have the length its line claims."""

from dataclasses import replace

import numpy as np
import pytest

from models.aiming import aim
from models.bounds import FeederPastNet
from models.coefficients import ALL_SETS, SET_A
from models.flight import follow, simulate
from models.incoming import length_of
from models.typical import (
    FOREHAND_CM,
    NET_CLEARANCE_CM,
    SECOND_BOUNCE_X_CM,
    SIDESPIN_RPS,
    TOPSPIN_RPS,
    Described,
    alike,
    length_verdicts,
    typical_by_set,
    typical_feeds,
)
from models.words import HEIGHT, PLACEMENT, SIDESPIN, SPIN

LOW_BACKSPIN = Described(0, 0, 25, "right", "backspin", "short", height="low")


def test_every_word_of_a_log_has_its_number():
    assert tuple(TOPSPIN_RPS) == SPIN.names
    assert tuple(SIDESPIN_RPS) == SIDESPIN.names
    assert tuple(NET_CLEARANCE_CM) == HEIGHT.names
    assert tuple(FOREHAND_CM) == PLACEMENT.names


def test_the_numbers_follow_the_order_of_the_words():
    """From most backspin to most topspin, from low to high, from the forehand to the backhand."""
    assert list(TOPSPIN_RPS.values()) == sorted(TOPSPIN_RPS.values())
    assert list(NET_CLEARANCE_CM.values()) == sorted(NET_CLEARANCE_CM.values())
    assert list(FOREHAND_CM.values()) == sorted(FOREHAND_CM.values(), reverse=True)


def test_a_typical_feed_has_the_length_that_was_said():
    lines = [
        replace(LOW_BACKSPIN, length=length, spin=spin)
        for length in ("short", "half_long", "long")
        for spin in ("heavy_backspin", "backspin", "light_backspin", "no_spin")
    ]

    assert length_of(simulate(aim(typical_feeds(lines)))).tolist() == [line.length for line in lines]


def test_a_wide_forehand_ball_goes_to_the_other_side_for_a_left_hander():
    lines = [replace(LOW_BACKSPIN, handedness=hand, placement="wide_forehand") for hand in ("right", "left")]
    wanted = typical_feeds(lines)

    assert wanted.target_y_cm[0] == -wanted.target_y_cm[1] > 0
    assert wanted.target_x_cm[0] == pytest.approx(wanted.target_x_cm[1])


def test_what_a_line_does_not_say_is_ordinary():
    plain = typical_feeds([Described(0, 0, None, "right", "topspin", "long")])

    assert (plain.height_cm[0], plain.net_clearance_cm[0], plain.sidespin_rps[0]) == (25, 15, 0)
    assert (plain.target_x_cm[0], plain.target_y_cm[0]) == (245, 0)


def test_a_claim_is_doubtful_where_no_such_ball_can_be_short():
    """A low heavy topspin ball cannot bounce twice on the table (common practice, no source)."""
    verdicts = {
        ("backspin", "short"): "agrees",
        ("backspin", "half_long"): "agrees",
        ("no_spin", "half_long"): "agrees",
        ("topspin", "long"): "agrees",
        ("heavy_topspin", "short"): "doubtful",
        ("heavy_topspin", "half_long"): "doubtful",
    }
    lines = [replace(LOW_BACKSPIN, spin=spin, length=length) for spin, length in verdicts]

    assert length_verdicts(lines) == list(verdicts.values())


def test_many_lines_are_judged_together_as_each_alone():
    lines = [replace(LOW_BACKSPIN, y_cm=-60), replace(LOW_BACKSPIN, spin="heavy_topspin")]

    assert length_verdicts(lines, [SET_A]) == [length_verdicts([line], [SET_A])[0] for line in lines]


def test_a_feeder_past_the_net_feeds_nothing():
    with pytest.raises(FeederPastNet):
        typical_feeds([replace(LOW_BACKSPIN, x_cm=140)])


def test_a_longer_word_means_a_deeper_landing():
    lines = [replace(LOW_BACKSPIN, length=length) for length in ("short", "half_long", "long")]

    assert (np.diff(typical_feeds(lines).target_x_cm) > 0).all()


@pytest.mark.parametrize("length", ["short", "half_long"])
@pytest.mark.parametrize("y_cm", [-60, 0, 60])
def test_a_wide_ball_is_wide_where_it_is_met_and_does_not_run_off_the_table_first(length, y_cm):
    """It bounces the second time as far to the side as its placement says."""
    line = replace(LOW_BACKSPIN, y_cm=y_cm, length=length, placement="wide_forehand")
    flight = simulate(aim(typical_feeds([line])))

    assert flight.second_y_cm[0] == pytest.approx(FOREHAND_CM["wide_forehand"], abs=1.5)
    assert length_of(flight).tolist() == [length]


@pytest.mark.parametrize("place", range(len(ALL_SETS)), ids=lambda place: ALL_SETS[place].name)
def test_a_ball_that_can_have_its_length_has_it_under_each_set_of_coefficients(place):
    """Found roughly and one set after the other; flown finely, they are where they were meant to be to a few cm."""
    lines = [
        replace(LOW_BACKSPIN, x_cm=x_cm, length=length, sidespin=sidespin)
        for x_cm in (-60, 0, 60)
        for length in ("short", "half_long")
        for sidespin in ("none", "left")
    ]
    found = typical_by_set(lines)[place]
    flights = follow(found.feeds, ALL_SETS[place])

    meant_cm = [SECOND_BOUNCE_X_CM[line.length] for line in lines]
    assert flights.second_x_cm == pytest.approx(meant_cm, abs=4)
    assert flights.landing_x_cm == pytest.approx(found.wanted.target_x_cm, abs=1)
    assert flights.net_clearance_cm == pytest.approx(found.wanted.net_clearance_cm, abs=1)


def test_a_ball_too_high_to_land_just_behind_the_net_is_sought_further_away():
    """Near the net a high ball cannot fall 20 cm behind it, and yet it can be fed."""
    near = replace(LOW_BACKSPIN, x_cm=108, height_cm=18, height="high")
    found = typical_by_set([near], [SET_A])[0]

    assert np.isfinite(found.feeds.speed_mps[0])
    assert found.wanted.target_x_cm[0] > 200


def test_balls_alike_are_one_kind_whichever_hand_meets_them():
    forehand = replace(LOW_BACKSPIN, placement="forehand")
    other_hand = replace(forehand, handedness="left", placement="backhand")
    lines = [forehand, replace(forehand, length="long"), other_hand, replace(forehand, sidespin="none")]

    kinds, kind_of_line = alike(lines)

    assert len(kinds) == 2
    assert kind_of_line[0] == kind_of_line[2] == kind_of_line[3] != kind_of_line[1]
    assert [kinds[kind].length for kind in kind_of_line] == ["short", "long", "short", "short"]
