"""Is a player's success rising, falling or steady? The slope over sessions, and the verdict in words.

Sessions differ by more than chance (form, the day, the partner). A plain logistic regression takes that for progress
and calls one flat player in four changing. Alone, a player's own spread between sessions widens the range of the slope;
in a club, `models/lines.py` knows more: the form of all its days, and the doubt about how hard the balls were.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Literal

import numpy as np
import numpy.typing as npt
from scipy import special

from models.groups import BoolArray, FloatArray, IntArray
from models.slopes import Sessions, Slopes, fit_slopes, gather_sessions

Verdict = Literal["rising", "falling", "steady", "not_clear", "balls_changed", "too_few"]
MOSTLY = 0.5
"""More than so much of the doubt comes from how hard the balls were: that is why a trend is not clear."""


@dataclass(frozen=True)
class TrendSettings:
    """What a verdict needs; club settings without a published basis.

    `steady_change` (points of the rate, 0 to 1, over the whole stretch) is the change too small to matter.
    """

    least_sessions: int = 6
    least_balls: int = 120
    steady_change: float = 0.10
    confidence: float = 0.95


@dataclass(frozen=True)
class Trends:
    """One entry per group, in ascending order of its number `group`.

    `slope` is in logits per unit of time; `change` is the fitted change of the rate (-1 to 1) from the first session
    to the last; `dispersion` is the spread between sessions (1 = chance alone). nan where the verdict is too_few.
    """

    group: npt.NDArray[Any]
    sessions: IntArray
    balls: FloatArray
    slope: FloatArray
    slope_low: FloatArray
    slope_high: FloatArray
    p_value: FloatArray
    change: FloatArray
    change_low: FloatArray
    change_high: FloatArray
    dispersion: FloatArray
    verdict: list[Verdict]


def trends(
    group: npt.ArrayLike,
    time: npt.ArrayLike,
    good: npt.ArrayLike,
    balls: npt.ArrayLike,
    expected_rate: npt.ArrayLike | None = None,
    settings: TrendSettings | None = None,
) -> Trends:
    """Fit one slope per group to rows that are one session each, at any unit of time.

    `expected_rate` (above 0, below 1) is what the club makes of the balls of that session: given, a mix that grows
    easier does not pass for progress. Rows without balls are left out, and with them groups that have no others.
    Source: quasi-likelihood, McCullagh & Nelder (1989), Generalized Linear Models, ch. 4: Pearson dispersion, never
    below 1, and Student's t with sessions - 2 degrees of freedom.
    """
    settings = settings or TrendSettings()
    played = np.asarray(balls) > 0
    numbers, when, hits, count = (np.asarray(column)[played] for column in (group, time, good, balls))
    expected = np.full(len(count), 0.5) if expected_rate is None else np.asarray(expected_rate)[played]
    rows = gather_sessions(numbers, when, hits, count, special.logit(expected))
    fit = fit_slopes(rows)
    return judge_slopes(numbers[rows.groups.first_row], rows, fit, _alone(rows, fit, settings), settings)


@dataclass(frozen=True)
class SlopeRanges:
    """Slope and level as judged (logits per half stretch), with the range of the slope; one entry per group.

    `balls_share` is how much of the slope's variance is doubt about how hard the balls were (0 to 1).
    """

    level: FloatArray
    slope: FloatArray
    low: FloatArray
    high: FloatArray
    p_value: FloatArray
    balls_share: FloatArray


def is_enough(rows: Sessions, fit: Slopes, settings: TrendSettings) -> BoolArray:
    """Which groups have sessions and balls enough for a verdict, and more than one moment."""
    enough = (rows.groups.sizes >= settings.least_sessions) & (rows.groups.sums(rows.balls) >= settings.least_balls)
    return np.asarray(enough & (rows.half_stretch > 0) & fit.has_converged)


def dispersions(rows: Sessions, fit: Slopes) -> FloatArray:
    """The spread between sessions, 1 = chance alone, and never taken for less."""
    freedom = np.maximum(rows.groups.sizes - 2, 1)
    return np.where(fit.has_converged, np.maximum(fit.pearson / freedom, 1.0), 1.0)


def _alone(rows: Sessions, fit: Slopes, settings: TrendSettings) -> SlopeRanges:
    """The ranges that each group's own sessions give, the balls taken for as hard as they are expected to be."""
    freedom = np.maximum(rows.groups.sizes - 2, 1)
    error = np.sqrt(dispersions(rows, fit) * fit.slope_variance)
    reach = special.stdtrit(freedom, 0.5 + settings.confidence / 2) * error
    p_value = 2 * special.stdtr(freedom, -np.abs(fit.slope) / np.where(error > 0, error, np.nan))
    usual = fit.level + rows.groups.sums(rows.balls * rows.offset) / rows.groups.sums(rows.balls)
    return SlopeRanges(usual, fit.slope, fit.slope - reach, fit.slope + reach, p_value, np.zeros(len(usual)))


def judge_slopes(
    group: npt.NDArray[Any], rows: Sessions, fit: Slopes, found: SlopeRanges, settings: TrendSettings
) -> Trends:
    """What these ranges let one say of each group."""
    enough = is_enough(rows, fit, settings)
    slope, low, high, p_value = (
        np.where(enough, column, np.nan) for column in (found.slope, found.low, found.high, found.p_value)
    )
    change, change_low, change_high = (_change(rows, found.level, tilt) for tilt in (slope, low, high))
    verdicts = [change_verdict(*ends, settings.steady_change) for ends in zip(change_low, change_high, strict=True)]
    return Trends(
        group=group,
        sessions=rows.groups.sizes,
        balls=rows.groups.sums(rows.balls),
        slope=slope / rows.half_stretch,
        slope_low=low / rows.half_stretch,
        slope_high=high / rows.half_stretch,
        p_value=p_value,
        change=change,
        change_low=change_low,
        change_high=change_high,
        dispersion=dispersions(rows, fit),
        verdict=[
            "balls_changed" if verdict == "not_clear" and share > MOSTLY else verdict
            for verdict, share in zip(verdicts, found.balls_share, strict=True)
        ],
    )


def _change(rows: Sessions, usual: FloatArray, slope: FloatArray) -> FloatArray:
    """The rate at the group's last session less that at its first, on balls as hard as the group's usual ones."""
    last = np.full(rows.groups.count, -np.inf)
    np.maximum.at(last, rows.groups.of_row, rows.time)
    return np.asarray(special.expit(usual + slope * last) - special.expit(usual + slope * (last - 2)))


def change_verdict(low: float, high: float, steady_change: float) -> Verdict:
    """What the range of a change (points of the rate, -1 to 1; nan: too few balls) lets one say."""
    if np.isnan(low):
        return "too_few"
    if -steady_change < low and high < steady_change:
        return "steady"
    if low > 0:
        return "rising"
    return "falling" if high < 0 else "not_clear"
