"""Success on the same mix of balls: the rate a player would have if the balls came in the shares of the target.

Without it, who trained the easier balls looks the better player (Simpson's paradox).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt

from models.groups import FloatArray, Groups, IntArray, group_rows
from models.intervals import wilson

ROUNDING = 1e-12
"""A rate this near to 0 or 1 is 0 or 1."""


@dataclass(frozen=True)
class StandardRates:
    """One entry per group, in ascending order of its number `group`.

    `effective_balls` is the count of independent balls that would give the rate as surely: compare two rates with
    `intervals.newcombe_difference` on it. `target_share_seen` is the share of the target mix the rate speaks for.
    """

    group: npt.NDArray[Any]
    rate: FloatArray
    low: FloatArray
    high: FloatArray
    effective_balls: FloatArray
    target_share_seen: FloatArray


@dataclass(frozen=True)
class SharedLuck:
    """Which balls are alike, row by row: those of one `block` by `rho`, those of other blocks of a `session` by less.

    The numbers may be used again by another group.
    """

    block: npt.ArrayLike
    session: npt.ArrayLike
    rho: float
    rho_session: float


def standard_rates(
    group: npt.ArrayLike,
    cell: npt.ArrayLike,
    good: npt.ArrayLike,
    balls: npt.ArrayLike,
    target_share: npt.ArrayLike,
    luck: SharedLuck,
    confidence: float = 0.95,
) -> StandardRates:
    """Standardise rows that are one cell in one block, for each group (a player in one window, say).

    `target_share` is the wanted share of the row's cell (0 to 1); shares are scaled to those of the cells seen.
    Balls share their luck whichever cell they are of.
    Source: direct standardisation, Fleiss, Levin & Paik (2003), ch. 19, with Wilson's range on the effective balls.
    """
    count, hits = np.asarray(balls, dtype=np.float64), np.asarray(good, dtype=np.float64)
    played = (count > 0) & (np.asarray(target_share) > 0)
    numbers, blocks, sessions, cells_of, count, hits, wanted = (
        np.asarray(column)[played] for column in (group, luck.block, luck.session, cell, count, hits, target_share)
    )
    groups, cells = group_rows(numbers), group_rows(numbers, cells_of)
    rhos = (luck.rho - luck.rho_session, luck.rho_session)
    shared = [(group_rows(numbers, of), rho) for of, rho in zip((blocks, sessions), rhos, strict=True)]
    share_seen = groups.sums(_once_per_cell(cells.first_row, wanted))
    weight = wanted / cells.sums(count)[cells.of_row] / share_seen[groups.of_row]
    rate = np.clip(groups.sums(weight * hits), 0, 1)  # Where every ball was good, the sum is 1 but for rounding.
    spread = _relative_spread(cells, hits, count, rate[groups.of_row])
    worth = np.fmin(*(_worth(groups, shared, count, w) for w in (weight, weight * spread)))  # the more careful
    plausible = wilson(rate, worth, confidence)
    return StandardRates(numbers[groups.first_row], rate, plausible.low, plausible.high, worth, share_seen)


def _once_per_cell(first_row: IntArray, share: FloatArray) -> FloatArray:
    """The share on one row of each cell, 0 on its others."""
    once = np.zeros(len(share))
    once[first_row] = share[first_row]
    return once


def _relative_spread(cells: Groups, good: FloatArray, balls: FloatArray, rate: FloatArray) -> FloatArray:
    """How much a ball of the row's cell varies, against one at the group's rate (standard deviations; nan at 0 or 1).

    The cell's own rate is pulled by two balls to the group's, so that one lucky ball is not taken for certainty.
    """
    own = (cells.sums(good)[cells.of_row] + 2 * rate) / (cells.sums(balls)[cells.of_row] + 2)
    usual = rate * (1 - rate)
    return np.sqrt(own * (1 - own) / np.where(usual > ROUNDING, usual, np.nan))


def _worth(groups: Groups, shared: list[tuple[Groups, float]], balls: FloatArray, weight: FloatArray) -> FloatArray:
    """Effective balls of a weighted mean; balls of one block, then of one session, share that part of their luck.

    They share it across cells, too.
    """
    together = sum(
        part * np.bincount(groups.of_row[whole.first_row], weights=whole.sums(balls * weight) ** 2)
        for whole, part in shared
    )
    alone = 1 - sum(part for _, part in shared)
    return np.asarray(1 / (alone * groups.sums(balls * weight**2) + together))
