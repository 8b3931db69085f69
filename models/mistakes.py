"""Which mistakes go with which spin: shares of net, long, wide and missed, and those that stand out."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from models.groups import BoolArray, FloatArray, group_rows
from models.intervals import newcombe_difference, wilson


@dataclass(frozen=True)
class OutcomeShares:
    """Shares (0 to 1) with their plausible range, each of shape (spins, outcomes); nan where there are no balls."""

    share: FloatArray
    low: FloatArray
    high: FloatArray


def outcome_shares(counts: npt.ArrayLike, effective_balls: npt.ArrayLike, confidence: float = 0.95) -> OutcomeShares:
    """Shares of the outcomes (columns) on each spin (rows); `effective_balls` has one entry per spin.

    The ranges of one spin hold together with the given confidence.
    Source: Goodman (1965), Technometrics 7:247: Wilson's range with the chance of error divided by the outcomes.
    """
    seen = np.asarray(counts, dtype=np.float64)
    share = _shares(seen)
    worth = np.asarray(effective_balls, dtype=np.float64)[:, None]
    plausible = wilson(share, worth, 1 - (1 - confidence) / seen.shape[1])
    return OutcomeShares(share, plausible.low, plausible.high)


def standing_out(
    window: npt.ArrayLike, counts: npt.ArrayLike, effective_balls: npt.ArrayLike, confidence: float = 0.95
) -> BoolArray:
    """Which outcomes are clearly more frequent on a spin than on the same window's other spins, shape (rows, outcomes).

    One row per spin of a window; `window` numbers the rows of one player that are compared with each other. On a player
    with no such habit the whole window stays empty with the given confidence.
    Source: Newcombe (1998), method 10, with the chance of error divided by the comparisons (Bonferroni).
    """
    seen, worth = np.asarray(counts, dtype=np.float64), np.asarray(effective_balls, dtype=np.float64)
    rows = group_rows(window)
    others = np.stack([rows.sums(column)[rows.of_row] for column in seen.T], axis=1) - seen
    share, others_share = _shares(seen), _shares(others)
    worth, others_worth = worth[:, None], (rows.sums(worth)[rows.of_row] - worth)[:, None]
    spins = rows.sizes[rows.of_row]
    stands_out = np.zeros(seen.shape, dtype=np.bool_)
    for count in np.unique(spins):
        at = spins == count
        each = float(1 - 2 * (1 - confidence) / (count * seen.shape[1]))
        change = newcombe_difference(share[at], worth[at], others_share[at], others_worth[at], each)
        stands_out[at] = change.low > 0
    return stands_out


def _shares(counts: FloatArray) -> FloatArray:
    total = counts.sum(axis=1, keepdims=True)
    return np.asarray(counts / np.where(total > 0, total, np.nan))
