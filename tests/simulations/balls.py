"""Invented balls whose truth is known: blocks that go well or badly, and whole clubs."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from scipy import special


def block_hits(draw, rate, rho, balls, persistence=0.0):
    """Hits in each block (any shape): its rate is Beta with correlation `rho` around `rate`.

    With the chance `persistence` a ball repeats the outcome of the one before.
    """
    rate = np.broadcast_to(rate, balls.shape)
    luck = draw.beta(rate * (1 - rho) / rho, (1 - rate) * (1 - rho) / rho) if rho else rate
    if not persistence:
        return draw.binomial(balls, luck)
    hits, last = np.zeros(balls.shape), draw.random(balls.shape) < luck
    for ball in range(balls.max()):
        repeats = (draw.random(balls.shape) < persistence) & (ball > 0)
        last = np.where(repeats, last, draw.random(balls.shape) < luck)
        hits += last & (ball < balls)
    return hits


def session_hits(draw, rate, rho, rho_session, balls):
    """Hits in each block (players, sessions, blocks): sessions have their form, Beta, and blocks their luck around it.

    Balls of a block have the correlation `rho`, those of two blocks of a session `rho_session`.
    """
    day = draw.beta(*(chance * (1 - rho_session) / rho_session for chance in (rate, 1 - rate)), balls.shape[:-1])
    return block_hits(draw, day[..., None], (rho - rho_session) / (1 - rho_session), balls)


@dataclass(frozen=True)
class ClubTruth:
    """What is true of an invented club; the defaults are a club without any difference to find.

    Spreads are standard deviations on the logit scale; the blocks of a session share its form. `cost` is lost on the
    first ball after a change (points); `rise` is gained over all blocks (logits); `taste` makes players meet some cells
    more often than others, and `habit` (logits) makes them better at those. `net_on_backspin` of the missed balls that
    would go elsewhere goes into the net where the spin is backspin. `matched` feeds the hard cells to strong players.
    """

    players: int = 20
    blocks: int = 24
    balls: int = 30
    cells: int = 18
    level: float = 0.8
    player_sd: float = 0.0
    cell_sd: float = 0.0
    block_sd: float = 0.5
    session_sd: float = 0.0
    blocks_in_session: int = 1
    cost: float = 0.0
    rise: float = 0.0
    taste: float = 1.0
    habit: float = 0.0
    net_on_backspin: float = 0.0
    matched: float = 0.0


@dataclass(frozen=True)
class ClubBalls:
    """One entry per ball, in the order played within a block; blocks are numbered within their player.

    `skill` is the true logit of each player (rows) on each cell (columns) in a usual block.
    """

    player: np.ndarray
    block: np.ndarray
    cell: np.ndarray
    is_first: np.ndarray
    outcome: np.ndarray
    skill: np.ndarray
    blocks_in_session: int = 1

    @property
    def is_good(self):
        return self.outcome == "good"

    @property
    def place(self):
        """The place of each ball in its block, from 0."""
        start = np.flatnonzero(np.diff(self.block, prepend=-1) | np.diff(self.player, prepend=-1))
        return np.arange(len(self.block)) - np.repeat(start, np.diff(start, append=len(self.block)))


def play(truth: ClubTruth, seed: int, cells_in_block: int = 3) -> ClubBalls:
    """Blocks of three cells each, in mixed order: the next ball is of the same cell three times in four."""
    draw = np.random.default_rng(seed)
    level = draw.normal(truth.level, truth.player_sd, truth.players)
    effect = draw.normal(0, truth.cell_sd, truth.cells)
    taste = draw.normal(0, truth.taste, (truth.players, 1, truth.cells))
    skill = level[:, None] + effect + truth.habit * taste[:, 0]
    if truth.matched:
        strength, ease = (level - truth.level) / truth.player_sd, effect / truth.cell_sd
        taste = taste - truth.matched * strength[:, None, None] * ease
    wish = taste + draw.gumbel(size=(truth.players, truth.blocks, truth.cells))
    met = np.argsort(-wish, axis=2)[:, :, :cells_in_block]
    shape = (truth.players, truth.blocks, truth.balls)
    place, is_first = _mixed_order(draw, shape, cells_in_block)
    cell = np.take_along_axis(met, place, axis=2)
    day = draw.normal(0, truth.block_sd, shape[:2]) + truth.rise * np.linspace(-0.5, 0.5, truth.blocks)
    day += _form(draw, truth)
    player, block, _ = np.indices(shape)
    rate = special.expit(skill[player, cell] + day[:, :, None]) - truth.cost * is_first
    outcome = np.where(draw.random(shape) < rate, "good", _mistakes(draw, truth, cell))
    columns = (player, block, cell, is_first, outcome)
    return ClubBalls(*(column.ravel() for column in columns), skill, truth.blocks_in_session)


def _form(draw, truth):
    """Of each player in each block: the form of its session."""
    if not truth.session_sd:
        return 0.0
    sessions = -(-truth.blocks // truth.blocks_in_session)
    form = draw.normal(0, truth.session_sd, (truth.players, sessions))
    return np.repeat(form, truth.blocks_in_session, axis=1)[:, : truth.blocks]


def _mistakes(draw, truth, cell):
    """What a ball becomes if it is not good; a third of the cells (the middle pair of every six) is without spin."""
    kind = draw.choice(["net", "long", "wide", "missed"], cell.shape, p=[0.4, 0.3, 0.2, 0.1])
    is_backspin = cell // 2 % 3 == 0
    return np.where(is_backspin & (draw.random(cell.shape) < truth.net_on_backspin), "net", kind)


def _mixed_order(draw, shape, cells_in_block):
    place = np.empty(shape, dtype=int)
    place[..., 0] = draw.integers(0, cells_in_block, shape[:2])
    for ball in range(1, shape[2]):
        stays = draw.random(shape[:2]) < 0.625
        place[..., ball] = np.where(stays, place[..., ball - 1], draw.integers(0, cells_in_block, shape[:2]))
    is_first = np.zeros(shape, dtype=bool)
    is_first[..., 1:] = place[..., 1:] != place[..., :-1]
    return place, is_first
