"""What the words of a log line mean in numbers, where nothing was measured: a typical feed, and whether it can be.

The numbers are settings: typical spins are from memory (feeders give 0 to 60 turns a second, players push and chop at
20 to 60), heights and places are common practice without a source. They say what a ball is like, not what it was.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

import numpy as np

from models.aiming import aim_where_possible
from models.coefficients import ALL_SETS, SET_A, Coefficients
from models.feeds import WantedFeeds
from models.flight import PLAYER_PLANE_CM, follow
from models.incoming import HALF_LONG_TOLERANCE_CM, Length, Verdict, compare_length, length_of
from models.stance import DEEP_CENTRE, Handedness, forehand_cm
from models.table import NET_X_CM, TABLE_LENGTH_CM, FloatArray

TOPSPIN_RPS = {
    "heavy_backspin": -45.0,
    "backspin": -30.0,
    "light_backspin": -15.0,
    "no_spin": 0.0,
    "light_topspin": 10.0,
    "topspin": 25.0,
    "heavy_topspin": 45.0,
}
SIDESPIN_RPS = {"left": -15.0, "none": 0.0, "right": 15.0}
NET_CLEARANCE_CM = {"low": 6.0, "medium": 15.0, "high": 35.0}
FOREHAND_CM = {"wide_forehand": 66.0, "forehand": 40.0, "middle": 0.0, "backhand": -40.0, "wide_backhand": -66.0}
SECOND_BOUNCE_X_CM: dict[Length, float] = {"short": 250.0, "half_long": TABLE_LENGTH_CM, "long": PLAYER_PLANE_CM}
RELEASE_HEIGHT_CM = 25.0

_DEPTHS_CM = NET_X_CM + np.array([20.0, 35.0, 50.0, 70.0, 90.0, 110.0, 132.0])


@dataclass(frozen=True)
class Described:
    """A feed as a log line tells it: where the feeder stood, for which hand, and the words; None where none."""

    x_cm: float
    y_cm: float
    height_cm: float | None
    handedness: Handedness
    spin: str
    length: Length
    sidespin: str | None = None
    placement: str | None = None
    height: str | None = None


def typical_feeds(lines: Sequence[Described], coefficients: Coefficients = SET_A) -> WantedFeeds:
    """The feeds (N,) the lines describe, landing where the second bounce comes nearest to what the length means.

    A long ball lands deep in any case. Raises OutOfBounds for a feeder from which no ball can be fed.
    """
    deep = _deep_feeds(lines)
    deep.check()
    tried_cm = _second_bounces_cm(deep, coefficients)
    depths_cm = np.array(
        [
            _depth_for(SECOND_BOUNCE_X_CM[line.length], second_cm)
            for line, second_cm in zip(lines, tried_cm, strict=True)
        ]
    )
    least_cm = [DEEP_CENTRE.x_cm if line.length == "long" else 0.0 for line in lines]
    return replace(deep, target_x_cm=np.maximum(depths_cm, least_cm))


def length_verdicts(
    lines: Sequence[Described],
    sets: Iterable[Coefficients] = ALL_SETS,
    *,
    tolerance_cm: float = HALF_LONG_TOLERANCE_CM,
) -> list[Verdict]:
    """Whether such a ball can have the length its line claims: by all sets of coefficients, by some, or by none.

    A doubtful line is to be marked, never refused. Raises as typical_feeds.
    """
    lengths = []
    for each in sets:
        flights = follow(aim_where_possible(typical_feeds(lines, each), each), each)
        lengths.append(length_of(flights, tolerance_cm=tolerance_cm))
    return [compare_length(line.length, column) for line, column in zip(lines, np.array(lengths).T, strict=True)]


def _deep_feeds(lines: Sequence[Described]) -> WantedFeeds:
    return WantedFeeds.of(
        x_cm=[line.x_cm for line in lines],
        y_cm=[line.y_cm for line in lines],
        height_cm=[RELEASE_HEIGHT_CM if line.height_cm is None else line.height_cm for line in lines],
        target_x_cm=DEEP_CENTRE.x_cm,
        target_y_cm=[forehand_cm(FOREHAND_CM[line.placement or "middle"], line.handedness) for line in lines],
        net_clearance_cm=[NET_CLEARANCE_CM[line.height or "medium"] for line in lines],
        topspin_rps=[TOPSPIN_RPS[line.spin] for line in lines],
        sidespin_rps=[SIDESPIN_RPS[line.sidespin or "none"] for line in lines],
    )


def _second_bounces_cm(feeds: WantedFeeds, coefficients: Coefficients) -> FloatArray:
    """Where the second bounce falls (N, D) if the feeds land at each of a few depths."""
    size = feeds.x_cm.size
    tried = feeds.take(np.repeat(np.arange(size), _DEPTHS_CM.size))
    tried = replace(tried, target_x_cm=np.tile(_DEPTHS_CM, size))
    return follow(aim_where_possible(tried, coefficients), coefficients).second_x_cm.reshape(size, -1)


def _depth_for(second_cm: float, by_depth_cm: FloatArray) -> float:
    """The landing that brings the second bounce to a place, between the depths tried (deeper landings go further)."""
    is_known = np.isfinite(by_depth_cm)
    if not is_known.any():
        return float(_DEPTHS_CM[0])
    return float(np.interp(second_cm, by_depth_cm[is_known], _DEPTHS_CM[is_known]))
