"""Aim: the speed, elevation and yaw that send a ball to a target, over the net by a wanted gap.

A flight through air has no inverse in closed form, a parabola has. So the search starts from the parabola and lets the
air in little by little, following the ball that still does what is wanted.
"""

from dataclasses import dataclass, replace
from typing import Literal

import numpy as np

from models.bounds import FASTEST_MPS, NoSuchFeed
from models.coefficients import GRAVITY_MPS2, SET_A, Coefficients
from models.feeds import Feeds, WantedFeeds
from models.flight import fall_to_table, fly_first_leg, net_clearance_cm
from models.motion import STEP_S, X, Y
from models.search import approach_zero
from models.table import BALL_DIAMETER_MM, NET_HEIGHT_CM, NET_X_CM, FloatArray, IntArray

LENGTH, LINE, CLEARANCE = 0, 1, 2
"""What a feed can miss: the landing along the line to the target, the landing across it, the gap over the net."""

Varied = Literal["speed_mps", "elevation_deg", "yaw_deg", "topspin_rps"]
"""What a search may change of a feed."""


@dataclass(frozen=True)
class Stage:
    """One stage of a search: the share of the air let in, the step of the flights, how close is close enough."""

    air_share: float
    step_s: float
    close_enough_cm: float


IN_FULL_AIR = (Stage(1.0, 0.04, 0.01), Stage(1.0, STEP_S, 1e-5))
FROM_PARABOLA = (*(Stage(share, 0.04, 1.0) for share in (0.2, 0.4, 0.6, 0.8)), *IN_FULL_AIR)


def aim(wanted: WantedFeeds, coefficients: Coefficients = SET_A) -> Feeds:
    """Speed, elevation and yaw for every wanted feed; lands within 1e-6 m of its target.

    Raises OutOfBounds for an impossible number, NoSuchFeed where no ball does all that is asked.
    """
    wanted.check()
    feeds = aim_where_possible(wanted, coefficients)
    missing = np.isnan(feeds.speed_mps)
    if missing.any():
        place = int(missing.argmax())
        raise NoSuchFeed(
            f"No ball released at x {wanted.x_cm[place]:g} cm, y {wanted.y_cm[place]:g} cm, height "
            f"{wanted.height_cm[place]:g} cm with topspin {wanted.topspin_rps[place]:g} turns a second passes the net "
            f"by {wanted.net_clearance_cm[place]:g} cm and lands at x {wanted.target_x_cm[place]:g} cm, "
            f"y {wanted.target_y_cm[place]:g} cm. Ask for another height over the net, another target or less spin."
        )
    return feeds


def aim_where_possible(wanted: WantedFeeds, coefficients: Coefficients) -> Feeds:
    """As aim, but unchecked, and all NaN for a feed that cannot be."""
    return adjust(
        without_air(wanted),
        wanted,
        coefficients,
        vary=("speed_mps", "elevation_deg", "yaw_deg"),
        hold=(LENGTH, LINE, CLEARANCE),
        stages=FROM_PARABOLA,
    )


def adjust(
    feeds: Feeds,
    wanted: WantedFeeds,
    coefficients: Coefficients,
    *,
    vary: tuple[Varied, ...],
    hold: tuple[int, ...],
    stages: tuple[Stage, ...] = IN_FULL_AIR,
) -> Feeds:
    """The feeds changed in as many numbers as things are to be held, so that these miss nothing; all NaN if they must.

    Starts from the feeds as given, which should be near what is wanted unless the stages let the air in slowly.
    """
    unknowns, missed_cm = _unknowns(feeds, vary), np.full(feeds.x_cm.size, np.inf)
    for stage in stages:
        air = replace(coefficients, air_density_kg_m3=coefficients.air_density_kg_m3 * stage.air_share)

        def miss(problems: IntArray, unknowns: FloatArray, air: Coefficients = air, stage: Stage = stage) -> FloatArray:
            trial = _with_unknowns(feeds.take(problems), vary, unknowns)
            return misses_cm(trial, wanted.take(problems), air, stage.step_s)[list(hold)]

        unknowns, missed_cm = approach_zero(miss, unknowns, stage.close_enough_cm)
    found = _with_unknowns(feeds, vary, unknowns)
    return found.blanked(~(found.is_possible & (missed_cm < stages[-1].close_enough_cm)))


def misses_cm(feeds: Feeds, wanted: WantedFeeds, coefficients: Coefficients, step_s: float = STEP_S) -> FloatArray:
    """How far N feeds end from what was wanted (3, N): too far along the line, too far right of it, too high."""
    track = fly_first_leg(feeds, coefficients, step_s)
    landing_cm = 100 * fall_to_table(track, coefficients).position_m
    clearance_cm = net_clearance_cm(track.crossing(X, NET_X_CM / 100), coefficients) - wanted.net_clearance_cm
    return np.stack([*landing_miss_cm(landing_cm[X], landing_cm[Y], wanted), clearance_cm])


def landing_miss_cm(x_cm: FloatArray, y_cm: FloatArray, wanted: WantedFeeds) -> tuple[FloatArray, FloatArray]:
    """How far landings (N,) lie too far along the line to the target, and too far to its right."""
    away_x, away_y = x_cm - wanted.target_x_cm, y_cm - wanted.target_y_cm
    yaw = np.radians(wanted.yaw_deg)
    return away_x * np.cos(yaw) + away_y * np.sin(yaw), away_y * np.cos(yaw) - away_x * np.sin(yaw)


def without_air(wanted: WantedFeeds) -> Feeds:
    """The parabola through release, gap over the net and target: height = release + rise d - fall d^2.

    Where it would have to bend upwards (a floating backspin ball may), the straightest ball a feeder can play.
    """
    straightest_per_m = GRAVITY_MPS2 / (2 * FASTEST_MPS**2)
    distance = wanted.distance_cm / 100
    to_net = distance * (NET_X_CM - wanted.x_cm) / (wanted.target_x_cm - wanted.x_cm)
    radius_cm = BALL_DIAMETER_MM / 20
    slope_to_net = (NET_HEIGHT_CM + radius_cm + wanted.net_clearance_cm - wanted.height_cm) / 100 / to_net
    slope_to_target = (radius_cm - wanted.height_cm) / 100 / distance
    fall = np.maximum((slope_to_net - slope_to_target) / (distance - to_net), straightest_per_m)
    elevation = np.arctan(slope_to_net + fall * to_net)
    return Feeds(
        x_cm=wanted.x_cm,
        y_cm=wanted.y_cm,
        height_cm=wanted.height_cm,
        speed_mps=np.sqrt(GRAVITY_MPS2 / (2 * fall)) / np.cos(elevation),
        elevation_deg=np.degrees(elevation),
        yaw_deg=wanted.yaw_deg,
        topspin_rps=wanted.topspin_rps,
        sidespin_rps=wanted.sidespin_rps,
    )


def _unknowns(feeds: Feeds, vary: tuple[Varied, ...]) -> FloatArray:
    """What may be varied (U, N): degrees and turns as they are, the speed by its logarithm in hundredths."""
    return np.stack([100 * np.log(feeds.speed_mps) if name == "speed_mps" else getattr(feeds, name) for name in vary])


def _with_unknowns(feeds: Feeds, vary: tuple[Varied, ...], unknowns: FloatArray) -> Feeds:
    far_too_fast = 100 * np.log(2 * FASTEST_MPS)
    numbers = dict(zip(vary, unknowns, strict=True))
    if "speed_mps" in numbers:
        numbers["speed_mps"] = np.exp(np.minimum(numbers["speed_mps"], far_too_fast) / 100)
    return replace(feeds, **numbers)
