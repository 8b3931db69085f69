"""Advice for a feeder that moves: what the same ball to the same target needs from its new place.

All per-cent changes of speed hold well across the sets of coefficients, though the speeds themselves do not: show the
range over the sets.
"""

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np

from models.aiming import CLEARANCE, LENGTH, LINE, Varied, adjust, aim, aim_where_possible, landing_miss_cm
from models.bounds import NoSuchFeed
from models.coefficients import ALL_SETS, SET_A, Coefficients
from models.feeds import Feeds, WantedFeeds
from models.flight import Flights, follow
from models.table import BoolArray, FloatArray


@dataclass(frozen=True)
class Option:
    """One way to play N feeds from the new place, against how they were; every number (N,), NaN where it cannot be."""

    feeds: Feeds
    flights: Flights
    speed_change_percent: FloatArray
    elevation_change_deg: FloatArray
    turn_deg: FloatArray
    too_far_cm: FloatArray

    @property
    def clips_net(self) -> BoolArray:
        """Goes into the net; not said of a feed that cannot be."""
        return np.isfinite(self.flights.net_clearance_cm) & ~self.flights.clears_net


@dataclass(frozen=True)
class MovingAdvice:
    """What becomes of N feeds after a move, by one set of coefficients.

    `head_only`: the head turned to the target, nothing else changed. `keep_landing` and `keep_clearance`: the elevation
    left, the speed changed for the same landing or the same gap over the net. `keep_both`: speed and elevation changed.
    The changes in per cent (N,) compare the ball of `keep_both` with the ball before.
    """

    coefficients: str
    before: Option
    head_only: Option
    keep_landing: Option
    keep_clearance: Option
    keep_both: Option
    distance_change_percent: FloatArray
    flight_apex_change_percent: FloatArray
    bounce_apex_change_percent: FloatArray
    landing_time_change_percent: FloatArray
    second_time_change_percent: FloatArray

    @property
    def is_lower(self) -> BoolArray:
        """The ball flies and bounces lower than before (N,)."""
        return np.logical_and(self.flight_apex_change_percent < 0, self.bounce_apex_change_percent < 0)

    @property
    def is_earlier(self) -> BoolArray:
        """The ball lands, and would land again, sooner after its release (N,). It need not fall more flatly."""
        return np.logical_and(self.landing_time_change_percent < 0, self.second_time_change_percent < 0)


@dataclass(frozen=True)
class Range:
    """The least and the most (N,) over the sets of coefficients."""

    low: FloatArray
    high: FloatArray


def moving_advice(
    wanted: WantedFeeds, x_cm: float, y_cm: float, height_cm: float, coefficients: Coefficients = SET_A
) -> MovingAdvice:
    """Advice for wanted feeds (N,) whose feeder moves to another place, as they were aimed before.

    Raises OutOfBounds for an impossible number, NoSuchFeed for a feed that was not possible before.
    """
    moved = wanted.moved_to(x_cm, y_cm, height_cm)
    moved.check()
    feeds = aim(wanted, coefficients)
    before = _option(feeds, feeds, wanted, coefficients)
    turned = _turned(feeds, moved, coefficients)
    speed_and_turn: tuple[Varied, ...] = ("speed_mps", "yaw_deg")
    same_landing = adjust(turned, moved, coefficients, vary=speed_and_turn, hold=(LENGTH, LINE))
    same_clearance = adjust(turned, moved, coefficients, vary=speed_and_turn, hold=(CLEARANCE, LINE))
    both = _option(aim_where_possible(moved, coefficients), feeds, moved, coefficients)
    return MovingAdvice(
        coefficients=coefficients.name,
        before=before,
        head_only=_option(turned, feeds, moved, coefficients),
        keep_landing=_option(same_landing, feeds, moved, coefficients),
        keep_clearance=_option(same_clearance, feeds, moved, coefficients),
        keep_both=both,
        distance_change_percent=_change_percent(wanted.distance_cm, moved.distance_cm),
        flight_apex_change_percent=_change_percent(before.flights.flight_apex_cm, both.flights.flight_apex_cm),
        bounce_apex_change_percent=_change_percent(before.flights.bounce_apex_cm, both.flights.bounce_apex_cm),
        landing_time_change_percent=_change_percent(before.flights.landing_time_s, both.flights.landing_time_s),
        second_time_change_percent=_change_percent(before.flights.second_time_s, both.flights.second_time_s),
    )


def advice_by_set(
    wanted: WantedFeeds, x_cm: float, y_cm: float, height_cm: float, sets: Iterable[Coefficients] = ALL_SETS
) -> dict[str, MovingAdvice]:
    """The advice under each set of coefficients that has all these balls, by its name.

    Raises OutOfBounds, and NoSuchFeed where no set has them.
    """
    advice, refusal = {}, None
    for each in sets:
        try:
            advice[each.name] = moving_advice(wanted, x_cm, y_cm, height_cm, each)
        except NoSuchFeed as problem:
            refusal = problem
    if refusal is not None and not advice:
        raise refusal
    return advice


def as_aimed(wanted: WantedFeeds, coefficients: Coefficients = SET_A) -> Option:
    """Wanted balls (N,) as they must be played, against nothing; blank where none can be."""
    feeds = aim_where_possible(wanted, coefficients)
    return _option(feeds, feeds, wanted, coefficients)


def other_ball(wanted: WantedFeeds, before: Feeds, coefficients: Coefficients = SET_A) -> Option:
    """Balls wanted otherwise than before (N,), from wherever, against how they were played; blank where none can be.

    For a length that a move changes: the same words mean another landing from the new place.
    """
    return _option(aim_where_possible(wanted, coefficients), before, wanted, coefficients)


def range_over(numbers: Iterable[FloatArray]) -> Range:
    """The range (N,) of the same number by several sets; NaN where a set has none."""
    by_set = np.stack(list(numbers))
    return Range(by_set.min(axis=0), by_set.max(axis=0))


def _turned(feeds: Feeds, moved: WantedFeeds, coefficients: Coefficients) -> Feeds:
    """The feeds from the new place, the head turned until the ball comes down on the line to the target."""
    facing = Feeds(
        x_cm=moved.x_cm,
        y_cm=moved.y_cm,
        height_cm=moved.height_cm,
        speed_mps=feeds.speed_mps,
        elevation_deg=feeds.elevation_deg,
        yaw_deg=moved.yaw_deg,
        topspin_rps=feeds.topspin_rps,
        sidespin_rps=feeds.sidespin_rps,
    )
    return adjust(facing, moved, coefficients, vary=("yaw_deg",), hold=(LINE,))


def _option(feeds: Feeds, before: Feeds, wanted: WantedFeeds, coefficients: Coefficients) -> Option:
    flights = follow(feeds, coefficients)
    return Option(
        feeds=feeds,
        flights=flights,
        speed_change_percent=_change_percent(before.speed_mps, feeds.speed_mps),
        elevation_change_deg=feeds.elevation_deg - before.elevation_deg,
        turn_deg=feeds.yaw_deg - before.yaw_deg,
        too_far_cm=landing_miss_cm(flights.landing_x_cm, flights.landing_y_cm, wanted)[0],
    )


def _change_percent(before: FloatArray, after: FloatArray) -> FloatArray:
    return 100 * (after / before - 1)
