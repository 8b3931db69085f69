"""Variety at equal numbers of balls: who had more balls met more combinations, which says nothing of the mix.

Sources: Hurlbert (1971), Ecology 52:577, for the combinations; Chao & Jost (2012), Ecology 93:2533, for the coverage.
"""

from __future__ import annotations

import numpy as np
import numpy.typing as npt
from scipy import special

from models.groups import FloatArray


def expected_combinations(counts: npt.ArrayLike, balls: int) -> float:
    """How many combinations so many balls, drawn from these, would hold on average: sum of 1 - C(N - n, m) / C(N, m).

    `counts` are the balls of each combination met. ValueError for more balls than there are: nothing is extrapolated.
    """
    met = _counts(counts, balls)
    return float(np.sum(1 - _left_out(met, met.sum(), balls)))


def expected_coverage(counts: npt.ArrayLike, balls: int) -> float:
    """The chance (0 to 1) that one more ball would be of a combination met among so many, drawn from these.

    Of fewer balls than there are: 1 - sum n/N C(N - n, m) / C(N - 1, m). Of all of them it is estimated from the
    combinations met once and twice (Chao & Jost 2012, eq. 4a). ValueError for more balls than there are.
    """
    met = _counts(counts, balls)
    total = met.sum()
    if balls < total:
        return float(1 - np.sum(met / total * _left_out(met, total - 1, balls, total)))
    once, twice = np.count_nonzero(met == 1), np.count_nonzero(met == 2)
    pairs, singles = (2 * twice, (total - 1) * once) if twice else (2, (total - 1) * (once - 1))
    return float(1 - once / total * singles / (singles + pairs)) if once else 1.0


def _counts(counts: npt.ArrayLike, balls: int) -> FloatArray:
    met = np.asarray(counts, dtype=np.float64)
    met = met[met > 0]
    if not 0 < balls <= met.sum():
        raise ValueError(f"{balls} balls were asked of {met.sum():g}; take from 1 to that many")
    return met


def _left_out(met: FloatArray, of: float, balls: int, total: float | None = None) -> FloatArray:
    """The chance that none of `balls`, drawn from `of`, is of each combination: C(N - n, m) / C(of, m)."""
    rest = (of if total is None else total) - met
    log_chance = _log_choose(rest, balls) - _log_choose(np.full_like(met, of), balls)
    return np.asarray(np.where(rest >= balls, np.exp(log_chance), 0.0))


def _log_choose(of: FloatArray, balls: int) -> FloatArray:
    enough = np.maximum(of, balls)
    return np.asarray(special.gammaln(enough + 1) - special.gammaln(balls + 1) - special.gammaln(enough - balls + 1))
