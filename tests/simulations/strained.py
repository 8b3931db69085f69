"""Invented clubs that strain the judgements: the mix drifts, codes are not shared, days carry their form over.

Nobody here rises, unless told so, and nobody is weaker on one ball than on another of like difficulty. Everything is
drawn at once for a club, and judged by the models that the judged tables call.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import product

import numpy as np
from scipy import special

from models.club_trends import CutBalls, club_trends
from models.difficulty import ClubDifficulty, FedBalls, club_difficulty
from models.rarely_met import MetCells, reach
from models.trend import Trends
from models.weakness import MetKinds, against_expectation

POSITIONS = list(product(range(3), (-1, 1)))
"""Depth, and the side of the table: the left-hander's backhand is the right-hander's forehand."""
BALLS = list(product(range(len(POSITIONS)), range(3), range(2)))
"""Setup, spin and tempo of each of the thirty-six kinds of ball that a player is fed."""
EAGERNESS = 2.0
"""How much more a player wishes for what was not met before: it then comes up in most sessions."""
CUTS = {"depth": 0, "side": 1, "spin": 2, "tempo": 3}


@dataclass(frozen=True)
class Strain:
    """A club and what is true of it; spreads are standard deviations on the logit scale.

    The mix drifts from hard to easy by so many logits (`drift`), over which a player gains `rise`; `carry_over` is the
    correlation of the form of two sessions in a row. `kind_sd` is how far a kind lies from the sum of its words. With
    `late_sessions` one kind of ball in six is not met before so many last sessions, and the player succeeds on it by
    `late_weakness` less than its ease lets expect.
    """

    players: int = 20
    sessions: int = 52
    balls_of_kind: int = 10
    kinds_in_session: int = 4
    own_codes: bool = False
    left_hander: bool = False
    drift: float = 0.0
    rise: float = 0.0
    day_sd: float = 0.3
    carry_over: float = 0.0
    level: float = 0.65
    player_sd: float = 0.4
    word_sd: float = 0.4
    kind_sd: float = 0.25
    taste: float = 0.5
    late_sessions: int = 0
    late_weakness: float = 0.0

    @property
    def judged_players(self) -> int:
        """Of a club with one left-hander, who is player 0, only that one counts."""
        return 1 if self.left_hander else self.players

    @property
    def is_late(self) -> np.ndarray:
        """Which balls (columns) each player (rows) meets late only."""
        turn = np.add.outer(np.arange(self.players), np.arange(len(BALLS)))
        return (turn % 6 == 0) & (self.late_sessions > 0)


@dataclass(frozen=True)
class StrainedClub:
    """What a club logged: one row per kind in a session; `words` and the true `ease` are those of the kinds."""

    log: FedBalls
    words: np.ndarray
    ease: np.ndarray
    level: np.ndarray


def play(strain: Strain, seed: int) -> StrainedClub:
    """A season of the club."""
    draw = np.random.default_rng(seed)
    kind_of, words = _kinds(strain)
    ease = sum(draw.normal(0, strain.word_sd, column.max() + 1)[column] for column in words.T)
    ease = ease + draw.normal(0, strain.kind_sd, len(words))
    time = np.linspace(-1, 1, strain.sessions)
    taste = draw.normal(0, strain.taste, (strain.players, 1, len(BALLS)))
    tilt = _tilt(taste[:, 0], ease[kind_of], strain.drift)[:, None, None]
    wish = taste + tilt * time[:, None] * ease[kind_of][:, None]
    wish = wish + draw.gumbel(size=wish.shape)
    too_early = np.arange(strain.sessions)[:, None] < strain.sessions - strain.late_sessions
    wish = np.where(strain.is_late[:, None], np.where(too_early, -np.inf, wish + EAGERNESS), wish)
    met = np.argsort(-wish, axis=2)[:, :, : strain.kinds_in_session]
    player, session, _ = (index.ravel() for index in np.indices(met.shape))
    kind = kind_of[player, met.ravel()]
    level = strain.level + draw.normal(0, strain.player_sd, strain.players)
    form = _form(draw, strain)
    logit = level[player] + form[player, session] + ease[kind] + strain.rise * time[session] / 2
    logit -= strain.late_weakness * strain.is_late[player, met.ravel()]
    balls = np.full(len(kind), float(strain.balls_of_kind))
    good = draw.binomial(strain.balls_of_kind, special.expit(logit)).astype(float)
    log = FedBalls(player, np.zeros_like(player), session, kind, time[session], good, balls)
    return StrainedClub(log, words, ease, level)


def _kinds(strain: Strain) -> tuple[np.ndarray, np.ndarray]:
    """The number of each player's kinds, and the words of every kind: depth, side, spin, tempo."""
    numbers: dict[tuple[int, ...], int] = {}
    kind_of = np.empty((strain.players, len(BALLS)), dtype=int)
    for player, (place, (setup, spin, tempo)) in product(range(strain.players), enumerate(BALLS)):
        depth, right = POSITIONS[setup]
        is_left_handed = strain.left_hander and player == 0
        side = int((right > 0) != is_left_handed)
        key = (player if strain.own_codes else 0, setup, depth, side, spin, tempo)
        kind_of[player, place] = numbers.setdefault(key, len(numbers))
    return kind_of, np.array([key[2:] for key in numbers])


def _tilt(taste: np.ndarray, ease: np.ndarray, drift: float) -> np.ndarray:
    """By how much each player's wish for easy balls must grow, so that the mix gets easier by `drift`."""
    low, high = np.zeros(len(taste)), np.full(len(taste), 20.0)
    for _ in range(40 if drift else 0):
        middle = (low + high) / 2
        is_less = _mean_ease(taste, ease, middle) - _mean_ease(taste, ease, -middle) < drift
        low, high = np.where(is_less, middle, low), np.where(is_less, high, middle)
    return low


def _mean_ease(taste: np.ndarray, ease: np.ndarray, tilt: np.ndarray) -> np.ndarray:
    return np.sum(special.softmax(taste + tilt[:, None] * ease, axis=1) * ease, axis=1)


def _form(draw: np.random.Generator, strain: Strain) -> np.ndarray:
    fresh = draw.normal(0, strain.day_sd, (strain.players, strain.sessions))
    form = fresh.copy()
    for at in range(1, strain.sessions):
        form[:, at] = strain.carry_over * form[:, at - 1] + np.sqrt(1 - strain.carry_over**2) * fresh[:, at]
    return form


def difficulty_of(club: StrainedClub) -> ClubDifficulty:
    """How hard its balls are, by its log."""
    return club_difficulty(club.log, club.words)


def trends_of(club: StrainedClub, difficulty: ClubDifficulty, *, with_cuts: bool = False) -> Trends:
    """The trend of each player, in their order; with cuts, of each value of each cut after that of the whole."""
    log, values = club.log, [np.zeros(len(club.log.kind), dtype=int)]
    if with_cuts:
        values += [1 + 10 * at + club.words[log.kind, column] for at, column in enumerate(CUTS.values())]
    rows = np.tile(np.arange(len(log.kind)), len(values))
    value = np.concatenate(values)
    cut = CutBalls(
        100 * log.player[rows] + value,
        log.player[rows],
        log.session[rows],
        log.kind[rows],
        log.time[rows],
        log.good[rows],
        log.balls[rows],
    )
    everybody = range(len(difficulty.testimonies))
    return club_trends(cut, value == 0, [difficulty.by_all(player) for player in everybody])


def true_change(strain: Strain, club: StrainedClub) -> np.ndarray:
    """Of each player: the rise in points of success, on balls as hard as their usual ones."""
    balls = np.bincount(club.log.player, club.log.balls)
    usual = club.level + np.bincount(club.log.player, club.log.balls * club.ease[club.log.kind]) / balls
    return special.expit(usual + strain.rise / 2) - special.expit(usual - strain.rise / 2)


def falls_short(club: StrainedClub, difficulty: ClubDifficulty, player: int) -> bool:
    """Whether the player's rarely met balls are told to lie above or below the familiar ones."""
    own = club.log.player == player
    belief = difficulty.by_others(player)
    kind = np.searchsorted(belief.kinds, club.log.kind[own])
    met = np.bincount(kind, club.log.balls[own])
    log = MetCells(
        club.log.session[own],
        kind,
        club.log.good[own],
        club.log.balls[own],
        met[kind],
        kind,
        belief.ease[kind],
        belief.doubt,
    )
    found = reach(log, seed=1)
    return found.low > 0 or found.high < 0


def weak_cells(club: StrainedClub, difficulty: ClubDifficulty, player: int, design_effect: float) -> np.ndarray:
    """Of each kind that the player met at least ten times, whether it is told to be a weakness."""
    return weak_kinds(club, difficulty, player, design_effect)[1]


def weak_kinds(
    club: StrainedClub, difficulty: ClubDifficulty, player: int, design_effect: float
) -> tuple[np.ndarray, np.ndarray]:
    """The kinds that the player met at least ten times, and whether each is told to be a weakness."""
    own = club.log.player == player
    belief = difficulty.by_others(player)
    kind = np.searchsorted(belief.kinds, club.log.kind[own])
    good, balls = np.bincount(kind, club.log.good[own]), np.bincount(kind, club.log.balls[own])
    place = np.arange(len(balls))
    log = MetKinds(place, place, good, balls, belief.ease, belief.doubt)
    is_weak = against_expectation(log, balls / design_effect, design_effect).is_weak
    return belief.kinds[balls >= 10], is_weak[balls >= 10]
