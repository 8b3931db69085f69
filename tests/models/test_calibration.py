"""Calibrating a feeder from landings that were flown: what went in comes out."""

import numpy as np
import pytest

from models.bounds import FeederPastNet, SpinOutOfReach, TargetOffTable, TooFewNotes
from models.calibration import Mounting, NotedLandings, speeds_behind, spins_behind
from models.coefficients import ALL_SETS, SET_A, SET_B
from models.dial import DialLine, fit_dial
from models.feeds import Feeds
from models.flight import simulate

LEVEL_HEAD = Mounting(x_cm=-20, y_cm=10, height_cm=30, elevation_deg=8)
DIAL = np.array([2.0, 2, 2, 3, 3, 3, 4, 4, 4])


def speed_line(noted: NotedLandings, mounting: Mounting, coefficients=SET_A, topspin_rps=0.0) -> DialLine:
    speeds_mps = speeds_behind(noted, mounting, coefficients, topspin_rps=topspin_rps)
    return fit_dial(noted.dial, speeds_mps, "speed_mps", coefficients.name)


def spin_line(noted: NotedLandings, speed_mps: float, coefficients=SET_A) -> DialLine:
    spins_rps = spins_behind(noted, LEVEL_HEAD, speed_mps, coefficients)
    return fit_dial(noted.dial, spins_rps, "topspin_rps", coefficients.name)


def landings(speed_mps, topspin_rps, coefficients, mounting=LEVEL_HEAD, scatter_cm=0.0):
    """Where balls at these settings land, with some scatter if asked."""
    flights = simulate(
        Feeds.of(
            x_cm=mounting.x_cm,
            y_cm=mounting.y_cm,
            height_cm=mounting.height_cm,
            elevation_deg=mounting.elevation_deg,
            speed_mps=speed_mps,
            yaw_deg=-3,
            topspin_rps=topspin_rps,
            sidespin_rps=0,
        ),
        coefficients,
    )
    away_cm = scatter_cm * np.random.default_rng(5).standard_normal(DIAL.size)
    return NotedLandings(dial=DIAL, x_cm=flights.landing_x_cm + away_cm, y_cm=flights.landing_y_cm)


@pytest.mark.parametrize("coefficients", ALL_SETS, ids=lambda each: each.name)
@pytest.mark.parametrize("topspin_rps", [0.0, -20.0])
def test_the_speeds_behind_exact_landings_are_found_back(coefficients, topspin_rps):
    noted = landings(4.3 + 0.7 * DIAL, topspin_rps, coefficients)
    line = speed_line(noted, LEVEL_HEAD, coefficients, topspin_rps=topspin_rps)

    assert (line.intercept, line.slope) == pytest.approx((4.3, 0.7), abs=1e-5)
    assert (line.quantity, line.coefficients, line.balls) == ("speed_mps", coefficients.name, 9)


@pytest.mark.parametrize("coefficients", ALL_SETS, ids=lambda each: each.name)
def test_the_spins_behind_exact_landings_are_found_back(coefficients):
    """The line is straight in the dial: 10 turns of backspin a step, from 10 of topspin at 2."""
    noted = landings(6.2, 30 - 10 * DIAL, coefficients)
    line = spin_line(noted, 6.2, coefficients)

    assert (line.intercept, line.slope) == pytest.approx((30, -10), abs=1e-3)
    assert line.quantity == "topspin_rps"


def test_with_some_scatter_the_true_speed_lies_in_the_interval():
    noted = landings(4.3 + 0.7 * DIAL, 0.0, SET_A, scatter_cm=4)
    estimate = speed_line(noted, LEVEL_HEAD).at(3)

    assert estimate.low < 4.3 + 0.7 * 3 < estimate.high
    assert 0.01 < estimate.high - estimate.low < 0.5


def test_the_spin_read_from_a_landing_depends_on_the_lift_law_far_more_than_on_the_balls():
    """Published lift laws differ tenfold; the same notes under A and B give spins a third apart and more."""
    noted = landings(6.2, 30 - 10 * DIAL, SET_A)
    a, b = (spin_line(noted, 6.2, each) for each in (SET_A, SET_B))

    assert abs(b.slope / a.slope) > 1.3


def test_balls_fed_downwards_from_high_up_are_calibrated_too():
    steep = Mounting(x_cm=0, y_cm=0, height_cm=60, elevation_deg=-4)
    noted = landings(7 + 0.5 * DIAL, 0.0, SET_A, steep)

    assert speed_line(noted, steep).slope == pytest.approx(0.5, abs=1e-5)


def test_a_landing_that_no_speed_explains_has_none():
    downwards = Mounting(x_cm=0, y_cm=0, height_cm=20, elevation_deg=-20)
    noted = NotedLandings.of(dial=[1.0, 2.0], x_cm=[200.0, 210.0], y_cm=0.0)

    assert np.isnan(speeds_behind(noted, downwards)).all()


def test_a_landing_that_no_spin_explains_has_none():
    noted = NotedLandings.of(dial=[1.0, 2.0], x_cm=[140.0, 150.0], y_cm=0.0)

    assert np.isnan(spins_behind(noted, LEVEL_HEAD, 9.0)[0])


def test_impossible_notes_are_refused():
    noted = NotedLandings.of(dial=[1.0, 2.0], x_cm=[240.0, 280.0], y_cm=0.0)
    fine = NotedLandings.of(dial=[1.0, 2.0], x_cm=[240.0, 250.0], y_cm=0.0)

    with pytest.raises(TargetOffTable, match="The noted landing's x is 280 cm"):
        speed_line(noted, LEVEL_HEAD)
    with pytest.raises(FeederPastNet):
        speed_line(fine, Mounting(x_cm=137, y_cm=0, height_cm=30, elevation_deg=5))
    with pytest.raises(SpinOutOfReach):
        speed_line(fine, LEVEL_HEAD, topspin_rps=1000)
    with pytest.raises(TooFewNotes, match="all at one setting"):
        speed_line(NotedLandings.of(dial=3.0, x_cm=[240.0, 250.0], y_cm=0.0), LEVEL_HEAD)
