"""How hard balls are: against the whole matrix of a club, row by row, and on clubs whose truth is planted."""

from dataclasses import fields, replace

import numpy as np
import pytest
from scipy import special

from models.belief import WORD_SPREAD
from models.difficulty import FREE_KIND_SPREAD, LEVEL_PRECISION, FedBalls, club_difficulty

WORDS = np.array([[depth, spin] for depth in range(2) for spin in range(3)])
EASE = np.array([0.6, 0.0, -0.9, 0.9, 0.4, -0.6])


def a_club(seed=1, players=3, sessions=8, balls=30, ease=EASE, rise=0.0):
    """Two kinds of ball in each of eight sessions; players differ, days have their form."""
    draw = np.random.default_rng(seed)
    player, session, _ = np.indices((players, sessions, 2)).reshape(3, -1)
    kind = np.argsort(draw.random((players, sessions, len(WORDS))))[..., :2].ravel()
    level, form = draw.normal(0.7, 0.5, players), draw.normal(0, 0.3, (players, sessions))
    logit = level[player] + form[player, session] + ease[kind] + rise * session / sessions
    good = draw.binomial(balls, special.expit(logit)).astype(float)
    return FedBalls(
        player, np.zeros_like(player), session, kind, session.astype(float), good, np.full(good.shape, float(balls))
    )


def whole_matrix(log, difficulty, players, spread, usual):
    """Best linear prediction of every kind's ease from the working log-odds of those players' rows, all at once."""
    rate = difficulty.expected_rate
    chance = log.balls * rate * (1 - rate)
    odds = special.logit(rate) + (log.good - log.balls * rate) / chance
    time = log.time / (log.time.max() / 2) - 1
    same_player = log.player[:, None] == log.player[None]
    same_day = same_player & (log.session[:, None] == log.session[None])
    prior = WORD_SPREAD**2 * (WORDS[:, None] == WORDS[None]).sum(axis=2) + spread**2 * np.eye(len(WORDS))
    by_kind = prior[:, log.kind]
    covariance = (
        np.diag(1 / chance + difficulty.block_variance)
        + difficulty.day_variance * same_day
        + same_player * (1 + np.outer(time, time)) / LEVEL_PRECISION
        + by_kind[log.kind]
    )
    own = np.isin(log.player, players)
    gain = np.linalg.solve(covariance[np.ix_(own, own)], by_kind[:, own].T).T
    return gain @ (odds[own] - usual), prior - gain @ by_kind[:, own].T


def usual_level(log):
    return special.logit((log.good.sum() + 0.5) / (log.balls.sum() + 1))


def test_the_ease_of_every_kind_is_that_of_the_whole_matrix():
    log = a_club()
    found = club_difficulty(log, WORDS)

    usual = usual_level(log)
    for belief, spread in ((found.free, FREE_KIND_SPREAD), (found.close, found.kind_spread)):
        ease, doubt = whole_matrix(log, found, [0, 1, 2], spread, usual)
        assert belief.ease == pytest.approx(ease, abs=1e-5)
        assert belief.doubt == pytest.approx(doubt, abs=1e-5)


def test_what_others_say_of_a_players_kinds_is_what_the_matrix_says_without_the_player():
    log = a_club()
    found = club_difficulty(log, WORDS)

    ease, doubt = whole_matrix(log, found, [0, 2], found.kind_spread, usual_level(log))
    belief = found.by_others(1)
    assert belief.ease == pytest.approx(ease[belief.kinds], abs=1e-5)
    assert belief.doubt == pytest.approx(doubt[np.ix_(belief.kinds, belief.kinds)], abs=1e-5)


def test_kinds_are_told_by_the_players_who_met_them_and_by_their_words():
    """The planted ease, up to what all kinds have in common, comes back; more surely with more balls."""
    few, many = (club_difficulty(a_club(players=12, balls=balls), WORDS) for balls in (5, 200))

    off = [np.abs((one.free.ease - one.free.ease.mean()) - (EASE - EASE.mean())).max() for one in (few, many)]
    assert off[1] < 0.12
    assert np.trace(many.free.doubt) < np.trace(few.free.doubt)


def test_progress_and_strength_of_players_do_not_pass_for_ease():
    """All rise by two logits while one kind is fed late only: its ease is told within the days."""
    log = a_club(players=12, balls=100, rise=2.0)
    late = (log.session < 4) & (log.kind == 5)
    log = FedBalls(*(getattr(log, field.name)[~late] for field in fields(log)))

    found = club_difficulty(log, WORDS)

    assert found.free.ease[5] - found.free.ease[0] == pytest.approx(EASE[5] - EASE[0], abs=0.2)


def test_a_kind_that_nobody_met_is_what_its_words_say():
    log = a_club(players=12, balls=100)
    unmet = log.kind == 5
    known = FedBalls(*(getattr(log, field.name)[~unmet] for field in fields(log)))

    found = club_difficulty(known, WORDS)

    expected = found.close.ease[2] + found.close.ease[4] - found.close.ease[1]
    assert found.close.ease[5] == pytest.approx(expected, abs=0.25)
    assert found.close.doubt[5, 5] > found.close.doubt[4, 4]


def test_own_days_tell_what_nobody_else_can():
    """The only player of a club: by others nothing is known, by own days the hard kinds are told from the easy ones."""
    log = a_club(players=1, sessions=40)
    found = club_difficulty(log, WORDS)

    by_others, by_all = found.by_others(0), found.by_all(0)
    assert by_others.ease == pytest.approx(np.zeros(6), abs=1e-6)
    assert np.corrcoef(by_all.ease, EASE)[0, 1] > 0.9
    apart = np.array([1, 0, -1, 0, 0, 0])
    assert apart @ by_all.doubt @ apart < 0.1 < apart @ by_others.doubt @ apart


def test_stretches_of_a_player_have_levels_of_their_own():
    """A year apart the player is two logits better: that is no ease of the kinds met then."""
    log = a_club(players=1, sessions=16, balls=200)
    late = log.session >= 8
    odds = special.logit((log.good + 0.5) / (log.balls + 1)) + 2.0 * late
    log = replace(log, good=np.round(log.balls * special.expit(odds)), stretch=late.astype(int))

    assert np.corrcoef(club_difficulty(log, WORDS).free.ease, EASE)[0, 1] > 0.9


def test_an_empty_log_and_a_clean_sheet_have_an_answer():
    log = a_club()
    nothing = FedBalls(*(getattr(log, field.name)[:0] for field in fields(log)))
    perfect = replace(log, good=log.balls)

    assert club_difficulty(nothing, np.zeros((0, 2), dtype=int)).testimonies == []
    assert np.isfinite(club_difficulty(perfect, WORDS).free.ease).all()


def test_a_kind_missed_by_the_thousand_and_another_that_always_went_well_have_an_answer():
    """A step of the fit that goes too far must not end it: a rate of exactly 0 or 1 weighs nothing."""
    one = np.array([2, 2])
    log = FedBalls(
        one, one, np.array([22, 20]), np.array([4, 1]), np.array([2.0, 0.0]), *np.array([[0, 5], [5000, 5.0]])
    )

    rate = club_difficulty(log, [[1, 2, 1], [0, 1, 2], [0, 1, 2], [2, 2, 1], [2, 0, 2]]).expected_rate

    assert rate[0] < 0.01
    assert rate[1] > 0.5
