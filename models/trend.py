"""Is a player's success rising, falling or steady? The slope over sessions, and the verdict in words.

Sessions differ by more than chance (form, the day, the partner). A plain logistic regression takes that for progress
and calls one flat player in four changing. Alone, a player's own spread between sessions widens the range of the slope;
in a club, `models/lines.py` knows more: the form of all its days, and the doubt about how hard the balls were.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any, Literal

import numpy as np
import numpy.typing as npt
from scipy import special

from models.groups import BoolArray, FloatArray, Groups, IntArray, group_rows

Verdict = Literal["rising", "falling", "steady", "not_clear", "balls_changed", "too_few"]
MOST_ITERATIONS = 40
CLOSE_ENOUGH = 1e-9
LONGEST_STEP = 2.0
LEAST_INFORMATION = 1e-9
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
class Sessions:
    """Sessions of all groups; `time` runs from the group's mean (by balls) in units of half the group's stretch."""

    groups: Groups
    time: FloatArray
    good: FloatArray
    balls: FloatArray
    offset: FloatArray
    half_stretch: FloatArray


@dataclass(frozen=True)
class Slopes:
    """Level and slope in logits per half stretch; `slope_variance` is that of chance alone; `pearson` is chi-square."""

    level: FloatArray
    slope: FloatArray
    slope_variance: FloatArray
    pearson: FloatArray
    has_converged: BoolArray


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


def gather_sessions(
    group: npt.ArrayLike, time: npt.ArrayLike, good: npt.ArrayLike, balls: npt.ArrayLike, offset: npt.ArrayLike
) -> Sessions:
    """Rows (each with balls) put on a common scale of time, so that one tolerance fits days and years."""
    groups, when, count = group_rows(group), np.asarray(time, np.float64), np.asarray(balls, np.float64)
    first, last = np.full(groups.count, np.inf), np.full(groups.count, -np.inf)
    np.minimum.at(first, groups.of_row, when)
    np.maximum.at(last, groups.of_row, when)
    half_stretch = np.where(last > first, (last - first) / 2, np.nan)
    middle = groups.sums(count * when) / groups.sums(count)
    scaled = (when - middle[groups.of_row]) / np.nan_to_num(half_stretch, nan=1.0)[groups.of_row]
    return Sessions(groups, scaled, np.asarray(good, np.float64), count, np.asarray(offset, np.float64), half_stretch)


def fit_slopes(rows: Sessions) -> Slopes:
    """Maximum likelihood per group; a group that has none (all hits, say) is given one hit and one miss more.

    A group that has none even then (a few balls of one session against thousands of another) has not converged.
    """
    with np.errstate(divide="ignore", invalid="ignore"):  # a group without a maximum runs off to infinity
        fit = _newton(rows)
        if fit.has_converged.all():
            return fit
        share = np.where(fit.has_converged, 0.0, 2 / rows.groups.sums(rows.balls))[rows.groups.of_row] * rows.balls
        return _newton(replace(rows, good=rows.good + share / 2, balls=rows.balls + share))


def _newton(rows: Sessions) -> Slopes:
    """Newton's steps, each shortened to what is within `reach` and taken only where it does not lower the likelihood.

    Where one session has a thousand times the balls of another, a whole step would leap over the maximum.
    """
    groups, total = rows.groups, rows.groups.sums(rows.balls)
    level = special.logit((groups.sums(rows.good) + 0.5) / (total + 1)) - groups.sums(rows.balls * rows.offset) / total
    slope, moved, reach = np.zeros(groups.count), np.full(groups.count, np.inf), np.full(groups.count, LONGEST_STEP)
    likelihood = _log_likelihood(rows, level, slope)
    for _ in range(MOST_ITERATIONS):
        up, turn = _newton_step(rows, level, slope)
        length = np.maximum(np.abs(up), np.abs(turn))
        part = reach / np.maximum(length, reach)
        ahead = _log_likelihood(rows, level + part * up, slope + part * turn)
        is_better = ahead >= likelihood - CLOSE_ENOUGH
        level, slope = level + np.where(is_better, part * up, 0.0), slope + np.where(is_better, part * turn, 0.0)
        likelihood, moved = np.where(is_better, ahead, likelihood), np.where(is_better, part * length, np.inf)
        reach = np.where(is_better, np.minimum(2 * reach, LONGEST_STEP), reach / 4)
        if moved.max(initial=0.0) < CLOSE_ENOUGH:
            break
    return _slopes(rows, level, slope, moved < CLOSE_ENOUGH)


def _slopes(rows: Sessions, level: FloatArray, slope: FloatArray, has_converged: BoolArray) -> Slopes:
    rate = _fitted_rate(rows, level, slope)
    weight = rows.balls * rate * (1 - rate)
    flat, tilt, bend = (rows.groups.sums(weight * rows.time**power) for power in (0, 1, 2))
    pearson = rows.groups.sums((rows.good - rows.balls * rate) ** 2 / weight)
    # Sessions fitted as all good or all missed tell neither spread nor slope: the maximum is out of reach.
    tells = np.isfinite(pearson) & ((bend - tilt**2 / flat > LEAST_INFORMATION) | np.isnan(rows.half_stretch))
    return Slopes(level, slope, _inverse(bend - tilt**2 / flat), pearson, has_converged & tells)


def _log_likelihood(rows: Sessions, level: FloatArray, slope: FloatArray) -> FloatArray:
    logit = rows.offset + level[rows.groups.of_row] + slope[rows.groups.of_row] * rows.time
    return rows.groups.sums(rows.good * logit - rows.balls * np.logaddexp(0.0, logit))


def _newton_step(rows: Sessions, level: FloatArray, slope: FloatArray) -> tuple[FloatArray, FloatArray]:
    rate = _fitted_rate(rows, level, slope)
    weight, missing = rows.balls * rate * (1 - rate), rows.good - rows.balls * rate
    flat, tilt, bend = (rows.groups.sums(weight * rows.time**power) for power in (0, 1, 2))
    pull, twist = rows.groups.sums(missing), rows.groups.sums(missing * rows.time)
    turn = (twist - tilt * pull / flat) * _inverse(bend - tilt**2 / flat)
    return (pull - tilt * turn) / flat, turn


def _fitted_rate(rows: Sessions, level: FloatArray, slope: FloatArray) -> FloatArray:
    logit = rows.offset + level[rows.groups.of_row] + slope[rows.groups.of_row] * rows.time
    return np.asarray(special.expit(logit))


def _inverse(spread: FloatArray) -> FloatArray:
    """0 for a group whose sessions share one moment: it has no slope."""
    return np.where(spread > LEAST_INFORMATION, 1 / np.maximum(spread, LEAST_INFORMATION), 0.0)


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
