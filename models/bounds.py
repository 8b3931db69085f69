"""What a setup and a feed can be at all: refusals in a sentence for the coach who must mend the number."""

from dataclasses import dataclass
from math import atan2, cos, degrees, sin

import numpy as np

from models.refusal import Refused
from models.table import (
    HALF_WIDTH_CM,
    NET_X_CM,
    PLAYING_SPACE_HEIGHT_CM,
    PLAYING_SPACE_LENGTH_CM,
    PLAYING_SPACE_WIDTH_CM,
    TABLE_HEIGHT_CM,
    TABLE_LENGTH_CM,
    FloatArray,
)

HALL_BACK_CM = NET_X_CM - PLAYING_SPACE_LENGTH_CM / 2
HALL_SIDE_CM = PLAYING_SPACE_WIDTH_CM / 2
LOWEST_RELEASE_CM = 2 - TABLE_HEIGHT_CM
HIGHEST_RELEASE_CM = PLAYING_SPACE_HEIGHT_CM - TABLE_HEIGHT_CM
SLOWEST_MPS = 0.1
FASTEST_MPS = 35.0
"""Just above the fastest smash on record, 122 km/h = 33.9 m/s (reported, seen second-hand)."""
MOST_SPIN_RPS = 150.0
"""Elite players reach about 127 turns a second (Delumeau et al., Appl. Sci. 15, 2025, 6350)."""
STEEPEST_DEG = 85.0


class OutOfBounds(Refused, ValueError):
    """A number that no setup or feed can have. Its text says what was seen and what would be possible."""


class FeederBeyondHall(OutOfBounds):
    """The feeder stands outside the playing space."""


class FeederPastNet(OutOfBounds):
    """The feeder stands at or beyond the net, so that no feed can cross it."""


class TargetOffTable(OutOfBounds):
    """The target is not on the player's half of the table."""


class SpinOutOfReach(OutOfBounds):
    """More turns a second than any player gives a ball."""


class LaunchOutOfReach(OutOfBounds):
    """A speed, an elevation or a release height that no feeder has."""


class YawMissesTable(OutOfBounds):
    """Turned like this, the head sends the ball past the player's half."""


class TooFewNotes(OutOfBounds):
    """The noted landings cannot answer what was asked of them."""


class NoSuchFeed(OutOfBounds):
    """No ball does what was asked, though each number alone is possible."""


@dataclass(frozen=True)
class _Bound:
    """One number's limits, and what to call it in a refusal."""

    name: str
    low: float
    high: float
    unit: str
    refusal: type[OutOfBounds]
    hint: str

    def check(self, value: float | FloatArray) -> None:
        values = np.atleast_1d(np.asarray(value, dtype=float))
        wrong = values[~((values >= self.low) & (values <= self.high))]
        if wrong.size:
            raise self.refusal(
                f"{self.name} is {wrong[0]:g} {self.unit}; possible is {self.low:g} to {self.high:g} {self.unit}. "
                f"{self.hint}"
            )


_MEASURED_FROM = "Measure from the middle of the end line opposite the player; towards the player is positive."
_FEEDER_X = _Bound(
    "The feeder's x", HALL_BACK_CM, TABLE_LENGTH_CM - HALL_BACK_CM, "cm", FeederBeyondHall, _MEASURED_FROM
)
_FEEDER_Y = _Bound(
    "The feeder's y",
    -HALL_SIDE_CM,
    HALL_SIDE_CM,
    "cm",
    FeederBeyondHall,
    "Measure from the centre line; the player's right is positive.",
)
_TARGET_X = _Bound("The target's x", NET_X_CM, TABLE_LENGTH_CM, "cm", TargetOffTable, "Aim at the player's half.")
_TARGET_Y = _Bound("The target's y", -HALF_WIDTH_CM, HALF_WIDTH_CM, "cm", TargetOffTable, "Aim between the side lines.")
_LANDING_X = _Bound("The noted landing's x", NET_X_CM, TABLE_LENGTH_CM, "cm", TargetOffTable, _MEASURED_FROM)
_LANDING_Y = _Bound(
    "The noted landing's y", -HALF_WIDTH_CM, HALF_WIDTH_CM, "cm", TargetOffTable, "Note only balls that hit the table."
)
_HEIGHT = _Bound(
    "The release height",
    LOWEST_RELEASE_CM,
    HIGHEST_RELEASE_CM,
    "cm",
    LaunchOutOfReach,
    "Measure from the table surface up to the ball's centre.",
)
_SPEED = _Bound("The speed", SLOWEST_MPS, FASTEST_MPS, "m/s", LaunchOutOfReach, "Feeds are commonly 3 to 15 m/s.")
_ELEVATION = _Bound(
    "The elevation", -STEEPEST_DEG, STEEPEST_DEG, "deg", LaunchOutOfReach, "0 is level, positive is upwards."
)
_CLEARANCE = _Bound(
    "The height over the net", 0, 150, "cm", LaunchOutOfReach, "It is the gap between the net and the ball's underside."
)
_SPIN = _Bound(
    "The spin", -MOST_SPIN_RPS, MOST_SPIN_RPS, "turns a second", SpinOutOfReach, "Give turns a second, not a minute."
)


def check_feeder(x_cm: float | FloatArray, y_cm: float | FloatArray) -> None:
    """Raises FeederBeyondHall for a feeder outside the playing space."""
    _FEEDER_X.check(x_cm)
    _FEEDER_Y.check(y_cm)


def check_release(x_cm: float | FloatArray, y_cm: float | FloatArray, height_cm: float | FloatArray) -> None:
    """Raises FeederBeyondHall, FeederPastNet or LaunchOutOfReach for a place from which no ball can be fed."""
    check_feeder(x_cm, y_cm)
    _HEIGHT.check(height_cm)
    farthest = float(np.max(np.asarray(x_cm, dtype=float), initial=-np.inf))
    if farthest >= NET_X_CM:
        raise FeederPastNet(
            f"The feeder's x is {farthest:g} cm, at or beyond the net. A feed crosses the net: stand at an x below "
            f"{NET_X_CM:g} cm."
        )


def check_target(x_cm: float | FloatArray, y_cm: float | FloatArray) -> None:
    """Raises TargetOffTable for a target that is not on the player's half."""
    _TARGET_X.check(x_cm)
    _TARGET_Y.check(y_cm)


def check_spin(topspin_rps: float | FloatArray, sidespin_rps: float | FloatArray) -> None:
    """Raises SpinOutOfReach for more turns a second than any player gives a ball."""
    _SPIN.check(topspin_rps)
    _SPIN.check(sidespin_rps)


def check_landing(x_cm: float | FloatArray, y_cm: float | FloatArray) -> None:
    """Raises TargetOffTable for a landing noted where the player's half is not."""
    _LANDING_X.check(x_cm)
    _LANDING_Y.check(y_cm)


def check_clearance(net_clearance_cm: float | FloatArray) -> None:
    """Raises LaunchOutOfReach for a ball wanted through the net, or higher over it than any feed."""
    _CLEARANCE.check(net_clearance_cm)


def check_launch(speed_mps: float | FloatArray, elevation_deg: float | FloatArray) -> None:
    """Raises LaunchOutOfReach for a speed or an elevation no feeder has."""
    _SPEED.check(speed_mps)
    _ELEVATION.check(elevation_deg)


def yaw_range_deg(x_cm: float, y_cm: float) -> tuple[float, float]:
    """The yaws between which a straight ball from (x, y) flies over the player's half; all of them from within it."""
    if NET_X_CM <= x_cm <= TABLE_LENGTH_CM and abs(y_cm) <= HALF_WIDTH_CM:
        return -180.0, 180.0
    middle = atan2(-y_cm, (NET_X_CM + TABLE_LENGTH_CM) / 2 - x_cm)
    turns = [
        _turn_rad(atan2(side * HALF_WIDTH_CM - y_cm, end_cm - x_cm), middle)
        for end_cm in (NET_X_CM, TABLE_LENGTH_CM)
        for side in (-1, 1)
    ]
    return degrees(middle + min(turns)), degrees(middle + max(turns))


def check_yaw(x_cm: float, y_cm: float, yaw_deg: float) -> None:
    """Raises YawMissesTable where a straight ball would pass beside the player's half (or fly away from it)."""
    check_feeder(x_cm, y_cm)
    lowest, highest = yaw_range_deg(x_cm, y_cm)
    rounding = 1e-9
    if (yaw_deg - lowest + rounding) % 360 > highest - lowest + 2 * rounding:
        raise YawMissesTable(
            f"Turned to {yaw_deg:g} deg, the head of a feeder at x {x_cm:g} cm, y {y_cm:g} cm misses the player's half "
            f"of the table. Turn it to between {lowest:.1f} and {highest:.1f} deg (0 is parallel to the centre line, "
            f"positive is to the player's right)."
        )


def _turn_rad(to_rad: float, from_rad: float) -> float:
    """The smaller turn from one bearing to another, -pi to pi."""
    difference = to_rad - from_rad
    return atan2(sin(difference), cos(difference))
