"""Which mistakes go with which spin: shares of net, long, wide and missed, and those that stand out."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from models.groups import BoolArray, FloatArray
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


def standing_out(counts: npt.ArrayLike, effective_balls: npt.ArrayLike, confidence: float = 0.95) -> BoolArray:
    """Which outcomes are clearly more frequent on a spin than on the player's other spins, shape (spins, outcomes).

    On a player with no such habit the whole table stays empty with the given confidence.
    Source: Newcombe (1998), method 10, with the chance of error divided by the comparisons (Bonferroni).
    """
    seen = np.asarray(counts, dtype=np.float64)
    worth = np.asarray(effective_balls, dtype=np.float64)[:, None]
    others, others_worth = seen.sum(axis=0) - seen, worth.sum() - worth
    share, others_share = _shares(seen), _shares(others)
    each = 1 - 2 * (1 - confidence) / max(seen.size, 1)
    return newcombe_difference(share, worth, others_share, others_worth, each).low > 0


def _shares(counts: FloatArray) -> FloatArray:
    total = counts.sum(axis=1, keepdims=True)
    return np.asarray(counts / np.where(total > 0, total, np.nan))
