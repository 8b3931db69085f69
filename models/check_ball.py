"""After a move: single balls programmed to the middle, where they land, and so how to turn the head."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import inf, isfinite, sqrt
from statistics import fmean, stdev
from typing import Literal

import numpy as np
from scipy import special

from models.bounds import TooFewNotes, check_landing
from models.estimates import Span
from models.stance import DEEP_CENTRE, Place, sideways_cm, yaw_deg


@dataclass(frozen=True)
class HeadCorrection:
    """How to turn the head: positive is to the player's right, and to the left as seen from behind the feeder.

    `turn_deg` with its interval, and `sideways_cm`, what the turn is at the target. One ball alone has no interval.
    """

    balls: int
    turn_deg: float
    low_deg: float
    high_deg: float
    sideways_cm: float

    @property
    def size_deg(self) -> Span | None:
        """The interval without the way to turn; None where one ball alone has none."""
        return Span(self.low_deg, self.high_deg).size if isfinite(self.low_deg) else None

    @property
    def way(self) -> Literal["players_left", "players_right", "leave_it"]:
        """Which way to turn; leave it where the balls fell in the middle, or scatter too much to tell."""
        if self.turn_deg == 0 or (self.balls > 1 and self.low_deg <= 0 <= self.high_deg):
            return "leave_it"
        return "players_right" if self.turn_deg > 0 else "players_left"


def correct_head(
    feeder: Place, landings: Sequence[Place], *, target: Place = DEEP_CENTRE, confidence: float = 0.95
) -> HeadCorrection:
    """The turn that brings balls without sidespin from where they land to the line to the target.

    The interval is Student's for the mean of the balls' directions; from minus to plus infinity for a single ball.
    Raises TooFewNotes without a ball, FeederBeyondHall, TargetOffTable for a landing that is not on the player's half.
    """
    if not landings:
        raise TooFewNotes(
            "No landing is noted. Play at least one ball, better four or five, and note where each lands."
        )
    check_landing(np.array([ball.x_cm for ball in landings]), np.array([ball.y_cm for ball in landings]))
    turns_deg = [yaw_deg(feeder, target) - yaw_deg(feeder, ball) for ball in landings]
    turn_deg, half_deg = fmean(turns_deg), _half_interval(turns_deg, confidence)
    return HeadCorrection(
        balls=len(landings),
        turn_deg=turn_deg,
        low_deg=turn_deg - half_deg,
        high_deg=turn_deg + half_deg,
        sideways_cm=sideways_cm(turn_deg, feeder, target),
    )


def _half_interval(numbers: Sequence[float], confidence: float) -> float:
    if len(numbers) < 2:
        return inf
    quantile = float(special.stdtrit(len(numbers) - 1, (1 + confidence) / 2))
    return quantile * stdev(numbers) / sqrt(len(numbers))
