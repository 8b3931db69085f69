"""Aim: how far and in which direction a target lies from a feeder, and what that place is to a player."""

from dataclasses import dataclass

from models.bounds import check_target
from models.feeder_setup import FeederSetup
from models.settings import Settings
from models.stance import Depth, Handedness, Place, Side, depth_of, distance_cm, side_of, yaw_deg


@dataclass(frozen=True)
class Aim:
    """One feeder and one target, in the axes of `models.table`; for a sentence or for a script.

    `head_turn_deg` is from how the log says the head is turned; None where it does not say.
    """

    setup: str | None
    name: str | None
    x_cm: float
    y_cm: float
    target_x_cm: float
    target_y_cm: float
    distance_cm: float
    yaw_deg: float
    logged_yaw_deg: float | None
    head_turn_deg: float | None
    deep_centre_distance_cm: float
    deep_centre_yaw_deg: float
    hand: Handedness
    depth: Depth
    side: Side


def aimed(setup: FeederSetup, target: Place, hand: Handedness, settings: Settings) -> Aim:
    """The aim from a feeder at a target. Raises FeederBeyondHall, TargetOffTable."""
    check_target(target.x_cm, target.y_cm)
    wanted_deg = yaw_deg(setup.place, target)
    return Aim(
        setup=setup.code,
        name=setup.name,
        x_cm=setup.x_cm,
        y_cm=setup.y_cm,
        target_x_cm=target.x_cm,
        target_y_cm=target.y_cm,
        distance_cm=distance_cm(setup.place, target),
        yaw_deg=wanted_deg,
        logged_yaw_deg=setup.yaw_deg,
        head_turn_deg=None if setup.yaw_deg is None else wanted_deg - setup.yaw_deg,
        deep_centre_distance_cm=distance_cm(setup.place),
        deep_centre_yaw_deg=yaw_deg(setup.place),
        hand=hand,
        depth=depth_of(setup.x_cm, back_below_cm=settings.back_below_cm, near_from_cm=settings.near_from_cm),
        side=side_of(setup.y_cm, hand, centre_within_cm=settings.centre_within_cm),
    )
