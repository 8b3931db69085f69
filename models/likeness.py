"""How alike the balls of one block, and of one session, are in a club: two intra-class correlations, by moments.

They are one number each for the whole club, because one player's blocks are too few to tell them: by simulation
(tests/simulations) own estimates leave intervals too short, the club's do not.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from models.groups import FloatArray, Groups, group_rows

FORM_OF_THE_DAY = 0.5
"""Until a club's sessions tell it, so much of the likeness of a block is taken to be the form of the day.

The block's own luck then is as large; an assumption without a published basis.
"""


@dataclass(frozen=True)
class MetBlocks:
    """A club's log, one row per kind of ball in a block; every column is as long as the log.

    `stretch` numbers the player and the weeks within which blocks are compared, `kind` the kind of ball, `session` the
    player's session and `block` the block within it. `expected_good` is what such balls give this player.
    """

    stretch: npt.ArrayLike
    kind: npt.ArrayLike
    session: npt.ArrayLike
    block: npt.ArrayLike
    good: npt.ArrayLike
    expected_good: npt.ArrayLike
    balls: npt.ArrayLike


@dataclass(frozen=True)
class ClubCorrelation:
    """How alike balls are, from 0 (not at all) to 1: of one block `rho`, of two blocks of one session `rho_session`.

    `freedom` counts the comparisons between blocks behind the one, `session_freedom` those between sessions behind the
    other. `is_assumed` says that the first were too few and that `rho` is the club's setting instead;
    `session_is_assumed` that the second were, and that `rho_session` is FORM_OF_THE_DAY of `rho`.
    """

    rho: float
    freedom: int
    is_assumed: bool
    rho_session: float
    session_freedom: int
    session_is_assumed: bool


def club_correlation(log: MetBlocks, *, assumed_rho: float = 0.05, least_freedom: int = 30) -> ClubCorrelation:
    """Estimate the club's correlations; each asks for `least_freedom` comparisons.

    Blocks are compared on the same kind of ball within one stretch only, so neither the difficulty of kinds, nor the
    level of players, nor their slow progress passes for resemblance. Few kinds come back in another session so soon;
    sessions are therefore compared within one stretch on all their balls, each against what such a ball gives.
    Both are 0 at least; the form of the day is a part of what the balls of a block share, and never more.
    Source: analysis of variance for balls that hit or miss (Fleiss, Levin & Paik 2003, ch. 15), nested and for unequal
    numbers (Searle, Casella & McCulloch 1992, Variance Components, ch. 5): sums of squares and of products are set
    equal to what they are expected to be.
    """
    rows = _compared(log)
    freedom, session_freedom = len(rows.balls) - rows.kinds.count, _session_comparisons(rows)
    if freedom < max(least_freedom, 1):
        of_day = FORM_OF_THE_DAY * assumed_rho
        return ClubCorrelation(assumed_rho, freedom, True, of_day, session_freedom, session_is_assumed=True)
    spread = _between_blocks(rows)
    is_assumed = session_freedom < max(least_freedom, 1)
    of_day = _assumed_day(spread) if is_assumed else _measured_day(rows, spread)
    of_block = of_day + max((spread.excess - spread.by_day * of_day) / spread.by_block, 0.0)
    whole = max(of_block + rows.single, np.finfo(float).tiny)
    return ClubCorrelation(of_block / whole, freedom, False, of_day / whole, session_freedom, is_assumed)


@dataclass(frozen=True)
class _Rows:
    """The rows with balls. `single` is the variance of one ball within its row.

    `left` is what the hits of a row are above the rate of its kind in its stretch; `surplus` above what was expected
    of them and above the rest of their stretch.
    """

    stretches: Groups
    kinds: Groups
    sessions: Groups
    blocks: Groups
    balls: FloatArray
    left: FloatArray
    surplus: FloatArray
    single: float


@dataclass(frozen=True)
class _Spread:
    """By how much blocks of one kind differ in excess of single balls: a sum of squares.

    Expected: `by_block` x the variance of blocks within a session + `by_day` x the variance of sessions.
    """

    excess: float
    by_block: float
    by_day: float


def _compared(log: MetBlocks) -> _Rows:
    columns = (log.stretch, log.kind, log.session, log.block, log.good, log.expected_good, log.balls)
    played = np.asarray(log.balls, dtype=np.float64) > 0
    stretch, kind, session, block, good, expected, balls = (np.asarray(column)[played] for column in columns)
    stretches, kinds, sessions = group_rows(stretch), group_rows(stretch, kind), group_rows(stretch, session)
    single = np.sum(good * (balls - good) / balls) / max(np.sum(balls - 1), 1)
    return _Rows(
        *(stretches, kinds, sessions, group_rows(sessions.of_row, block)),
        balls=balls.astype(np.float64),
        left=_above_mean(kinds, good, balls),
        surplus=_above_mean(stretches, good - expected, balls),
        single=float(single),
    )


def _above_mean(groups: Groups, values: FloatArray, balls: FloatArray) -> FloatArray:
    return np.asarray(values - balls * (groups.sums(values) / groups.sums(balls))[groups.of_row])


def _session_comparisons(rows: _Rows) -> int:
    """Sessions of two blocks or more, beyond the first of each stretch."""
    session, held = np.unique(rows.sessions.of_row[rows.blocks.first_row], return_counts=True)
    stretch = rows.stretches.of_row[rows.sessions.first_row[session[held > 1]]]
    return len(stretch) - len(np.unique(stretch))


def _between_blocks(rows: _Rows) -> _Spread:
    of_kind = rows.kinds.sums(rows.balls)
    kind_sessions = group_rows(rows.kinds.of_row, rows.sessions.of_row)
    freedom = len(rows.balls) - rows.kinds.count
    same_day = kind_sessions.sums(rows.balls) ** 2 / of_kind[rows.kinds.of_row[kind_sessions.first_row]]
    return _Spread(
        excess=float(np.sum(rows.left**2 / rows.balls) - freedom * rows.single),
        by_block=float(np.sum(rows.balls) - np.sum(rows.balls**2 / of_kind[rows.kinds.of_row])),
        by_day=float(np.sum(rows.balls) - np.sum(same_day)),
    )


def _assumed_day(spread: _Spread) -> float:
    """The variance of sessions if it is FORM_OF_THE_DAY of what the balls of a block share."""
    by_both = (1 - FORM_OF_THE_DAY) * spread.by_block + FORM_OF_THE_DAY * spread.by_day
    return FORM_OF_THE_DAY * max(spread.excess, 0.0) / by_both


def _measured_day(rows: _Rows, spread: _Spread) -> float:
    """The variance of sessions, from the surplus of different blocks of one session, multiplied pair by pair."""
    products = np.sum(rows.sessions.sums(rows.surplus) ** 2) - np.sum(rows.blocks.sums(rows.surplus) ** 2)
    total = rows.stretches.sums(rows.balls)
    by_chance = np.sum((_squares(rows, rows.blocks) - _squares(rows, rows.sessions)) / total)
    beyond_chance = products - rows.single * by_chance
    of_blocks, of_both, of_sessions = (
        _overlap(rows, *partitions)
        for partitions in ((rows.blocks, rows.blocks), (rows.sessions, rows.blocks), (rows.sessions, rows.sessions))
    )
    per_block, per_day = of_both - of_blocks, of_sessions - of_both
    day = (beyond_chance * spread.by_block - per_block * spread.excess) / (
        per_day * spread.by_block - per_block * spread.by_day
    )
    if spread.excess < spread.by_day * day:  # Blocks have no luck of their own: the day is all that they show.
        day = beyond_chance / per_day
    return float(max(day, 0.0))


def _squares(rows: _Rows, parts: Groups) -> FloatArray:
    """Of each stretch: the sum, over its parts, of the square of their balls."""
    stretch = rows.stretches.of_row[parts.first_row]
    return np.asarray(np.bincount(stretch, weights=parts.sums(rows.balls) ** 2), dtype=np.float64)


def _overlap(rows: _Rows, wholes: Groups, parts: Groups) -> float:
    """The sum of squares of Z'(I - P)Y: Z says of a ball its whole, Y its part of it, P takes the mean of the stretch.

    So much of the variance of parts is expected in the squared surplus of wholes, and the other way round.
    """
    total = rows.stretches.sums(rows.balls)
    size, whole = parts.sums(rows.balls), wholes.sums(rows.balls)[wholes.of_row[parts.first_row]]
    own = np.sum(size**2 * (1 - 2 * whole / total[rows.stretches.of_row[parts.first_row]]))
    return float(own + np.sum(_squares(rows, wholes) * _squares(rows, parts) / total**2))
