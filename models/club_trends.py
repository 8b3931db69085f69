"""The trends of a club: every player, every cut, judged with what the whole club knows of balls and of days."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from scipy import special

from models.belief import Belief
from models.groups import BoolArray, FloatArray, Groups, IntArray, group_rows
from models.lines import Form, Line, SessionBalls, club_form, fit_line
from models.many_looks import shared_confidence
from models.slopes import Sessions, fit_slopes, gather_sessions
from models.trend import SlopeRanges, Trends, TrendSettings, is_enough, judge_slopes


@dataclass(frozen=True)
class CutBalls:
    """One row per group (a player's balls of one cut), session and kind of ball; every column is as long as the log.

    `player` and `kind` are those of the club's difficulty; `session` rises with `time` (any unit).
    """

    group: IntArray
    player: IntArray
    session: IntArray
    kind: IntArray
    time: FloatArray
    good: FloatArray
    balls: FloatArray


def club_trends(
    log: CutBalls, is_whole: BoolArray, beliefs: list[Belief], settings: TrendSettings | None = None
) -> Trends:
    """Judge every group. `is_whole` says of each row whether its group is all of a player's balls.

    `beliefs` are what is believed of the kinds that each player met. A player's cuts are many looks at the same balls:
    their ranges are widened together, so that of what stands out one in twenty is chance. The whole stands for itself.
    """
    settings = settings or TrendSettings()
    sessions = group_rows(log.group, log.session)
    rows = _session_rows(log, sessions, beliefs)
    fit, first_row = fit_slopes(rows), sessions.first_row[rows.groups.first_row]
    own = _balls_of_groups(log, sessions, rows, beliefs)
    enough, whole = is_enough(rows, fit, settings), is_whole[first_row]
    form = club_form([(own[at], float(fit.level[at])) for at in np.flatnonzero(enough & whole)])
    lines = [fit_line(own[at], form, float(fit.level[at])) if enough[at] else None for at in range(len(own))]
    family = 2 * log.player[first_row] + whole
    return judge_slopes(log.group[first_row], rows, fit, _ranges(lines, form, family, settings), settings)


def _session_rows(log: CutBalls, sessions: Groups, beliefs: list[Belief]) -> Sessions:
    first, balls = sessions.first_row, sessions.sums(log.balls)
    ease = np.zeros(len(log.balls))
    for player, belief in enumerate(beliefs):
        own = log.player == player
        ease[own] = belief.ease[np.searchsorted(belief.kinds, log.kind[own])]
    return gather_sessions(
        log.group[first], log.time[first], sessions.sums(log.good), balls, sessions.sums(log.balls * ease) / balls
    )


def _balls_of_groups(log: CutBalls, sessions: Groups, rows: Sessions, beliefs: list[Belief]) -> list[SessionBalls]:
    group = rows.groups.of_row[sessions.of_row]
    in_order = np.argsort(group, kind="stable")
    parts = np.split(in_order, np.cumsum(np.bincount(group))[:-1]) if len(group) else []
    return [_balls_of_group(log, sessions.of_row, rows.time, beliefs[log.player[own[0]]], own) for own in parts]


def _balls_of_group(log: CutBalls, session: IntArray, time: FloatArray, belief: Belief, own: IntArray) -> SessionBalls:
    numbers, place = np.unique(session[own], return_inverse=True)
    kinds, kind = np.unique(log.kind[own], return_inverse=True)
    return SessionBalls(place, time[numbers], kind, log.good[own], log.balls[own], belief.only(kinds))


def _ranges(lines: list[Line | None], form: Form, family: IntArray, settings: TrendSettings) -> SlopeRanges:
    columns = ("level", "slope", "variance", "variance_if_known")
    table = np.array([[getattr(line, name) if line else np.nan for name in columns] for line in lines]).reshape(-1, 4)
    level, slope, variance, if_known = table.T
    error, freedom = np.sqrt(variance), max(form.freedom, 1)
    p_value = 2 * special.stdtr(freedom, -np.abs(slope) / error)
    confidence = shared_confidence(family, p_value, settings.confidence)
    reach = special.stdtrit(freedom, 0.5 + confidence / 2) * error
    return SlopeRanges(level, slope, slope - reach, slope + reach, p_value, 1 - if_known / variance)
