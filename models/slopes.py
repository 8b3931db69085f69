"""The slope of a group's success over its sessions, by maximum likelihood: a logistic line for each group at once."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt
from scipy import special

from models.groups import BoolArray, FloatArray, Groups, group_rows

MOST_ITERATIONS = 40
CLOSE_ENOUGH = 1e-9
LONGEST_STEP = 2.0
LEAST_INFORMATION = 1e-9


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
