"""Does success hold up when the ball changes? The first ball after a change beside the same ball again.

One player's balls of one kind are compared with each other, and the range comes from dealing the player's sessions
again: some days are mixed and others are not, and the blocks of a day share its form. Were blocks dealt, one player in
ten without any cost would seem to have one.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np
import numpy.typing as npt

from models.bootstrap import expanded_percentiles, resample_whole
from models.groups import BoolArray, FloatArray, Groups, group_rows

CostVerdict = Literal["holds_up", "falls", "not_clear", "too_few"]


@dataclass(frozen=True)
class CostSettings:
    """What a verdict needs; club settings without a published basis.

    `least_sessions`, `least_blocks` and `least_balls` (of either kind) below which nothing is said;
    `least_cell_sessions` in which a cell must have been met both ways to count; `small_cost` (points of the rate, 0 to
    1) that still counts as holding up.
    """

    least_sessions: int = 6
    least_blocks: int = 8
    least_balls: int = 30
    least_cell_sessions: int = 2
    small_cost: float = 0.10
    draws: int = 2000
    confidence: float = 0.95


@dataclass(frozen=True)
class VarietyCost:
    """Points of success (-1 to 1) lost on the first ball after a change, against repeats of the same cell.

    `target_share_seen` is the share of the target mix (0 to 1) met often enough in both ways to compare. Cost and
    range are nan, and the balls count all the same, where the verdict is too_few.
    """

    first_balls: float
    repeat_balls: float
    cost: float
    low: float
    high: float
    target_share_seen: float
    verdict: CostVerdict


@dataclass(frozen=True)
class CellBlocks:
    """One player's ball-by-ball log, one row per cell and block: balls right after a change, and repeats.

    `target_share` is the wanted share of the row's cell.
    """

    session: npt.NDArray[np.int64]
    block: npt.NDArray[np.int64]
    cell: npt.NDArray[np.int64]
    first_good: FloatArray
    first_balls: FloatArray
    repeat_good: FloatArray
    repeat_balls: FloatArray
    target_share: FloatArray


def variety_cost(log: CellBlocks, seed: int, settings: CostSettings | None = None) -> VarietyCost:
    """The cost of a change for one player, standardised to the target mix over the cells met in both ways.

    The seed fixes the deal of the bootstrap: the same log and seed give the same range, to the last digit.
    """
    settings = settings or CostSettings()
    totals, cells = _session_cell_totals(log)
    share = np.asarray(log.target_share, dtype=np.float64)[cells.first_row]
    is_compared = _is_met_often(totals, settings) & (share > 0)
    blocks = len(np.unique(log.block[is_compared[cells.of_row]]))
    totals, weights = totals[:, is_compared], share[is_compared]
    totals = totals[totals.any(axis=(1, 2))]
    first_balls, repeat_balls = totals[:, :, 1].sum(), totals[:, :, 3].sum()
    seen = float(weights.sum())
    is_enough = len(totals) >= settings.least_sessions and blocks >= settings.least_blocks
    if not is_enough or min(first_balls, repeat_balls) < settings.least_balls:
        return VarietyCost(first_balls, repeat_balls, np.nan, np.nan, np.nan, seen, "too_few")
    cost = float(_costs(totals.sum(axis=0)[None], weights)[0])
    drawn = _costs(resample_whole(totals, settings.draws, seed), weights)
    low, high = expanded_percentiles(drawn, len(totals), settings.confidence)
    return VarietyCost(first_balls, repeat_balls, cost, low, high, seen, _verdict(low, high, settings))


def _session_cell_totals(log: CellBlocks) -> tuple[FloatArray, Groups]:
    """(sessions, cells, 4): good first, first, good repeat, repeat balls; and the cells."""
    sessions, cells = group_rows(log.session), group_rows(log.cell)
    totals = np.zeros((sessions.count, cells.count, 4))
    columns = (log.first_good, log.first_balls, log.repeat_good, log.repeat_balls)
    np.add.at(totals, (sessions.of_row, cells.of_row), np.stack(columns, axis=1))
    return totals, cells


def _is_met_often(totals: FloatArray, settings: CostSettings) -> BoolArray:
    """Whether each cell came up, right after a change and repeated, in enough sessions to show how they differ."""
    sessions_with = (totals[:, :, [1, 3]] > 0).sum(axis=0)
    return np.asarray(sessions_with.min(axis=1) >= settings.least_cell_sessions)


def _costs(totals: FloatArray, weights: FloatArray) -> FloatArray:
    """Cost of each deal (deals, cells, 4); a cell that a deal left out in one way does not speak in that deal."""
    first, repeat = _ratio(totals[..., 0], totals[..., 1]), _ratio(totals[..., 2], totals[..., 3])
    is_seen = ~np.isnan(first - repeat)
    lost = np.where(is_seen, repeat - first, 0.0) @ weights
    return _ratio(lost, is_seen @ weights)


def _ratio(part: FloatArray, whole: FloatArray) -> FloatArray:
    with np.errstate(invalid="ignore"):  # of no balls there is no rate
        return np.asarray(part / whole)


def _verdict(low: float, high: float, settings: CostSettings) -> CostVerdict:
    if high < settings.small_cost:
        return "holds_up"
    return "falls" if low > 0 else "not_clear"
