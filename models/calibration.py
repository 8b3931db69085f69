"""Calibrating a feeder: from noted landings to what its speed dial and its spin dial give."""

from dataclasses import dataclass

import numpy as np

from models.aiming import FROM_PARABOLA, IN_FULL_AIR, LENGTH, Stage, Varied, adjust
from models.bounds import check_landing, check_launch, check_release, check_spin
from models.coefficients import GRAVITY_MPS2, SET_A, Coefficients
from models.feeds import Batch, Feeds, WantedFeeds
from models.table import BALL_DIAMETER_MM, FloatArray


@dataclass(frozen=True)
class NotedLandings(Batch):
    """N balls: how the dial stood and where each landed first, in the axes of `models.table`; every field (N,)."""

    dial: FloatArray
    x_cm: FloatArray
    y_cm: FloatArray


@dataclass(frozen=True)
class Mounting:
    """How the feeder stands while it is calibrated: its place, the height of the ball at release, the head's tilt.

    One number for all balls, or one for each (N,).
    """

    x_cm: float | FloatArray
    y_cm: float | FloatArray
    height_cm: float | FloatArray
    elevation_deg: float | FloatArray


def speeds_behind(
    noted: NotedLandings,
    mounting: Mounting,
    coefficients: Coefficients = SET_A,
    *,
    topspin_rps: float | FloatArray = 0.0,
    stages: tuple[Stage, ...] = FROM_PARABOLA,
) -> FloatArray:
    """The speeds (N,) in m/s that explain the landings; NaN where none does. Raises OutOfBounds."""
    _check(noted, mounting)
    check_spin(topspin_rps, 0.0)
    wanted = _wanted(noted, mounting, topspin_rps)
    feeds = _feeds(wanted, mounting, _speed_without_air_mps(wanted, mounting))
    return _explaining(feeds, wanted, coefficients, "speed_mps", stages).speed_mps


def spins_behind(
    noted: NotedLandings,
    mounting: Mounting,
    speed_mps: float | FloatArray,
    coefficients: Coefficients = SET_A,
    *,
    stages: tuple[Stage, ...] = IN_FULL_AIR,
) -> FloatArray:
    """The topspins (N,) in turns a second that explain the landings; NaN where none does. Raises OutOfBounds."""
    _check(noted, mounting)
    check_launch(speed_mps, mounting.elevation_deg)
    wanted = _wanted(noted, mounting, 0.0)
    feeds = _feeds(wanted, mounting, np.full_like(noted.dial, speed_mps))
    return _explaining(feeds, wanted, coefficients, "topspin_rps", stages).topspin_rps


def _check(noted: NotedLandings, mounting: Mounting) -> None:
    check_release(mounting.x_cm, mounting.y_cm, mounting.height_cm)
    check_launch(1.0, mounting.elevation_deg)
    check_landing(noted.x_cm, noted.y_cm)


def _wanted(noted: NotedLandings, mounting: Mounting, topspin_rps: float | FloatArray) -> WantedFeeds:
    """The noted landings as targets; how high the balls passed the net is not known and not asked."""
    return WantedFeeds.of(
        x_cm=mounting.x_cm,
        y_cm=mounting.y_cm,
        height_cm=mounting.height_cm,
        target_x_cm=noted.x_cm,
        target_y_cm=noted.y_cm,
        net_clearance_cm=0.0,
        topspin_rps=topspin_rps,
        sidespin_rps=0.0,
    )


def _feeds(wanted: WantedFeeds, mounting: Mounting, speed_mps: FloatArray) -> Feeds:
    return Feeds.of(
        x_cm=wanted.x_cm,
        y_cm=wanted.y_cm,
        height_cm=wanted.height_cm,
        speed_mps=speed_mps,
        elevation_deg=mounting.elevation_deg,
        yaw_deg=wanted.yaw_deg,
        topspin_rps=wanted.topspin_rps,
        sidespin_rps=wanted.sidespin_rps,
    )


def _speed_without_air_mps(wanted: WantedFeeds, mounting: Mounting) -> FloatArray:
    """The speed of the parabola from the release to each landing; where none falls there, a fast ball to start from."""
    flattest_per_m = 0.01
    elevation, distance = np.radians(mounting.elevation_deg), wanted.distance_cm / 100
    above_table = (mounting.height_cm - BALL_DIAMETER_MM / 20) / 100
    fall = np.maximum((np.tan(elevation) * distance + above_table) / distance**2, flattest_per_m)
    return np.asarray(np.sqrt(GRAVITY_MPS2 / (2 * fall)) / np.cos(elevation))


def _explaining(
    feeds: Feeds, wanted: WantedFeeds, coefficients: Coefficients, vary: Varied, stages: tuple[Stage, ...]
) -> Feeds:
    return adjust(feeds, wanted, coefficients, vary=(vary,), hold=(LENGTH,), stages=stages)
