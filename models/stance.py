"""Where a feeder stands, seen from above: depth, side, distance, and how far its head is or must be turned.

Signs, everywhere: x from the end line opposite the player towards the player (0 that line, 137 the net, negative behind
the table); y to the player's right, so that y > 0 is a right-hander's forehand side and a left-hander's backhand side;
yaw 0 parallel to the centre line, positive turned to the player's right. Who stands behind the feeder and looks at the
player sees the player's right on his own left.
"""

from dataclasses import dataclass
from math import atan2, degrees, hypot, radians, tan
from typing import Literal

from models.bounds import check_feeder

Depth = Literal["back", "middle", "near"]
Side = Literal["forehand", "centre", "backhand"]
Handedness = Literal["right", "left"]


@dataclass(frozen=True)
class Place:
    """A place seen from above, in the axes of `models.table`."""

    x_cm: float
    y_cm: float


DEEP_CENTRE = Place(245.0, 0.0)
"""Setting: the place a feeder is set up for, on the centre line, 29 cm inside the player's end line."""


def depth_of(x_cm: float, *, back_below_cm: float = 30.0, near_from_cm: float = 91.0) -> Depth:
    """Back, middle or near the net; the limits are settings."""
    if x_cm < back_below_cm:
        return "back"
    return "near" if x_cm >= near_from_cm else "middle"


def side_of(y_cm: float, handedness: Handedness, *, centre_within_cm: float = 25.0) -> Side:
    """On the forehand or the backhand side of a player of this handedness, or in the centre; the limit is a setting."""
    if abs(y_cm) <= centre_within_cm:
        return "centre"
    return "forehand" if forehand_cm(y_cm, handedness) > 0 else "backhand"


def forehand_cm(y_cm: float, handedness: Handedness) -> float:
    """How far a place lies towards the player's forehand; negative towards the backhand."""
    return y_cm if handedness == "right" else -y_cm


def distance_cm(feeder: Place, target: Place = DEEP_CENTRE) -> float:
    """From a feeder to a target, seen from above."""
    return hypot(target.x_cm - feeder.x_cm, target.y_cm - feeder.y_cm)


def yaw_deg(feeder: Place, target: Place = DEEP_CENTRE) -> float:
    """Where the head must point for a target; exact for a ball without sidespin. Raises FeederBeyondHall."""
    check_feeder(feeder.x_cm, feeder.y_cm)
    return degrees(atan2(target.y_cm - feeder.y_cm, target.x_cm - feeder.x_cm))


def head_turn_deg(before: Place, after: Place, target: Place = DEEP_CENTRE) -> float:
    """How far the head must turn for the same target once the feeder has moved, its body parallel to the table."""
    return yaw_deg(after, target) - yaw_deg(before, target)


def sideways_cm(turn_deg: float, feeder: Place, target: Place = DEEP_CENTRE) -> float:
    """How far to the player's right a small turn of the head moves the ball where it passes the target."""
    return distance_cm(feeder, target) * tan(radians(turn_deg))
