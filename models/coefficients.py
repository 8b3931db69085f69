"""Named, versioned, sourced coefficients of flight and bounce.

Drag: F_D = 1/2 rho A C_D v^2, against the motion. Lift: F_L = 1/2 rho A C_L v^2 (w x v)/(|w||v|) with spin parameter
S = R w / v. Published lift laws differ by more than ten times, and the only wind-tunnel-grade flight study of a real
ball ("Lift crisis of a spinning table tennis ball", Eur. J. Phys. 38, 2017, 024001; volume from memory) begins at
Reynolds number 3e4, 11 m/s: short and half-long feeds are slower. So a number that depends on lift is shown as a range
over the sets. Spin is taken not to fade in the air, and restitution and friction not to depend on speed (Inaba et al.
2017 find that they do, a little).
"""

from dataclasses import dataclass
from functools import cached_property
from math import pi
from typing import Literal

import numpy as np

from models.table import BALL_DIAMETER_MM, BALL_MASS_G, FloatArray

GRAVITY_MPS2 = 9.81
AIR_DENSITY_KG_M3 = 1.204
"""Dry air at 20 C and 1013 hPa."""


@dataclass(frozen=True)
class Coefficients:
    """One set: a ball, the air, and how the two and the table act on each other.

    The lift law is C_L = lift_factor * S / (lift_offset + lift_growth * S), which holds the published forms used here.
    `confirmed`: whether the source was read, or the value is from memory.
    """

    name: str
    version: int
    source: str
    confirmed: Literal["source seen", "in part from memory"]
    drag_coefficient: float
    lift_factor: float
    lift_offset: float
    lift_growth: float
    restitution: float
    friction: float
    ball_mass_g: float = BALL_MASS_G
    ball_diameter_mm: float = BALL_DIAMETER_MM
    air_density_kg_m3: float = AIR_DENSITY_KG_M3
    gravity_mps2: float = GRAVITY_MPS2

    @cached_property
    def ball_radius_m(self) -> float:
        """Half the ball's diameter."""
        return self.ball_diameter_mm / 2000

    @cached_property
    def air_share_per_m(self) -> float:
        """rho A / 2m: what turns a coefficient and a squared speed into an acceleration."""
        return self.air_density_kg_m3 * pi * self.ball_radius_m**2 / (2 * self.ball_mass_g / 1000)

    @cached_property
    def drag_per_m(self) -> float:
        """k_D = rho A C_D / 2m: the deceleration is k_D v^2."""
        return self.air_share_per_m * self.drag_coefficient

    def lift_per_radian(self, spin_rad_s: FloatArray, speed_mps: FloatArray) -> FloatArray:
        """k_M, so that the acceleration by lift is k_M (w x v); of the shape of its arguments (N,), in 1/rad.

        Written with C_L / S, which stays finite for a ball without spin.
        """
        spin_parameter = self.ball_radius_m * spin_rad_s / np.maximum(speed_mps, 1e-9)
        greatest = self.air_share_per_m * self.ball_radius_m * self.lift_factor
        return greatest / (self.lift_offset + self.lift_growth * spin_parameter)


_BOUNCE_SOURCE = "bounce: e 0.90 between the Laws' 23 cm from 30 cm (2.1.3) and Nakashima et al., ACC 2010 (mu 0.25)"

SET_A = Coefficients(
    name="A",
    version=1,
    source="drag of a smooth sphere, Re 1e3 to 2e5 (0.44 to 0.50; Achenbach, J. Fluid Mech. 54, 1972, 565-575); "
    f"lift of Stepanek, Am. J. Phys. 56 (1988) 138, C_L = 1/(2.022 + 0.981/S), from memory; {_BOUNCE_SOURCE}",
    confirmed="in part from memory",
    drag_coefficient=0.45,
    lift_factor=1.0,
    lift_offset=0.981,
    lift_growth=2.022,
    restitution=0.90,
    friction=0.25,
)
SET_B = Coefficients(
    name="B",
    version=1,
    source="Koc, Maeda, Peters (Max Planck Institute): constants of their launcher-fed robot arm, k_D 0.1414 1/m, "
    "k_M 0.001 (C_L 0.178 S), e 0.88, in the public code optimpoly; friction mu 0.25 of Nakashima et al., ACC 2010",
    confirmed="source seen",
    drag_coefficient=0.505,
    lift_factor=0.178,
    lift_offset=1.0,
    lift_growth=0.0,
    restitution=0.88,
    friction=0.25,
)
SET_C = Coefficients(
    name="C",
    version=1,
    source="as A with C_D 0.40, about the curve of Morrison, An Introduction to Fluid Mechanics (2013), fig. 8.13",
    confirmed="in part from memory",
    drag_coefficient=0.40,
    lift_factor=SET_A.lift_factor,
    lift_offset=SET_A.lift_offset,
    lift_growth=SET_A.lift_growth,
    restitution=SET_A.restitution,
    friction=SET_A.friction,
)
SET_D = Coefficients(
    name="D",
    version=1,
    source="as A with half the lift: what slow feeds would have if the lift of a real ball lies below Stepanek's",
    confirmed="in part from memory",
    drag_coefficient=SET_A.drag_coefficient,
    lift_factor=SET_A.lift_factor / 2,
    lift_offset=SET_A.lift_offset,
    lift_growth=SET_A.lift_growth,
    restitution=SET_A.restitution,
    friction=SET_A.friction,
)
ALL_SETS = (SET_A, SET_B, SET_C, SET_D)
