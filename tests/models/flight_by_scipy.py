"""The slow, obvious flight: one ball at a time, scipy's DOP853 at a tolerance of 1e-10.

The physics is written out again here from its definitions, so that a slip in the product's arrays cannot hide.
"""

from math import cos, hypot, pi, radians, sin, tau

import numpy as np
from scipy.integrate import solve_ivp

RHO, MASS, R, G = 1.204, 0.0027, 0.020, 9.81
AREA = pi * R**2


def lift_coefficient_a(spin_parameter):
    """Stepanek, Am. J. Phys. 56 (1988) 138, from memory."""
    return 1 / (2.022 + 0.981 / spin_parameter) if spin_parameter else 0.0


def lift_coefficient_b(spin_parameter):
    """Koc et al.: k_M = 0.001, so C_L = 0.178 S."""
    return 0.178 * spin_parameter


LAWS = {"A": (0.45, lift_coefficient_a, 0.90, 0.25), "B": (0.505, lift_coefficient_b, 0.88, 0.25)}


def motion(_, state, spin, drag_coefficient, lift_coefficient):
    _, _, _, vx, vy, vz = state
    wx, wy, wz = spin
    speed, turning = hypot(vx, vy, vz), hypot(wx, wy, wz)
    pressure = 0.5 * RHO * AREA * speed**2 / MASS
    drag = pressure * drag_coefficient / speed
    lift = pressure * lift_coefficient(R * turning / speed) / (turning * speed) if turning else 0.0
    return (
        *(vx, vy, vz),
        lift * (wy * vz - wz * vy) - drag * vx,
        lift * (wz * vx - wx * vz) - drag * vy,
        lift * (wx * vy - wy * vx) - drag * vz - G,
    )


def touches_table(_, state, *laws):
    return state[2] - R


touches_table.terminal, touches_table.direction = True, -1


def fall(state, spin, drag_coefficient, lift_coefficient):
    done = solve_ivp(
        motion,
        (0, 4),
        state,
        method="DOP853",
        rtol=1e-10,
        atol=1e-12,
        events=touches_table,
        args=(spin, drag_coefficient, lift_coefficient),
    )
    return done.t_events[0][0], done.y_events[0][0]


def bounced(state, spin, restitution, friction):
    """An impulse at the lowest point of a thin shell, limited by friction and by rolling."""
    arm = np.array([0, 0, -R])
    slip = (state[3:] + np.cross(spin, arm))[:2]
    down = -state[5]
    stopping = 2 / 5 * np.linalg.norm(slip)
    impulse = -min(stopping, friction * (1 + restitution) * down) * slip / np.linalg.norm(slip)
    velocity = state[3:] + np.append(impulse, (1 + restitution) * down)
    return np.concatenate([state[:3], velocity]), spin + np.cross(arm, np.append(impulse, 0)) / (2 / 3 * R**2)


def by_scipy(feed, laws):
    """Landing and second bounce of one feed: times in s, places in m; NaN for the second where the table is missed."""
    drag_coefficient, lift_coefficient, restitution, friction = laws
    e, yaw = radians(feed["elevation_deg"]), radians(feed["yaw_deg"])
    direction = np.array([cos(e) * cos(yaw), cos(e) * sin(yaw), sin(e)])
    across = np.cross([0, 0, 1], [cos(yaw), sin(yaw), 0])
    spin = tau * (feed["topspin_rps"] * across + np.array([0, 0, feed["sidespin_rps"]]))
    place = np.array([feed["x_cm"], feed["y_cm"], feed["height_cm"]]) / 100

    time, landed = fall(np.append(place, feed["speed_mps"] * direction), spin, drag_coefficient, lift_coefficient)
    if not (0 <= landed[0] <= 2.74 and abs(landed[1]) <= 0.7625):
        return [time, *landed[:2], *[np.nan] * 3]
    rising, spin = bounced(landed, spin, restitution, friction)
    rise_time, fallen = fall(rising, spin, drag_coefficient, lift_coefficient)
    return [time, *landed[:2], time + rise_time, *fallen[:2]]


def random_feeds(count, seed):
    rng = np.random.default_rng(seed)
    bounds = {
        "x_cm": (-60, 110),
        "y_cm": (-76, 76),
        "height_cm": (10, 50),
        "speed_mps": (3, 12),
        "elevation_deg": (-5, 30),
        "yaw_deg": (-20, 20),
        "topspin_rps": (-50, 60),
        "sidespin_rps": (-25, 25),
    }
    return {name: rng.uniform(low, high, count) for name, (low, high) in bounds.items()}
