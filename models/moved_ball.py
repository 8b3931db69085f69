"""The advice for one ball of a moved feeder, over all sets of coefficients; worked out once and then kept.

What the sets disagree about is a span from the least to the most.
"""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, replace
from functools import lru_cache

import numpy as np

from models.coefficients import ALL_SETS
from models.estimates import Span
from models.feeder_setup import FeederSetup
from models.feeds import WantedFeeds
from models.flight import Flights, Point, points_of_path
from models.incoming import Length, Verdict, is_hurried, length_of, runs_off_side
from models.moving import Option, advice_by_set, other_ball, range_over
from models.stance import Handedness, Place
from models.table import FloatArray
from models.typical import Described, length_verdicts, typical_feeds

KEPT = 256
BY_NAME = {each.name: each for each in ALL_SETS}


@dataclass(frozen=True)
class Ball:
    """A ball as a coach says it, for a hand; `target` where another place is meant than the words say."""

    handedness: Handedness
    spin: str
    length: Length
    placement: str
    height: str
    target: Place | None = None
    sidespin: str = "none"


@dataclass(frozen=True)
class Times:
    """Seconds from the release; None where the ball does not get there by any set."""

    net_s: Span | None
    bounce_s: Span | None
    plane_s: Span | None
    top_s: Span | None
    second_s: Span | None
    contact_s: Span | None
    is_hurried: bool


@dataclass(frozen=True)
class Played:
    """A ball by one set of coefficients: how fast it is, and how much faster than before."""

    coefficients: str
    speed_mps: float
    speed_percent: float


@dataclass(frozen=True)
class Way:
    """One way to play the ball, against how it was played before; None for what no set has.

    `tilt_deg` and `yaw_deg` are what the head has then, the tilt above the level, the yaw to the player's right.
    `lengths`: short, half_long or long for each set, and `off_side` by how many it runs off a side line. `path_cm`: the
    points (x, y, height) of the ball by the first set that has it; `second`: where it bounces again.
    """

    played: tuple[Played, ...]
    clips: int
    speed_percent: Span | None
    elevation_deg: Span | None
    turn_deg: Span | None
    tilt_deg: Span | None
    yaw_deg: Span | None
    clearance_cm: Span | None
    too_far_cm: Span | None
    times: Times
    lengths: tuple[str, ...]
    off_side: int
    path_cm: tuple[Point, ...] = ()
    second: Place | None = None

    @property
    def sets(self) -> int:
        """How many sets have such a ball."""
        return len(self.played)


@dataclass(frozen=True)
class Moved:
    """What becomes of a ball when its feeder moves, over the sets; `impossible` names those that have no such ball.

    `same_words`: the ball that the words mean from the new place, which may have to land elsewhere to be as long.
    """

    target: Place
    verdict: Verdict
    impossible: tuple[str, ...]
    before: Way
    head_only: Way
    keep_landing: Way
    keep_clearance: Way
    keep_both: Way
    same_words: Way
    same_words_target: Place
    apex_percent: Span | None
    bounce_percent: Span | None
    landing_time_percent: Span | None
    is_lower: bool
    is_earlier: bool


@lru_cache(maxsize=KEPT)
def moved(before: FeederSetup, after: FeederSetup, ball: Ball) -> Moved:
    """The advice for a ball whose feeder moves. Raises OutOfBounds; NoSuchFeed where no set has such a ball before."""
    described = described_ball(before, ball)
    wanted = wanted_ball(described, ball)
    meant = typical_feeds([described_ball(after, ball)])
    by_set = advice_by_set(wanted, after.x_cm, after.y_cm, after.height_cm)
    advice = list(by_set.values())
    return Moved(
        target=landing_place(wanted),
        verdict=length_verdicts([described])[0],
        impossible=tuple(each.name for each in ALL_SETS if each.name not in by_set),
        before=way_over((each.coefficients, each.before) for each in advice),
        head_only=way_over((each.coefficients, each.head_only) for each in advice),
        keep_landing=way_over((each.coefficients, each.keep_landing) for each in advice),
        keep_clearance=way_over((each.coefficients, each.keep_clearance) for each in advice),
        keep_both=way_over((each.coefficients, each.keep_both) for each in advice),
        same_words=way_over(
            (each.coefficients, other_ball(meant, each.before.feeds, BY_NAME[each.coefficients])) for each in advice
        ),
        same_words_target=landing_place(meant),
        apex_percent=_span(each.flight_apex_change_percent for each in advice),
        bounce_percent=_span(each.bounce_apex_change_percent for each in advice),
        landing_time_percent=_span(each.landing_time_change_percent for each in advice),
        is_lower=all(bool(each.is_lower[0]) for each in advice),
        is_earlier=all(bool(each.is_earlier[0]) for each in advice),
    )


def target_of(before: FeederSetup, ball: Ball) -> Place:
    """Where a ball is to land, whether or not there can be such a ball. Raises OutOfBounds."""
    return landing_place(wanted_ball(described_ball(before, ball), ball))


def landing_place(wanted: WantedFeeds) -> Place:
    """Where the first of wanted balls is to land."""
    return Place(float(wanted.target_x_cm[0]), float(wanted.target_y_cm[0]))


def described_ball(setup: FeederSetup, ball: Ball) -> Described:
    """A ball as a line of the log would tell it."""
    return Described(
        x_cm=setup.x_cm,
        y_cm=setup.y_cm,
        height_cm=setup.height_cm,
        handedness=ball.handedness,
        spin=ball.spin,
        sidespin=ball.sidespin,
        length=ball.length,
        placement=ball.placement,
        height=ball.height,
    )


def wanted_ball(described: Described, ball: Ball) -> WantedFeeds:
    """The ball as a coach wants it: to its own target, else to where its words say. Raises OutOfBounds."""
    wanted = typical_feeds([described])
    if ball.target is None:
        return wanted
    return replace(wanted, target_x_cm=np.array([ball.target.x_cm]), target_y_cm=np.array([ball.target.y_cm]))


def way_over(options: Iterable[tuple[str, Option]]) -> Way:
    """One way to play the ball, over the sets of coefficients by name; those that have no such ball do not count."""
    by_set = {name: option for name, option in options if np.isfinite(option.feeds.speed_mps[0])}
    possible = list(by_set.values())

    def over(number: Callable[[Option], FloatArray]) -> Span | None:
        return _span(number(option) for option in possible)

    return Way(
        played=tuple(
            Played(name, float(option.feeds.speed_mps[0]), float(option.speed_change_percent[0]))
            for name, option in by_set.items()
        ),
        clips=sum(bool(option.clips_net[0]) for option in possible),
        speed_percent=over(lambda option: option.speed_change_percent),
        elevation_deg=over(lambda option: option.elevation_change_deg),
        turn_deg=over(lambda option: option.turn_deg),
        tilt_deg=over(lambda option: option.feeds.elevation_deg),
        yaw_deg=over(lambda option: option.feeds.yaw_deg),
        clearance_cm=over(lambda option: option.flights.net_clearance_cm),
        too_far_cm=over(lambda option: option.too_far_cm),
        times=_times([option.flights for option in possible]),
        lengths=tuple(str(length_of(option.flights)[0]) for option in possible),
        off_side=sum(bool(runs_off_side(option.flights)[0]) for option in possible),
        path_cm=_path_cm(by_set),
        second=_second(possible),
    )


def _path_cm(by_set: Mapping[str, Option]) -> tuple[Point, ...]:
    for name, option in by_set.items():
        return points_of_path(option.feeds, BY_NAME[name])
    return ()


def _second(possible: Iterable[Option]) -> Place | None:
    for flights in (option.flights for option in possible):
        if np.isfinite(flights.second_x_cm[0]):
            return Place(float(flights.second_x_cm[0]), float(flights.second_y_cm[0]))
    return None


def _times(flights: list[Flights]) -> Times:
    return Times(
        net_s=_span(each.net_time_s for each in flights),
        bounce_s=_span(each.landing_time_s for each in flights),
        plane_s=_span(each.plane_time_s for each in flights),
        top_s=_span(each.bounce_apex_time_s for each in flights),
        second_s=_span(each.second_time_s for each in flights),
        contact_s=_span(each.contact_time_s for each in flights),
        is_hurried=any(bool(is_hurried(each.contact_time_s)[0]) for each in flights),
    )


def _span(numbers: Iterable[FloatArray]) -> Span | None:
    """The span of one number over the sets that have it."""
    known = [number for number in numbers if np.isfinite(number[0])]
    if not known:
        return None
    over = range_over(known)
    return Span(float(over.low[0]), float(over.high[0]))
