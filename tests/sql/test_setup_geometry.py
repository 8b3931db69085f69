"""The geometry of setups in the warehouse is that of the trade: SQL and `models/stance.py` say the same."""

import random

import pytest

from models.stance import DEEP_CENTRE, Place, depth_of, distance_cm, head_turn_deg, side_of, yaw_deg
from tests.sql.clubs import Club, a_club

PLACES = 200


@pytest.fixture(scope="module")
def club():
    """Feeders anywhere in the hall on their own half, one in four with a yaw noted, some right on the limits."""
    chance = random.Random(7)
    rows = [
        {"x_cm": x, "y_cm": y, "yaw_deg": chance.choice([None, None, None, chance.uniform(-90, 90)])}
        for x, y in (
            *((chance.uniform(-560, 136), chance.uniform(-350, 350)) for _ in range(PLACES)),
            *((x, y) for x in (29.9, 30, 91, 136) for y in (-25.1, -25, 0, 25)),
        )
    ]
    with a_club() as club:
        club.load("setups", *(row | {"setup": f"S{at:03}"} for at, row in enumerate(rows)))
        yield club.build("core.setups")


def setups(club: Club):
    return [(row, Place(row["x_cm"], row["y_cm"])) for row in club.rows("core.setups")]


def test_distance_and_yaw_to_the_deep_centre_are_those_of_the_trade(club):
    assert len(setups(club)) == 2 * (PLACES + 16)
    for row, place in setups(club):
        assert row["distance_cm"] == pytest.approx(distance_cm(place), rel=1e-12)
        assert row["yaw_to_centre_deg"] == pytest.approx(yaw_deg(place), abs=1e-9)


def test_the_turn_of_the_head_leads_from_the_noted_yaw_to_the_deep_centre(club):
    """Without a noted yaw there is no turn to tell."""
    for row, place in setups(club):
        if row["yaw_deg"] is None:
            assert row["head_turn_deg"] is None
        else:
            assert row["yaw_deg"] + row["head_turn_deg"] == pytest.approx(yaw_deg(place, DEEP_CENTRE), abs=1e-9)


def test_a_move_turns_the_head_by_the_difference_of_the_yaws_to_the_deep_centre(club):
    (before, was), (after, is_now) = setups(club)[0], setups(club)[2]

    turn_deg = after["yaw_to_centre_deg"] - before["yaw_to_centre_deg"]
    assert turn_deg == pytest.approx(head_turn_deg(was, is_now), abs=1e-9)


def test_depth_and_side_are_those_of_the_trade_for_each_hand(club):
    for row, _ in setups(club):
        assert row["depth"] == depth_of(row["x_cm"])
        assert row["side"] == side_of(row["y_cm"], row["handedness"])
