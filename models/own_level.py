"""What a player's balls are expected to give: as hard as others find them, at the player's own level."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt
from scipy import optimize, special

from models.groups import FloatArray

FARTHEST = 30.0
"""No player is so many logits away from the club."""


def at_own_level(ease: npt.ArrayLike, good: npt.ArrayLike, balls: npt.ArrayLike) -> FloatArray:
    """The expected rate of each row, its ease (logits) moved by one amount so that the player's total comes out.

    One player's rows. Half a hit and half a miss are added: a clean sheet has no level.
    """
    logit, count = np.asarray(ease, dtype=np.float64), np.asarray(balls, dtype=np.float64)
    total = count.sum()
    hits = (np.sum(good) + 0.5) * total / (total + 1)
    level = optimize.brentq(lambda move: np.sum(count * special.expit(logit + move)) - hits, -FARTHEST, FARTHEST)
    return np.asarray(special.expit(logit + level))
