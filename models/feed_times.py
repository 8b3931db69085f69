"""What a kind of feed is in physical terms: from which angle it comes, how soon, and whether it can be so long.

Where nothing was measured, the words of the log stand for a typical ball (`models/typical.py`); every number is a range
over the sets of coefficients. The angle is that of the ball between its two bounces, seen from above: 0 parallel to the
centre line, positive towards the player's right.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import get_args

import numpy as np

from models.coefficients import ALL_SETS, Coefficients
from models.flight import Flights, follow
from models.incoming import HALF_LONG_TOLERANCE_CM, Length, Verdict, compare_length, length_of
from models.moving import Range, range_over
from models.stance import Handedness
from models.table import FloatArray
from models.typical import Described, alike, typical_by_set

_STEP_S = 0.05


@dataclass(frozen=True)
class FeedPhysics:
    """N kinds of feed, every range (N,); NaN for one that cannot be fed.

    Times run from the release, to the bounce and to contact: the player's plane, or the top of the bounce before it.
    `lengths`: what every set of coefficients says; None where they differ or the ball cannot be fed.
    """

    angle_deg: Range
    bounce_time_s: Range
    contact_time_s: Range
    lengths: tuple[Length | None, ...]
    verdicts: tuple[Verdict, ...]


def feed_physics(
    lines: Sequence[Described],
    sets: Iterable[Coefficients] = ALL_SETS,
    *,
    tolerance_cm: float = HALF_LONG_TOLERANCE_CM,
) -> FeedPhysics:
    """The physics of the balls that N lines describe. Raises OutOfBounds for a feeder that can feed no ball."""
    kinds, kind_of_line = alike(lines)
    flights = _typical_flights(tuple(kinds), tuple(sets))
    lengths = np.array([length_of(flight, tolerance_cm=tolerance_cm) for flight in flights]).T[kind_of_line]
    return FeedPhysics(
        angle_deg=range_over(angle_deg(flight)[kind_of_line] for flight in flights),
        bounce_time_s=range_over(flight.landing_time_s[kind_of_line] for flight in flights),
        contact_time_s=range_over(flight.contact_time_s[kind_of_line] for flight in flights),
        lengths=tuple(_agreed(by_set) for by_set in lengths),
        verdicts=tuple(compare_length(line.length, by_set) for line, by_set in zip(lines, lengths, strict=True)),
    )


# Every build of a club asks for the same kinds as the one before.
@lru_cache(maxsize=8)
def _typical_flights(kinds: tuple[Described, ...], sets: tuple[Coefficients, ...]) -> list[Flights]:
    return [
        follow(typical.feeds, each, step_s=_STEP_S)
        for typical, each in zip(typical_by_set(kinds, sets), sets, strict=True)
    ]


def angle_deg(flights: Flights) -> FloatArray:
    """The direction (N,) of each ball from its first bounce to its second."""
    away_cm, sideways_cm = flights.second_x_cm - flights.landing_x_cm, flights.second_y_cm - flights.landing_y_cm
    return np.degrees(np.arctan2(sideways_cm, away_cm))


def from_forehand_deg(angle_deg: float, handedness: Handedness) -> float:
    """The same angle as the hand meets it: positive for a ball that comes across from the player's forehand side."""
    return -angle_deg if handedness == "right" else angle_deg


def angle_band(from_forehand_deg: float, *, straight_within_deg: float, sharp_from_deg: float) -> str | None:
    """The word of `models.words.ANGLE_BAND`; the limits are settings. None for NaN."""
    if np.isnan(from_forehand_deg):
        return None
    if abs(from_forehand_deg) <= straight_within_deg:
        return "straight"
    side = "forehand" if from_forehand_deg > 0 else "backhand"
    return f"sharp_from_{side}" if abs(from_forehand_deg) >= sharp_from_deg else f"from_{side}"


def time_band(contact_time_s: float, *, hurried_below_s: float, unhurried_from_s: float) -> str | None:
    """The word of `models.words.TIME_BAND`; the limits are settings. None for NaN."""
    if np.isnan(contact_time_s):
        return None
    if contact_time_s < hurried_below_s:
        return "hurried"
    return "unhurried" if contact_time_s >= unhurried_from_s else "ordinary"


def _agreed(by_set: Sequence[str]) -> Length | None:
    return next((length for length in get_args(Length) if all(each == length for each in by_set)), None)
