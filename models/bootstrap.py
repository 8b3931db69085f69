"""How far a figure could have come out otherwise, had chance dealt the player other blocks of the same kind.

Whole blocks are drawn again, never single balls, because balls of one block resemble each other.
"""

from __future__ import annotations

import numpy as np
from scipy import special

from models.groups import FloatArray


def resample_blocks(block_totals: FloatArray, draws: int, seed: int) -> FloatArray:
    """Totals of `draws` re-dealt sets of blocks: shape (blocks, ...) becomes (draws, ...). The seed fixes the deal.

    Source: the cluster bootstrap, Davison & Hinkley (1997), Bootstrap Methods and their Application, section 3.8.
    """
    blocks = len(block_totals)
    dealt = np.random.default_rng(seed).integers(0, blocks, size=(draws, blocks))
    place = dealt + blocks * np.arange(draws)[:, None]
    times_dealt = np.bincount(place.ravel(), minlength=draws * blocks).reshape(draws, blocks)
    totals = times_dealt.astype(np.float64) @ block_totals.reshape(blocks, -1)
    return np.asarray(totals.reshape(draws, *block_totals.shape[1:]))


def expanded_percentiles(drawn: FloatArray, blocks: int, confidence: float) -> tuple[float, float]:
    """The range that holds the drawn values, made wider for few blocks; draws without a value (nan) are passed over.

    Plain percentiles are too short by sqrt((blocks - 1) / blocks) and by the normal quantile in place of Student's t.
    Source: Hesterberg (2015), The American Statistician 69:371, the expanded percentile interval.
    """
    quantile = special.stdtrit(blocks - 1, 0.5 + confidence / 2)
    tail = float(special.ndtr(-np.sqrt(blocks / (blocks - 1)) * quantile))
    low, high = np.nanquantile(drawn, [tail, 1 - tail])
    return float(low), float(high)
