"""How far a figure could have come out otherwise, had chance dealt the player other blocks or sessions of the kind.

Whole ones are drawn again, never single balls, because balls that belong together resemble each other.
"""

from __future__ import annotations

from functools import lru_cache

import numpy as np
import numpy.typing as npt
from scipy import special

from models.groups import FloatArray


def resample_whole(totals: FloatArray, draws: int, seed: int) -> FloatArray:
    """Totals of `draws` re-dealt sets: shape (blocks or sessions, ...) becomes (draws, ...). The seed fixes the deal.

    Source: the cluster bootstrap, Davison & Hinkley (1997), Bootstrap Methods and their Application, section 3.8.
    """
    times_dealt = _times_dealt(len(totals), draws, seed).astype(np.float64)
    if totals.ndim < 3:
        return np.asarray(times_dealt @ totals)
    dealt = np.zeros((draws, *totals.shape[1:]))
    for cell in range(totals.shape[1]):  # Few blocks hold a cell: a product over all would mostly add nothing.
        held = totals[:, cell].any(axis=1)
        dealt[:, cell] = times_dealt[:, held] @ totals[held, cell]
    return dealt


@lru_cache(maxsize=32)  # Players with as many blocks are dealt alike, and so is the next build.
def _times_dealt(blocks: int, draws: int, seed: int) -> npt.NDArray[np.uint16]:
    """How often each deal (rows) holds each block."""
    dealt = np.random.default_rng(seed).integers(0, blocks, size=(draws, blocks))
    place = dealt + blocks * np.arange(draws)[:, None]
    return np.bincount(place.ravel(), minlength=draws * blocks).reshape(draws, blocks).astype(np.uint16)


def expanded_percentiles(drawn: FloatArray, blocks: int, confidence: float) -> tuple[float, float]:
    """The range that holds the drawn values, made wider for few blocks; draws without a value (nan) are passed over.

    Plain percentiles are too short by sqrt((blocks - 1) / blocks) and by the normal quantile in place of Student's t.
    Source: Hesterberg (2015), The American Statistician 69:371, the expanded percentile interval.
    """
    quantile = special.stdtrit(blocks - 1, 0.5 + confidence / 2)
    tail = float(special.ndtr(-np.sqrt(blocks / (blocks - 1)) * quantile))
    low, high = np.nanquantile(drawn, [tail, 1 - tail])
    return float(low), float(high)
