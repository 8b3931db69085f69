"""The trends of a whole club: each group alone, one after the other, from its line and by statsmodels."""

from dataclasses import replace

import numpy as np
import pytest
from scipy import special, stats
from statsmodels.stats.multitest import multipletests

from models.belief import Belief
from models.club_trends import CutBalls, club_trends
from models.lines import SessionBalls, club_form, fit_line
from models.trend import TrendSettings

PLAYERS, SESSIONS, KINDS = 3, 14, 4
SETTINGS = TrendSettings(least_sessions=6, least_balls=120)
BELIEFS = [
    Belief(np.arange(KINDS), np.array([0.6, 0.1, -0.2, -0.5]), 0.02 * np.eye(KINDS) + 0.01),
    Belief(np.array([0, 1, 3]), np.array([0.5, 0.2, -0.6]), 0.3 * np.eye(3)),
    Belief(np.arange(KINDS), np.array([0.4, 0.0, 0.1, -0.4]), 0.05 * np.eye(KINDS)),
]
RISE = [0.2, 2.5, -2.0]
"""Logits over the season; the second player's balls are hardly known."""


def a_club(seed=3):
    """Rows of all balls (group 0 of a player) and of the cut even and odd kinds; unequal balls, uneven gaps of time."""
    draw = np.random.default_rng(seed)
    day = np.cumsum(draw.integers(1, 9, SESSIONS)).astype(float)
    rows = []
    for player in range(PLAYERS):
        for session, kind in np.ndindex(SESSIONS, KINDS):
            if kind not in BELIEFS[player].kinds or draw.random() < 0.3:
                continue
            ease = BELIEFS[player].ease[np.searchsorted(BELIEFS[player].kinds, kind)]
            time = day[session] / day[-1] - 0.5
            balls = draw.integers(8, 31)
            good = draw.binomial(balls, special.expit(0.5 + ease + RISE[player] * time + draw.normal(0, 0.2)))
            rows += [
                (10 * player + group, player, 100 * player + session, kind, day[session], good, balls)
                for group in (0, 1 + kind % 2)
            ]
    draw.shuffle(rows)
    columns = np.array(rows).T
    return CutBalls(*columns[:4].astype(int), *columns[4:])


def sessions_of(log, group):
    """One group's sessions, and its level to begin with, by plain loops."""
    own = np.flatnonzero(log.group == group)
    belief = BELIEFS[log.player[own[0]]]
    sessions, kinds = sorted(set(log.session[own])), sorted(set(log.kind[own]))
    day = np.array([log.time[own][log.session[own] == one][0] for one in sessions])
    per_session = np.array([log.balls[own][log.session[own] == one].sum() for one in sessions])
    half = (day.max() - day.min()) / 2
    time = (day - np.average(day, weights=per_session)) / half
    kind = np.array([kinds.index(one) for one in log.kind[own]])
    place = np.array([sessions.index(one) for one in log.session[own]])
    balls = SessionBalls(place, time, kind, log.good[own], log.balls[own], belief.only(np.array(kinds)))
    rate = log.good[own].sum() / log.balls[own].sum()
    usual = np.average(balls.belief.ease[kind], weights=balls.balls)
    return balls, float(special.logit(rate)) - float(usual), half, float(usual)


def judged_plainly(log):
    """Group by group: slope and range per unit of time, change and its range, and the share of doubt about balls."""
    groups = sorted(set(log.group))
    parts = {group: sessions_of(log, group) for group in groups}
    form = club_form([(parts[group][0], parts[group][1]) for group in groups if group % 10 == 0])
    lines = {group: fit_line(parts[group][0], form, parts[group][1]) for group in groups}
    p = {g: 2 * stats.t.sf(abs(line.slope) / np.sqrt(line.variance), form.freedom) for g, line in lines.items()}
    confidence = dict.fromkeys(groups, 0.95)
    for player in range(PLAYERS):
        cuts = [group for group in groups if group // 10 == player and group % 10]
        found = multipletests([p[cut] for cut in cuts], method="fdr_bh")[0].sum()
        confidence |= dict.fromkeys(cuts, 1 - 0.05 * max(found, 1) / len(cuts))
    told = {}
    for group, line in lines.items():
        own, _, half, _ = parts[group]
        reach = stats.t.ppf(0.5 + confidence[group] / 2, form.freedom) * np.sqrt(line.variance)
        ends = [line.slope, line.slope - reach, line.slope + reach]
        last, first = own.time.max(), own.time.min()
        change = [special.expit(line.level + one * last) - special.expit(line.level + one * first) for one in ends]
        told[group] = [one / half for one in ends] + change + [p[group]]
    return told


def test_every_group_of_the_club_is_judged_as_it_is_alone():
    log = a_club()

    found = club_trends(log, log.group % 10 == 0, BELIEFS, SETTINGS)

    names = ("slope", "slope_low", "slope_high", "change", "change_low", "change_high", "p_value")
    plain = judged_plainly(log)
    assert found.group.tolist() == sorted(plain)
    for at, group in enumerate(found.group):
        assert [getattr(found, name)[at] for name in names] == pytest.approx(plain[group], rel=1e-3, abs=1e-6)
    assert found.balls.tolist() == [log.balls[log.group == group].sum() for group in found.group]


def test_a_slope_that_unknown_balls_could_have_made_is_not_clear_because_the_balls_changed():
    """Kind 0 is fed at first and kind 1 at last: a logit of doubt about each leaves progress untold."""
    session = np.arange(12)
    kind = (session > 5).astype(int)
    log = CutBalls(
        np.zeros(12, int),
        np.zeros(12, int),
        session,
        kind,
        1.0 * session,
        np.where(kind, 32.0, 22.0),
        np.full(12, 40.0),
    )
    verdicts = [
        club_trends(log, np.full(12, True), [Belief(np.arange(2), np.zeros(2), doubt * np.eye(2))], SETTINGS).verdict
        for doubt in (0.0, 1.0)
    ]

    assert verdicts == [["rising"], ["balls_changed"]]


def test_a_group_with_too_little_has_no_figures_and_no_say_in_the_form_of_days():
    log = a_club()
    few = (log.group != 20) | (log.session < 203)
    short = CutBalls(*(column[few] for column in vars(log).values()))

    found = club_trends(short, short.group % 10 == 0, BELIEFS, SETTINGS)
    others = club_trends(
        CutBalls(*(column[log.group != 20] for column in vars(log).values())),
        (log.group % 10 == 0)[log.group != 20],
        BELIEFS,
        SETTINGS,
    )

    at = found.group.tolist().index(20)
    assert found.verdict[at] == "too_few"
    assert np.isnan([found.slope[at], found.slope_low[at], found.change[at], found.p_value[at]]).all()
    assert np.delete(found.slope_low, at).tolist() == others.slope_low.tolist()


def test_nothing_is_judged_of_nobody():
    nothing = np.array([], dtype=float)
    empty = CutBalls(*[nothing.astype(int)] * 4, *[nothing] * 3)

    assert club_trends(empty, nothing.astype(bool), []).verdict == []


def test_without_settings_those_to_begin_with_hold():
    log = a_club()

    assert club_trends(log, log.group % 10 == 0, BELIEFS).verdict == (
        club_trends(log, log.group % 10 == 0, BELIEFS, replace(SETTINGS)).verdict
    )
