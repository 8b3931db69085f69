"""Balls in free motion against closed forms: parabola, linear and quadratic drag, and what physics conserves."""

from dataclasses import replace
from math import atan, cos, cosh, exp, log, radians, sin, sqrt, tanh, tau

import numpy as np
import pytest

from models.aiming import aim
from models.coefficients import ALL_SETS, SET_A, SET_B
from models.feeds import Feeds, WantedFeeds
from models.flight import air_acceleration, fall_to_table, fly_first_leg, simulate
from models.motion import Moment, X, Y, Z, advance, fly

NO_AIR = replace(SET_A, drag_coefficient=0.0, lift_factor=0.0)
DRAG_ONLY = replace(SET_A, lift_factor=0.0)
WEIGHTLESS = replace(DRAG_ONLY, gravity_mps2=0.0)
LIFT_ONLY = replace(SET_A, drag_coefficient=0.0)
NO_SPIN = np.zeros((3, 1))
SOME_SPIN = tau * np.array([[5.0], [30.0], [20.0]])
G = SET_A.gravity_mps2
K = SET_A.drag_per_m
TERMINAL_MPS = sqrt(G / K)


def fly_for(seconds, velocity_mps, acceleration, step_s=0.01):
    """One ball from the origin: its positions and velocities (K, 3), step by step."""
    positions, velocities = [np.zeros((3, 1))], [np.array(velocity_mps, dtype=float).reshape(3, 1)]
    for _ in range(round(seconds / step_s)):
        position, velocity = advance(acceleration, positions[-1], velocities[-1], step_s)
        positions.append(position)
        velocities.append(velocity)
    return np.stack(positions)[..., 0], np.stack(velocities)[..., 0]


def one_feed(**changes):
    numbers = {"x_cm": 0, "y_cm": 0, "height_cm": 25, "speed_mps": 5, "elevation_deg": 15, "yaw_deg": 0}
    return Feeds.of(**(numbers | {"topspin_rps": 0, "sidespin_rps": 0} | changes))


@pytest.mark.parametrize("elevation_deg", [-5, 0, 15, 40])
def test_without_air_a_ball_flies_a_parabola(elevation_deg):
    """t = (vz + sqrt(vz^2 + 2 g h)) / g, x = vx t, apex z + vz^2 / 2g: school physics; Runge-Kutta is exact for it."""
    flights = simulate(one_feed(elevation_deg=elevation_deg), NO_AIR)
    vx, vz, h = 5 * cos(radians(elevation_deg)), 5 * sin(radians(elevation_deg)), 0.25 - 0.02
    time_s = (vz + sqrt(vz**2 + 2 * G * h)) / G

    assert flights.landing_time_s[0] == pytest.approx(time_s, abs=2e-15)
    assert flights.landing_x_cm[0] == pytest.approx(100 * vx * time_s, abs=1e-12)
    assert flights.flight_apex_cm[0] == pytest.approx(25 + 100 * max(vz, 0) ** 2 / (2 * G), abs=1e-12)


def test_linear_drag_slows_a_ball_exponentially():
    """x = vx/k (1 - e^-kt), z = (vz + g/k)/k (1 - e^-kt) - g t/k (de Carpentier 2014, doi 10.1155/2014/463489)."""
    k, t, vx, vz = 0.8, 1.0, 6.0, 3.0

    positions, _ = fly_for(t, [vx, 0, vz], lambda v: -k * v - np.array([[0], [0], [G]]), step_s=0.001)

    assert positions[-1, X] == pytest.approx(vx / k * (1 - exp(-k * t)), abs=1e-12)
    assert positions[-1, Z] == pytest.approx((vz + G / k) / k * (1 - exp(-k * t)) - G * t / k, abs=1e-12)


def test_a_weightless_ball_loses_speed_exponentially_over_the_way():
    """Quadratic drag, no gravity: v = v0/(1 + k v0 t), x = ln(1 + k v0 t)/k, v = v0 e^-kx (elementary)."""
    v0, t = 10.0, 1.0

    positions, velocities = fly_for(t, [v0, 0, 0], air_acceleration(WEIGHTLESS, NO_SPIN), step_s=0.001)

    assert positions[-1, X] == pytest.approx(log(1 + K * v0 * t) / K, abs=1e-12)
    assert velocities[-1, X] == pytest.approx(v0 / (1 + K * v0 * t), abs=1e-12)
    assert velocities[-1, X] == pytest.approx(v0 * exp(-K * positions[-1, X]), abs=1e-12)


def test_a_dropped_ball_follows_the_hyperbolic_cosine():
    """z = vt^2/g ln cosh(g t/vt), v = vt tanh(g t/vt), v(h) = vt sqrt(1 - e^-2kh): quadratic drag, elementary."""
    t = 0.5

    positions, velocities = fly_for(t, [0, 0, 0], air_acceleration(DRAG_ONLY, NO_SPIN), step_s=0.001)

    fallen_m = TERMINAL_MPS**2 / G * log(cosh(G * t / TERMINAL_MPS))
    assert -positions[-1, Z] == pytest.approx(fallen_m, abs=1e-12)
    assert -velocities[-1, Z] == pytest.approx(TERMINAL_MPS * tanh(G * t / TERMINAL_MPS), abs=1e-12)
    assert -velocities[-1, Z] == pytest.approx(TERMINAL_MPS * sqrt(1 - exp(-2 * K * fallen_m)), abs=1e-12)


def test_a_ball_thrown_straight_up_rises_as_far_and_as_long_as_drag_lets_it():
    """h = ln(1 + v^2/vt^2) / 2k after t = vt/g atan(v/vt): quadratic drag, elementary."""
    start = Moment(np.zeros(1), np.zeros((3, 1)), np.array([[0.0], [0.0], [4.0]]))

    top = fly(air_acceleration(DRAG_ONLY, NO_SPIN), start, lambda position_m: position_m[Z] < 0).top()

    assert top.position_m[Z, 0] == pytest.approx(log(1 + 16 / TERMINAL_MPS**2) / (2 * K), abs=1e-8)
    assert top.time_s[0] == pytest.approx(TERMINAL_MPS / G * atan(4 / TERMINAL_MPS), abs=1e-5)


def test_a_ball_thrown_straight_up_stops_where_and_when_the_closed_form_says():
    """The same two formulas followed step by step to the moment itself: h to 1e-12 m, and the speed is gone."""
    rise_s = TERMINAL_MPS / G * atan(4 / TERMINAL_MPS)

    positions, velocities = fly_for(1.0, [0, 0, 4], air_acceleration(DRAG_ONLY, NO_SPIN), step_s=rise_s / 1000)

    assert positions[1000, Z] == pytest.approx(log(1 + 16 / TERMINAL_MPS**2) / (2 * K), abs=1e-12)
    assert velocities[1000, Z] == pytest.approx(0, abs=1e-11)


def test_a_deep_topspin_ball_arrives_with_three_quarters_of_its_speed():
    """8.83 m/s at release, 6.72 m/s at the landing (0.76), by another integrator: drag takes a bit, gravity gives back.

    e^(-kD 2.52 m) alone would be 0.73.
    """
    wanted = WantedFeeds.of(
        x_cm=0,
        y_cm=0,
        height_cm=25,
        target_x_cm=245,
        target_y_cm=-60,
        net_clearance_cm=12,
        topspin_rps=10,
        sidespin_rps=0,
    )
    feeds = aim(wanted)
    landing = fall_to_table(fly_first_leg(feeds, SET_A), SET_A)

    assert feeds.speed_mps[0] == pytest.approx(8.83, abs=0.01)
    assert np.linalg.norm(landing.velocity_mps[:, 0]) == pytest.approx(6.72, abs=0.01)


@pytest.mark.parametrize(
    ("expected_mps", "drag_coefficient"), [(9.36, 0.40), (8.82, 0.45), (8.37, 0.50), (8.33, 0.505)]
)
@pytest.mark.parametrize("start_mps", [0.0, -20.0], ids=["dropped", "thrown down"])
def test_the_terminal_speed_is_reached_from_both_sides(expected_mps, drag_coefficient, start_mps):
    """v = sqrt(2 m g / (rho A C_D)), with C_D 0.44 to 0.50 of a smooth sphere (Achenbach 1972) and 0.505 (Koc)."""
    falling = replace(DRAG_ONLY, drag_coefficient=drag_coefficient)

    _, velocities = fly_for(6.0, [0, 0, start_mps], air_acceleration(falling, NO_SPIN))

    assert -velocities[-1, Z] == pytest.approx(expected_mps, abs=0.005)


def test_drag_takes_a_quarter_of_the_speed_on_the_way_to_deep_centre():
    """e^(-kD x) over 2.52 m: 0.73 (elementary), the speed-drag length 1/kD being 7.9 m for C_D 0.45."""
    positions, velocities = fly_for(0.5, [9, 0, 0], air_acceleration(WEIGHTLESS, NO_SPIN))

    speed_mps = np.interp(2.52, positions[:, X], velocities[:, X])
    assert speed_mps / 9 == pytest.approx(0.73, abs=0.005)
    assert pytest.approx(7.9, abs=0.05) == 1 / K


@pytest.mark.parametrize("coefficients", ALL_SETS, ids=lambda each: each.name)
def test_mechanical_energy_only_ever_falls_in_the_air(coefficients):
    positions, velocities = fly_for(1.0, [7, 1, 4], air_acceleration(coefficients, SOME_SPIN))

    energy = G * positions[:, Z] + (velocities**2).sum(axis=1) / 2
    assert (np.diff(energy) < 0).all()


def test_lift_does_no_work():
    """Lift stands across the motion: no power, and no energy gained or lost in one second without drag."""
    acceleration = air_acceleration(LIFT_ONLY, SOME_SPIN)
    positions, velocities = fly_for(1.0, [7, 1, 4], acceleration)
    lift = acceleration(velocities.T) + np.array([[0], [0], [G]])

    energy = G * positions[:, Z] + (velocities**2).sum(axis=1) / 2
    assert np.abs((lift * velocities.T).sum(axis=0)).max() < 1e-13
    assert np.ptp(energy) < 5e-9


def test_without_drag_a_ball_rises_as_long_as_it_falls():
    positions, velocities = fly_for(0.8, [6, 0, 0.4 * G], air_acceleration(NO_AIR, NO_SPIN))

    assert positions[-1, Z] == pytest.approx(0, abs=1e-12)
    assert velocities[-1] == pytest.approx([6, 0, -0.4 * G], abs=1e-12)


def test_with_drag_a_ball_goes_less_far_after_its_apex_than_before():
    """8 m/s at 34 degrees from table height: 2.20 m before the apex, 1.84 m after it, by another integrator."""
    start = [8 * cos(radians(34)), 0, 8 * sin(radians(34))]
    positions, _ = fly_for(1.2, start, air_acceleration(DRAG_ONLY, NO_SPIN), step_s=0.001)
    apex = positions[:, Z].argmax()
    down = apex + np.argmax(positions[apex:, Z] <= 0)

    assert positions[apex, X] == pytest.approx(2.20, abs=0.01)
    assert positions[down, X] - positions[apex, X] == pytest.approx(1.84, abs=0.01)


def test_a_mirrored_feed_flies_the_mirrored_way():
    """y, vy and the spins about x and z change sign, for a spin vector is mirrored the other way round."""
    acceleration = air_acceleration(SET_A, SOME_SPIN)
    mirrored = air_acceleration(SET_A, SOME_SPIN * np.array([[-1], [1], [-1]]))

    way, _ = fly_for(1.0, [7, 1, 4], acceleration)
    mirrored_way, _ = fly_for(1.0, [7, -1, 4], mirrored)

    assert np.array_equal(way * [1, -1, 1], mirrored_way)


def test_a_ball_without_sidespin_stays_in_its_upright_plane():
    """So the yaw to a target is exactly the angle of the line to it."""
    yaw = radians(-16)
    spin = tau * 40 * np.array([[-sin(yaw)], [cos(yaw)], [0.0]])

    way, _ = fly_for(1.0, [7 * cos(yaw), 7 * sin(yaw), 3], air_acceleration(SET_A, spin))

    assert np.abs(way[:, Y] * cos(yaw) - way[:, X] * sin(yaw)).max() < 1e-14


@pytest.mark.parametrize("coefficients", [SET_A, SET_B], ids=lambda each: each.name)
def test_twice_the_air_and_twice_the_mass_leave_the_way_unchanged(coefficients):
    """Only kD L, kM w L/v and g L/v^2 matter (dimensional analysis)."""
    doubled = replace(
        coefficients,
        air_density_kg_m3=2 * coefficients.air_density_kg_m3,
        ball_mass_g=2 * coefficients.ball_mass_g,
    )

    way, _ = fly_for(1.0, [7, 1, 4], air_acceleration(coefficients, SOME_SPIN))
    heavy_way, _ = fly_for(1.0, [7, 1, 4], air_acceleration(doubled, SOME_SPIN))

    assert np.array_equal(way, heavy_way)
