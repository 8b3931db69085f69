"""How a feeder is set for a ball of a plan: head, dials, where its player is ready."""

from math import atan2, degrees

import pytest

from models.block_setup import NOT_CALIBRATED, Dials, block_setup
from models.coefficients import ALL_SETS
from models.dial import DialLine
from models.feeder_setup import FeederSetup
from models.stance import Place
from models.table import HALF_WIDTH_CM, TABLE_LENGTH_CM

BACK = FeederSetup(-20.0, -50.0, yaw_deg=5.0)
TOPSPIN = {"spin_family": "topspin", "length": "long", "placement": "middle"}


def line(quantity: str, slope: float, lowest: float = 0.0, highest: float = 10.0) -> dict[str, DialLine]:
    """A dial that gives `slope` for each mark, from 0, by every set of coefficients; without noise."""
    return {
        each.name: DialLine(quantity, each.name, 20, lowest, highest, 0.0, slope, 0.0, 1e-9, 0.0, 0.5, 0.95)  # type: ignore[arg-type]
        for each in ALL_SETS
    }


def test_the_head_looks_where_the_ball_shall_land_as_seen_from_above():
    """A ball without sidespin flies straight, seen from above."""
    found = block_setup(BACK, TOPSPIN, "right")

    straight_deg = degrees(atan2(found.lands.y_cm - BACK.y_cm, found.lands.x_cm - BACK.x_cm))
    assert found.yaw_deg == pytest.approx(straight_deg, abs=0.3)
    assert found.turn_deg == pytest.approx(found.yaw_deg - 5.0)
    assert found.lands.y_cm == pytest.approx(0, abs=2)
    assert block_setup(FeederSetup(-20.0, -50.0), TOPSPIN, "right").turn_deg is None


def test_a_left_handers_forehand_lies_on_the_other_side():
    placed = TOPSPIN | {"placement": "forehand"}
    right, left = (block_setup(FeederSetup(-20.0, 0.0), placed, hand) for hand in ("right", "left"))

    assert right.lands.y_cm == pytest.approx(-left.lands.y_cm)
    assert right.yaw_deg == pytest.approx(-left.yaw_deg)
    assert right.lands.y_cm > 0


def test_the_player_is_ready_on_the_bisector_of_what_may_come():
    """The bisector theorem: from the place of the feeder both corners are seen under the same angle from there."""
    ready = block_setup(BACK, TOPSPIN, "right").ready

    def seen_deg(place: Place) -> float:
        return degrees(atan2(place.y_cm - BACK.y_cm, place.x_cm - BACK.x_cm))

    left, right = (seen_deg(Place(TABLE_LENGTH_CM, side * HALF_WIDTH_CM)) for side in (-1, 1))
    assert seen_deg(ready) == pytest.approx((left + right) / 2)


def test_dials_are_told_only_where_they_are_calibrated():
    none = block_setup(BACK, TOPSPIN, "right", NOT_CALIBRATED)
    found = block_setup(BACK, TOPSPIN, "right", Dials(line("speed_mps", 2.0), line("topspin_rps", 5.0, highest=4.0)))

    assert (none.speed, none.spin) == (None, None)
    assert found.speed_mps is not None
    assert found.speed is not None
    assert found.speed_mps.low <= 2.0 * found.speed.mark <= found.speed_mps.high
    assert not found.speed.is_guess
    assert found.spin is not None
    assert (found.spin.mark, found.spin.is_guess) == (pytest.approx(25.0 / 5.0), True), "noted up to 4 only"


@pytest.mark.parametrize("words", [{}, {"spin_family": "topspin"}, {"length": "long"}, {"spin": None, "length": None}])
def test_of_a_ball_whose_spin_or_length_is_open_only_head_and_place_are_told(words):
    found = block_setup(BACK, words, "right", Dials(line("speed_mps", 2.0), {}))

    assert (found.tilt_deg, found.speed_mps, found.speed) == (None, None, None)
    assert found.ready == block_setup(BACK, TOPSPIN, "right").ready
