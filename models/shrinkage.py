"""Small counts pulled towards the level of their group, with a range that keeps its promise.

Four hits in four balls do not make a cell safe. Each cell's rate is drawn from a Beta distribution around the level
of its group (empirical Bayes). How tightly the group holds together is itself uncertain: plugging in the single best
value gives ranges that cover too little (about 92% of 95%), so it is integrated over a grid.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
from scipy import special

from models.groups import FloatArray, Groups, group_rows

# Concentration = how many balls the group's level is worth to one of its cells: from one to all but equal cells.
CONCENTRATIONS = np.geomspace(1.0, 1000.0, 16)

LEAST_SHAPE = 0.01


@dataclass(frozen=True)
class Posterior:
    """What is believed of each row's rate: a Beta(alpha, beta) distribution."""

    alpha: FloatArray
    beta: FloatArray

    @property
    def rate(self) -> FloatArray:
        """The shrunk rate, 0 to 1."""
        return self.alpha / (self.alpha + self.beta)

    def quantile(self, share: float) -> FloatArray:
        """The rate that the true one stays below with this chance."""
        return np.asarray(special.betaincinv(self.alpha, self.beta, share))


def shrink(group: npt.ArrayLike, good: npt.ArrayLike, balls: npt.ArrayLike) -> Posterior:
    """Pull each row's rate towards the level of its group, the harder the fewer balls it has.

    One row per cell; `group` numbers the rows that share a level (the cells of one player in one window, say); `good`
    and `balls` are effective counts and need not be whole. A row without balls gets what its group lets expect.
    Source: Gelman et al. (2013), Bayesian Data Analysis, 3rd ed., section 5.3, with the prior that Morris & Tang
    (2011), Stat. Sci. 26:271, recommend for ranges that hold: flat on the variance between rows.
    """
    hits, count = np.asarray(good, dtype=np.float64), np.asarray(balls, dtype=np.float64)
    rows = group_rows(group)
    levels = [_group_level(rows, hits, count, concentration) for concentration in CONCENTRATIONS]
    weights = _weigh_concentrations(rows, hits, count, levels)
    mean, square = np.zeros(len(count)), np.zeros(len(count))
    for concentration, level, weight in zip(CONCENTRATIONS, levels, weights, strict=True):
        row_mean, row_variance = _row_moments(rows, hits, count, concentration, level)
        mean += weight[rows.of_row] * row_mean
        square += weight[rows.of_row] * (row_variance + row_mean**2)
    return _beta_with(mean, square - mean**2)


def log_likelihood(
    rows: Groups, good: FloatArray, balls: FloatArray, level: FloatArray, concentration: float
) -> FloatArray:
    """The beta-binomial log-likelihood of each group at its `level` (one per group, between 0 and 1).

    The binomial coefficient is left out: it depends on no parameter.
    """
    alpha, beta = level * concentration, (1 - level) * concentration
    hits = special.gammaln(good + alpha[rows.of_row]) + special.gammaln(balls - good + beta[rows.of_row])
    without_balls = special.gammaln(alpha) + special.gammaln(beta) - special.gammaln(concentration)
    seen = rows.sums(hits - special.gammaln(balls + concentration))
    return np.asarray(seen - rows.sizes * without_balls)


@dataclass(frozen=True)
class _Level:
    """A group's level and the variance of its estimate, at one concentration."""

    mean: FloatArray
    variance: FloatArray


def _group_level(rows: Groups, good: FloatArray, balls: FloatArray, concentration: float) -> _Level:
    """Rows weigh by what they tell: balls of one row share its luck. One hit and one miss are added (a flat prior)."""
    per_ball = (concentration + 1) / (concentration + balls)
    worth = rows.sums(balls * per_ball)
    mean = (rows.sums(good * per_ball) + 1) / (worth + 2)
    return _Level(mean, mean * (1 - mean) / (worth + 3))


def _weigh_concentrations(rows: Groups, good: FloatArray, balls: FloatArray, levels: list[_Level]) -> FloatArray:
    """The posterior weight of each concentration (rows) in each group (columns); the level integrated by Laplace."""
    log_weights = np.empty((len(levels), rows.count))
    for place, (concentration, level) in enumerate(zip(CONCENTRATIONS, levels, strict=True)):
        likelihood = log_likelihood(rows, good, balls, level.mean, concentration)
        # a flat prior on the spread between rows, 1 / concentration, which is 1 / concentration on a logarithmic grid
        log_weights[place] = likelihood + np.log(level.variance) / 2 - np.log(concentration)
    weights = np.exp(log_weights - log_weights.max(axis=0))
    return np.asarray(weights / weights.sum(axis=0))


def _row_moments(
    rows: Groups, good: FloatArray, balls: FloatArray, concentration: float, level: _Level
) -> tuple[FloatArray, FloatArray]:
    """Mean and variance of each row's rate at one concentration, the doubt about the level included."""
    mean = (good + concentration * level.mean[rows.of_row]) / (balls + concentration)
    from_level = (concentration / (balls + concentration)) ** 2 * level.variance[rows.of_row]
    return mean, from_level + (mean * (1 - mean) - from_level) / (balls + concentration + 1)


def _beta_with(mean: FloatArray, variance: FloatArray) -> Posterior:
    # Where a hundred cells and more never had a hit, a thinner tail would leave the mean outside its own range.
    fewest = LEAST_SHAPE / np.minimum(mean, 1 - mean)
    concentration = np.maximum(mean * (1 - mean) / variance - 1, fewest)
    return Posterior(mean * concentration, (1 - mean) * concentration)
