"""How sure a success rate is: its plausible range, the range of a change, and the balls that a change would need.

Every function takes the count of effective balls (see `effective_balls`), because balls of one block resemble each
other: an interval on the plain count promises 95% and keeps less than 80%.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
from scipy import special

from models.groups import FloatArray


@dataclass(frozen=True)
class Interval:
    """Lower and upper limits, in the shape of what was asked; nan where there is nothing to go by."""

    low: FloatArray
    high: FloatArray


def standard_score(confidence: float) -> float:
    """The two-sided quantile of the normal distribution: 1.96 for a confidence of 0.95."""
    return float(special.ndtri(0.5 + confidence / 2))


def wilson(rate: npt.ArrayLike, effective_balls: npt.ArrayLike, confidence: float = 0.95) -> Interval:
    """The plausible range (0 to 1) of a success rate seen on so many effective balls; nan where there are none.

    Source: Wilson (1927), J. Am. Stat. Assoc. 22:209; recommended by Brown, Cai & DasGupta (2001), Stat. Sci. 16:101.
    """
    seen = np.asarray(rate, dtype=np.float64)
    balls = np.asarray(effective_balls, dtype=np.float64)
    balls = np.where(balls > 0, balls, np.nan)
    z_squared = standard_score(confidence) ** 2
    centre = (seen + z_squared / (2 * balls)) / (1 + z_squared / balls)
    spread = seen * (1 - seen) / balls + z_squared / (4 * balls**2)
    half = np.sqrt(z_squared * spread) / (1 + z_squared / balls)
    # rounding leaves limits like -1e-17 where every ball missed
    return Interval(np.clip(centre - half, 0, 1), np.clip(centre + half, 0, 1))


def newcombe_difference(
    rate: npt.ArrayLike,
    effective_balls: npt.ArrayLike,
    rate_before: npt.ArrayLike,
    effective_balls_before: npt.ArrayLike,
    confidence: float = 0.95,
) -> Interval:
    """The plausible range (-1 to 1) of `rate - rate_before`, both seen on so many effective balls.

    Source: Newcombe (1998), Stat. Med. 17:873, method 10: the two Wilson ranges, squared and added.
    """
    now, before = np.asarray(rate, dtype=np.float64), np.asarray(rate_before, dtype=np.float64)
    range_now = wilson(now, effective_balls, confidence)
    range_before = wilson(before, effective_balls_before, confidence)
    below = np.hypot(now - range_now.low, range_before.high - before)
    above = np.hypot(range_now.high - now, before - range_before.low)
    return Interval(now - before - below, now - before + above)


def minimal_detectable_change(
    rate: npt.ArrayLike,
    effective_balls: npt.ArrayLike,
    effective_balls_before: npt.ArrayLike,
    confidence: float = 0.95,
) -> FloatArray:
    """The smallest change (0 to 1) that two counts at this rate could tell from chance.

    Source: Weir (2005), J. Strength Cond. Res. 19:231, for two proportions: 1.96 sqrt(p(1-p)(1/n1 + 1/n2)).
    """
    seen = np.asarray(rate, dtype=np.float64)
    per_ball = 1 / np.asarray(effective_balls, dtype=np.float64) + 1 / np.asarray(effective_balls_before, np.float64)
    return np.asarray(standard_score(confidence) * np.sqrt(seen * (1 - seen) * per_ball))


def balls_needed(
    rate: npt.ArrayLike,
    wanted_change: float,
    design_effect: npt.ArrayLike = 1.0,
    power: float = 0.8,
    confidence: float = 0.95,
) -> FloatArray:
    """Balls needed each time to see the rate change by `wanted_change` with the given chance (`power`).

    Where a rise would pass 100%, the fall of the same size is meant. A design effect (balls per effective ball)
    above 1 asks for that many times the balls.
    Source: the normal sample size for two proportions, Fleiss, Levin & Paik (2003), Statistical Methods, ch. 4.
    """
    before = np.asarray(rate, dtype=np.float64)
    after = np.where(before + wanted_change <= 1, before + wanted_change, before - wanted_change)
    middle = (before + after) / 2
    by_chance = standard_score(confidence) * np.sqrt(2 * middle * (1 - middle))
    by_change = special.ndtri(power) * np.sqrt(before * (1 - before) + after * (1 - after))
    return np.asarray(np.asarray(design_effect) * ((by_chance + by_change) / wanted_change) ** 2)
