"""How hard each kind of ball is, told by everybody who met it, and how much doubt about it is left.

One logistic model of the whole club: the log-odds of a good ball are the player's level and slow progress, the form of
the day, and the ease of its kind. The ease of a kind adds up from its words (depth, side, spin, ...), and each kind may
lie off that sum: a kind that few met is pulled to what its words say, a word that few met to the club's whole. Balls of
one player's day are compared with each other, so a player's own days tell it as club mates' days do.
Source: penalised quasi-likelihood (Breslow & Clayton 1993, J. Am. Stat. Assoc. 88:9) with crossed effects of players
and kinds; what is beyond chance between days and blocks by moments (Williams 1982, Appl. Stat. 31:144).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
from scipy import linalg, special

from models.belief import Belief, Posterior, prior_precision, words_of
from models.groups import FloatArray, IntArray, group_rows
from models.lines import MOST_LOG_ODDS
from models.testimony import Testimony, by_player

FREE_KIND_SPREAD = 1.0
"""The same of a kind from the sum of its words, where a player's own days are to tell: so wide that they do."""
KIND_SPREADS = np.array([0.05, 0.1, 0.2, 0.3, 0.5, 0.8])
"""The same where they are not to tell: the likeliest of these in the club."""
LEVEL_PRECISION = 1 / 2.5**2
"""Of a level and its progress (1 / logits²): a weak prior, by Gelman et al. (2008), Ann. Appl. Stat. 2:1360."""

FIRST_DAY_VARIANCE = 0.1
MOST_ITERATIONS, CLOSE_ENOUGH = 40, 1e-6
LONGEST_STEP = 2.0  # Logits


@dataclass(frozen=True)
class FedBalls:
    """A club's log, one row per kind of ball in a block; every column is as long as the log.

    `player`, `stretch` (of one player: weeks over which progress is a straight line), `session` (of one player) and
    `kind` (a row of the words) are numbers; `time` has any unit.
    """

    player: IntArray
    stretch: IntArray
    session: IntArray
    kind: IntArray
    time: FloatArray
    good: FloatArray
    balls: FloatArray


@dataclass(frozen=True)
class ClubDifficulty:
    """`free` and `close` are the beliefs about every kind, by the wide and by the likeliest spread of kinds.

    `testimonies` and `expected_rate` (one per row of the log: what such a ball gives this player at that time) are in
    the order of players and of rows. Variances are beyond chance: of days, and of a kind's balls in one block.
    """

    free: Belief
    close: Belief
    testimonies: list[Testimony]
    expected_rate: FloatArray
    kind_spread: float
    day_variance: float
    block_variance: float

    def by_others(self, place: int) -> Belief:
        """What the others' balls say of the kinds that this player met: nobody is compared with themselves."""
        return self._without(self.close, place)

    def by_all(self, place: int) -> Belief:
        """The same with what this player's kinds differ by within one day, to which no trend and no form adds."""
        own = self.testimonies[place]
        return self._without(self.free, place).updated(own.daily_information, own.daily_pull)

    def _without(self, belief: Belief, place: int) -> Belief:
        own = self.testimonies[place]
        return belief.only(own.kinds).updated(-own.information, -own.pull)


def club_difficulty(log: FedBalls, words: npt.ArrayLike) -> ClubDifficulty:
    """Fit the model to a log in which every row has balls; `words` is (kinds, dimensions), equal where words are."""
    stretches, named = _stretches(log), words_of(np.asarray(words))
    before_any_ball, _ = prior_precision(named, FREE_KIND_SPREAD)
    state = _first_state(stretches, len(named))
    for _ in range(MOST_ITERATIONS):
        readings = [_read(own, state, line) for own, line in zip(stretches, state.lines, strict=True)]
        posterior = _posterior(before_any_ball, readings)
        moved = np.abs(posterior.ease - state.ease).max(initial=0.0)
        state = _next_state(stretches, readings, _towards(posterior.ease, state.ease), state)
        if moved < CLOSE_ENOUGH:
            break
    belief = posterior.belief()
    spread, close = _likeliest(named, readings)
    rates = np.zeros(len(log.balls))
    for own, line in zip(stretches, state.lines, strict=True):
        rates[own.rows] = _rates(own, state.ease, line)
    testimonies = by_player((own.player for own in stretches), (one.testimony for one in readings))
    return ClubDifficulty(belief, close, testimonies, rates, spread, state.day_variance, state.block_variance)


@dataclass(frozen=True)
class _Stretch:
    """One player's rows of one stretch; `kind` and `session` number its own; `line` is 1 and time, per session."""

    player: int
    rows: IntArray
    kinds: IntArray
    kind: IntArray
    session: IntArray
    line: FloatArray
    good: FloatArray
    balls: FloatArray


@dataclass(frozen=True)
class _State:
    """Where the fit has come to: ease of kinds, level and progress of stretches, variances of days and blocks; and
    `usual`, the log-odds of all balls of the club, to which the levels of players are pulled."""

    ease: FloatArray
    lines: FloatArray
    day_variance: float
    block_variance: float
    usual: float


@dataclass(frozen=True)
class _Reading:
    """What a stretch says at one state of the fit; `line` and `line_by_kind` give its line for any ease of kinds."""

    testimony: Testimony
    line: FloatArray
    line_by_kind: FloatArray


def _stretches(log: FedBalls) -> list[_Stretch]:
    players, groups = group_rows(log.player), group_rows(log.player, log.stretch)
    in_order = np.argsort(groups.of_row, kind="stable")
    parts = np.split(in_order, np.cumsum(groups.sizes)[:-1]) if groups.count else []
    return [_stretch(log, int(players.of_row[rows[0]]), rows) for rows in parts]


def _stretch(log: FedBalls, player: int, rows: IntArray) -> _Stretch:
    kinds, kind = np.unique(log.kind[rows], return_inverse=True)
    sessions = group_rows(log.session[rows])
    when = np.asarray(log.time[rows][sessions.first_row], dtype=np.float64)
    half = max(np.ptp(when) / 2, np.finfo(float).tiny)
    line = np.stack([np.ones(len(when)), (when - (when.max() + when.min()) / 2) / half], axis=1)
    counts = (np.asarray(column[rows], dtype=np.float64) for column in (log.good, log.balls))
    return _Stretch(player, rows, kinds, kind, sessions.of_row, line, *counts)


def _first_state(stretches: list[_Stretch], kinds: int) -> _State:
    totals = np.array([(own.good.sum(), own.balls.sum()) for own in stretches]).reshape(-1, 2)
    levels, usual = _log_odds(*totals.T), _log_odds(*totals.sum(axis=0))
    lines = np.stack([levels, np.zeros(len(levels))], axis=1)
    return _State(np.zeros(kinds), lines, FIRST_DAY_VARIANCE, 0.0, float(usual))


def _log_odds(good: FloatArray, balls: FloatArray) -> FloatArray:
    """Half a hit and half a miss are added: a clean sheet has no log-odds."""
    return np.asarray(special.logit((good + 0.5) / (balls + 1)))


def _rates(own: _Stretch, ease: FloatArray, line: FloatArray) -> FloatArray:
    # A step too far would leave a rate of exactly 0 or 1, by which nothing can be weighed.
    log_odds = (own.line @ line)[own.session] + ease[own.kinds][own.kind]
    return np.asarray(special.expit(np.clip(log_odds, -MOST_LOG_ODDS, MOST_LOG_ODDS)))


def _read(own: _Stretch, state: _State, line: FloatArray) -> _Reading:
    """Weighted least squares on the working log-odds; days are taken out, and then the line."""
    rate = _rates(own, state.ease, line)
    chance = own.balls * rate * (1 - rate)
    weight = chance / (1 + state.block_variance * chance)
    pull = weight * (special.logit(rate) + (own.good - own.balls * rate) / chance)
    days, kinds = len(own.line), len(own.kinds)
    by_day = np.bincount(own.session * kinds + own.kind, weight, days * kinds).reshape(days, kinds)
    of_day, day_pull = by_day.sum(axis=1), np.bincount(own.session, pull)
    of_kind, kind_pull = by_day.sum(axis=0), np.bincount(own.kind, pull)

    def without_days(share: FloatArray) -> tuple[FloatArray, FloatArray]:
        return np.diag(of_kind) - (by_day.T * share) @ by_day, kind_pull - by_day.T @ (share * day_pull)

    kept = own.line.T / (1 + state.day_variance * of_day)
    precision = (kept * of_day) @ own.line + LEVEL_PRECISION * np.eye(2)
    towards = kept @ day_pull + LEVEL_PRECISION * np.array([state.usual, 0.0])
    alone, by_kind = linalg.solve(precision, towards), linalg.solve(precision, kept @ by_day)
    information, all_pull = without_days(state.day_variance / (1 + state.day_variance * of_day))
    testimony = Testimony(
        own.kinds,
        information - (kept @ by_day).T @ by_kind,
        all_pull - (kept @ by_day).T @ alone,
        *without_days(1 / of_day),
    )
    return _Reading(testimony, alone, by_kind)


def _posterior(before_any_ball: FloatArray, readings: list[_Reading]) -> Posterior:
    """What is known of every kind after all testimonies; `before_any_ball` is the precision before them."""
    precision, pull = before_any_ball.copy(), np.zeros(len(before_any_ball))
    for reading in readings:
        precision[np.ix_(reading.testimony.kinds, reading.testimony.kinds)] += reading.testimony.information
        pull[reading.testimony.kinds] += reading.testimony.pull
    triangle = linalg.cholesky(precision, lower=True)
    return Posterior(linalg.cho_solve((triangle, True), pull), pull, triangle)


def _towards(found: FloatArray, before: FloatArray) -> FloatArray:
    # Where a rate is nearly 0 or 1 the curve is so flat that a whole step leads far beyond the aim, and back again.
    return before + np.clip(found - before, -LONGEST_STEP, LONGEST_STEP)


def _next_state(stretches: list[_Stretch], readings: list[_Reading], ease: FloatArray, before: _State) -> _State:
    """The lines that go with the ease of kinds, and what days and blocks then differ by, beyond chance."""
    found = np.array([one.line - one.line_by_kind @ ease[one.testimony.kinds] for one in readings]).reshape(-1, 2)
    lines = _towards(found, before.lines)
    beyond = np.zeros(4)
    for own, line in zip(stretches, lines, strict=True):
        rate = _rates(own, ease, line)
        chance, surplus = own.balls * rate * (1 - rate), own.good - own.balls * rate
        days = len(own.line)
        of_day, day_chance = np.bincount(own.session, surplus), np.bincount(own.session, chance)
        beyond += (
            np.sum(of_day**2) * days / max(days - 2, 1) - np.sum(surplus**2),
            np.sum(day_chance**2) - np.sum(chance**2),
            np.sum(surplus**2 - chance),
            np.sum(chance**2),
        )
    day = max(beyond[0] / beyond[1], 0.0) if beyond[1] > 0 else 0.0
    block = max(beyond[2] / beyond[3] - day, 0.0) if beyond[3] > 0 else 0.0
    return _State(ease, lines, day, block, before.usual)


def _likeliest(named: FloatArray, readings: list[_Reading]) -> tuple[float, Belief]:
    """The belief by the spread of kinds under which the club's balls are likeliest, and that spread.

    Source: restricted likelihood of the working log-odds (Breslow & Clayton 1993, section 2.4).
    """
    found = []
    for spread in KIND_SPREADS:
        before_any_ball, size_before = prior_precision(named, spread)
        posterior = _posterior(before_any_ball, readings)
        fit = float(posterior.ease @ posterior.pull) + size_before - posterior.log_size
        found.append((fit, float(spread), posterior))
    _, spread, posterior = max(found, key=lambda one: one[0])
    return spread, posterior.belief()
