"""A straight line through a player's sessions, and the three doubts about its slope.

Balls land by chance, days have their form, and how hard the balls were is not known for sure. The line weighs each
session by all three, and the range of its slope is as wide as they make it together. How much days differ, and how far
a day's form is carried over to the next, is one answer for the whole club: one player's sessions are too few to tell.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from scipy import linalg, special
from scipy.linalg import lapack

from models.belief import Belief
from models.groups import FloatArray, IntArray

DAY_SPREADS = np.array([0, 0.05, 0.1, 0.15, 0.2, 0.25, 0.3, 0.35, 0.4, 0.5, 0.6, 0.7, 0.85, 1.0, 1.25, 1.5, 2.0])
"""Among which the likeliest spread of days is sought (standard deviation, logits)."""
CARRY_OVERS = np.array([0.2, 0.4, 0.6, 0.8])
"""The same for the correlation of the form of two sessions in a row; 0 unless one of these is told from it."""
TOLD_FROM_NONE = 1.3528
"""By so much must the log-likelihood gain: half the 90 % quantile of chi-square, an error of 5 % on one side."""
MOST_LOG_ODDS = 12.0
"""Beyond it six balls in a million go the other way: no log tells more."""
ROUNDS = 4


@dataclass(frozen=True)
class SessionBalls:
    """One player's balls of one cut, one row per kind of ball in a session.

    `session` numbers the sessions from 0 in the order of time; `time` (one per session) runs from -1 to 1 or so; `kind`
    is a place in the belief's kinds.
    """

    session: IntArray
    time: FloatArray
    kind: IntArray
    good: FloatArray
    balls: FloatArray
    belief: Belief


@dataclass(frozen=True)
class Form:
    """How much the form of days differs (`variance`, logits) and is carried over to the next session (0 to 1).

    `freedom` counts the sessions behind it beyond two for each player's line.
    """

    variance: float
    carry_over: float
    freedom: int


@dataclass(frozen=True)
class Line:
    """Level at time 0 on the usual one of these balls, and slope, in logits.

    Beside the variance of the slope stands what it would be, were the ease of the balls known.
    """

    level: float
    slope: float
    variance: float
    variance_if_known: float


def fit_line(own: SessionBalls, form: Form, level: float) -> Line:
    """Generalised least squares on working log-odds (Breslow & Clayton 1993); `level` is where to begin."""
    at, covariance, if_known = _fit(own, form, level)
    usual = np.average(own.belief.ease[own.kind], weights=own.balls)
    return Line(float(at[0] + usual), float(at[1]), float(covariance[1, 1]), float(if_known[1, 1]))


def _fit(own: SessionBalls, form: Form, level: float) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Level and slope, their covariance, and the same were the ease of the balls known."""
    at = np.array([level, 0.0])
    shared = form.variance * _carried(len(own.time), form.carry_over)
    for _ in range(ROUNDS):
        work = _working(own, at)
        known = np.diag(work.chance) + shared
        at, covariance, _ = _least_squares(own.time, work.odds, known + work.balls)
    return at, covariance, _least_squares(own.time, work.odds, known)[1]


def club_form(players: list[tuple[SessionBalls, float]]) -> Form:
    """The form of days in the sessions of all players, each with a level to begin with.

    Source: restricted likelihood (Patterson & Thompson 1971, Biometrika 58:545), first-order autoregression.
    """
    usual = Form(0.05, 0.0, 0)
    works = [(own.time, _working(own, _fit(own, usual, level)[0])) for own, level in players]
    alone, spread = max((_likelihood(works, spread, 0.0), spread) for spread in DAY_SPREADS)
    carried = max((_likelihood(works, other, carry), other, carry) for carry in CARRY_OVERS for other in _near(spread))
    freedom = sum(max(len(own.time) - 2, 0) for own, _ in players)
    if carried[0] - alone > TOLD_FROM_NONE:
        return Form(float(carried[1]) ** 2, float(carried[2]), freedom)
    return Form(float(spread) ** 2, 0.0, freedom)


def _near(spread: float) -> FloatArray:
    return DAY_SPREADS[(DAY_SPREADS > 0) & (np.abs(DAY_SPREADS - spread) <= 0.15 + spread / 4)]


@dataclass(frozen=True)
class _Work:
    """Working log-odds of each session, their variance by chance, and their covariance by the doubt about the balls."""

    odds: FloatArray
    chance: FloatArray
    balls: FloatArray


def _working(own: SessionBalls, line: FloatArray) -> _Work:
    usual = line[0] + line[1] * own.time
    # A step too far would leave a rate of exactly 0 or 1, by which nothing can be weighed.
    rate = special.expit(np.clip(usual[own.session] + own.belief.ease[own.kind], -MOST_LOG_ODDS, MOST_LOG_ODDS))
    variance = own.balls * rate * (1 - rate)
    sessions, kinds = len(own.time), len(own.belief.kinds)
    of_kind = np.bincount(own.session * kinds + own.kind, variance, sessions * kinds).reshape(sessions, kinds)
    weight = of_kind.sum(axis=1)
    shares = of_kind / weight[:, None]
    surplus = np.bincount(own.session, own.good - own.balls * rate)
    return _Work(usual + surplus / weight, 1 / weight, shares @ own.belief.doubt @ shares.T)


def _carried(sessions: int, carry_over: float) -> FloatArray:
    apart = np.abs(np.subtract.outer(np.arange(sessions), np.arange(sessions)))
    return np.asarray(np.power(carry_over, apart), dtype=np.float64)


def _least_squares(time: FloatArray, odds: FloatArray, covariance: FloatArray) -> tuple[FloatArray, FloatArray, float]:
    """Level and slope, their covariance, and the restricted log-likelihood but for a constant."""
    # Thousands of small matrices: LAPACK itself is asked, for to look at each one first takes longer than the work.
    factor, is_amiss = lapack.dpotrf(covariance, lower=1)
    if is_amiss:
        raise linalg.LinAlgError(f"the covariance of {len(time)} sessions is not positive definite")
    white, _ = lapack.dtrtrs(factor, np.stack([np.ones(len(time)), time, odds], axis=1), lower=1)
    on_line, odds_left = white[:, :2], white[:, 2]
    (level, both), (_, slope) = (on_line.T @ on_line).tolist()
    determinant = level * slope - both**2
    of_line = np.array([[slope, -both], [-both, level]]) / determinant
    at = of_line @ (on_line.T @ odds_left)
    left = odds_left - on_line @ at
    size = np.log(np.diag(factor)).sum() + np.log(determinant) / 2
    return at, of_line, float(-size - left @ left / 2)


def _likelihood(works: list[tuple[FloatArray, _Work]], spread: float, carry_over: float) -> float:
    total = 0.0
    for time, work in works:
        shared = spread**2 * _carried(len(time), carry_over)
        total += _least_squares(time, work.odds, np.diag(work.chance) + shared + work.balls)[2]
    return total
