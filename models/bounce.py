"""The bounce of a spinning ball on the table.

The ball is a thin shell touching at one point; the table takes away a share `grip` of its slip, limited by Coulomb
friction, and never more than 2/5, where the ball rolls (Nakashima et al., "Modeling of rebound phenomenon of a rigid
ball ...", ACC 2010; Hayakawa et al., SICE JCMSI 9, 2016, 50-59, both as public code quotes them).
"""

import numpy as np

from models.coefficients import Coefficients
from models.table import FloatArray

ROLLING_GRIP = 2 / 5
"""The share of slip that leaves a thin shell rolling: m R^2 / (m R^2 + I) with I = 2/3 m R^2."""


def slip_mps(velocity_mps: FloatArray, spin_rad_s: FloatArray, radius_m: float) -> FloatArray:
    """Velocity along the table (2, N) of the point of a ball that touches it, from velocity and spin (3, N)."""
    vx, vy = velocity_mps[0], velocity_mps[1]
    return np.stack([vx - radius_m * spin_rad_s[1], vy + radius_m * spin_rad_s[0]])


def bounce(
    velocity_mps: FloatArray, spin_rad_s: FloatArray, coefficients: Coefficients
) -> tuple[FloatArray, FloatArray]:
    """Velocity and spin (3, N) just after the bounce, from those just before it."""
    radius_m = coefficients.ball_radius_m
    slip = slip_mps(velocity_mps, spin_rad_s, radius_m)
    lost = _grip(velocity_mps[2], slip, coefficients) * slip
    spin_up = 3 / (2 * radius_m) * lost
    unchanged = np.zeros_like(lost[0])
    after_mps = np.stack(
        [velocity_mps[0] - lost[0], velocity_mps[1] - lost[1], -coefficients.restitution * velocity_mps[2]]
    )
    return after_mps, spin_rad_s + np.stack([-spin_up[1], spin_up[0], unchanged])


def _grip(down_mps: FloatArray, slip: FloatArray, coefficients: Coefficients) -> FloatArray:
    friction_mps = coefficients.friction * (1 + coefficients.restitution) * np.abs(down_mps)
    slip_speed_mps = np.maximum(np.hypot(slip[0], slip[1]), 1e-12)
    grip: FloatArray = np.minimum(friction_mps / slip_speed_mps, ROLLING_GRIP)
    return grip
