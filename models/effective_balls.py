"""How many independent balls a count is worth, given that balls of one block resemble each other.

The resemblance (the intra-class correlation) is one number for the whole club, because one player's blocks are too
few to tell it: by simulation (tests/simulations) own estimates leave intervals too short, the club's does not.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from models.groups import FloatArray, group_rows


@dataclass(frozen=True)
class ClubCorrelation:
    """How alike the balls of one block are: `rho` from 0 (not at all) to 1, and what it rests on.

    `freedom` counts the comparisons between blocks behind it. `is_assumed` says that these were too few and that
    `rho` is the club's setting instead.
    """

    rho: float
    freedom: int
    is_assumed: bool


def club_correlation(
    alike: npt.ArrayLike,
    good: npt.ArrayLike,
    balls: npt.ArrayLike,
    *,
    assumed_rho: float = 0.05,
    least_freedom: int = 30,
) -> ClubCorrelation:
    """Estimate the club's correlation from rows that are one block of one cell of one player each.

    `alike` numbers the player, cell and stretch of weeks of each row. Blocks are compared only within one number, so
    neither the difficulty of cells, nor the level of players, nor their slow progress passes for resemblance.
    Source: analysis of variance estimator, Fleiss, Levin & Paik (2003), ch. 15, pooled over the numbers, floored at 0.
    """
    hits, count = np.asarray(good, dtype=np.float64), np.asarray(balls, dtype=np.float64)
    played = count > 0
    hits, count = hits[played], count[played]
    strata = group_rows(np.asarray(alike)[played])
    freedom = int(len(count) - strata.count)
    if freedom < max(least_freedom, 1):
        return ClubCorrelation(assumed_rho, freedom, is_assumed=True)
    total, total_hits = strata.sums(count), strata.sums(hits)
    mean_size = np.sum(total - strata.sums(count**2) / total) / freedom
    between = np.sum(strata.sums(hits**2 / count) - total_hits**2 / total) / freedom
    within = np.sum(hits * (count - hits) / count) / max(np.sum(count - 1), 1)
    spread = between + (mean_size - 1) * within
    rho = (between - within) / spread if spread > 0 else 0.0
    return ClubCorrelation(float(max(rho, 0.0)), freedom, is_assumed=False)


def design_effect(balls: npt.ArrayLike, squared_block_balls: npt.ArrayLike, rho: npt.ArrayLike) -> FloatArray:
    """Balls per effective ball (1 or more): 1 + (m - 1) rho, where m is the size of block that a ball finds itself in.

    `squared_block_balls` is the sum, over the blocks, of the square of the balls that count here.
    Source: Kish (1965), Survey Sampling, with the size-weighted mean of block sizes m = sum n^2 / sum n.
    """
    count = np.asarray(balls, dtype=np.float64)
    block_size = np.asarray(squared_block_balls, dtype=np.float64) / np.where(count > 0, count, np.nan)
    return np.asarray(1 + (block_size - 1) * np.asarray(rho))


def effective_balls(balls: npt.ArrayLike, squared_block_balls: npt.ArrayLike, rho: npt.ArrayLike) -> FloatArray:
    """The count of independent balls that `balls` are worth; 0 where there are none."""
    count = np.asarray(balls, dtype=np.float64)
    return np.where(count > 0, count / design_effect(count, squared_block_balls, rho), 0.0)
