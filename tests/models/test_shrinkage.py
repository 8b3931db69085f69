"""Small counts pulled to the level of their group, against Gelman's rats, Weil's litters and Efron's batters."""

import numpy as np
import pytest
from scipy import optimize, special, stats

from models.effective_balls import effective_balls
from models.groups import group_rows
from models.shrinkage import CONCENTRATIONS, Posterior, log_likelihood, shrink
from tests.models.published import (
    CONTROL_LITTERS,
    HITS_OF_45,
    RATS,
    REST_OF_SEASON,
    TREATED_LITTERS,
    TUMOURS,
)


def likelihood_of_one_group(good, balls, level, concentration):
    return log_likelihood(group_rows(np.zeros(len(good))), good, balls, np.array([level]), concentration)[0]


def best_fit(good, balls):
    """The level and concentration of greatest likelihood."""

    def cost(point):
        return -likelihood_of_one_group(good, balls, special.expit(point[0]), np.exp(point[1]))

    found = optimize.minimize(cost, [0.0, 2.0], method="Nelder-Mead", options={"xatol": 1e-8, "fatol": 1e-10}).x
    return special.expit(found[0]), np.exp(found[1])


def full_integration(good, balls):
    """The slow oracle: level and concentration both on a fine grid, each row's mixture of Betas in full.

    Rows of equal counts are worked out once.
    """
    level, concentration = np.meshgrid(np.linspace(0.002, 0.998, 120), np.geomspace(1, 1000, 40))
    level, concentration = level.ravel(), concentration.ravel()
    prior = -np.log(concentration)
    alpha, beta = level * concentration, (1 - level) * concentration
    unlike, of_row, times = np.unique(np.array([good, balls]), axis=1, return_inverse=True, return_counts=True)
    log_weight = prior + sum(
        count * stats.betabinom.logpmf(g, n, alpha, beta) for (g, n), count in zip(unlike.T, times, strict=True)
    )
    weight = np.exp(log_weight - log_weight.max())
    weight /= weight.sum()
    kept = weight > 1e-6
    weight, alpha, beta = weight[kept], alpha[kept], beta[kept]

    def limit(tail, g, n):
        return optimize.brentq(
            lambda rate: weight @ special.betainc(g + alpha, n - g + beta, rate) - tail, 1e-9, 1 - 1e-9, xtol=1e-5
        )

    means = [weight @ ((g + alpha) / (n + alpha + beta)) for g, n in unlike.T]
    limits = [[limit(tail, g, n) for tail in (0.025, 0.975)] for g, n in unlike.T]
    return np.array(means)[of_row], np.array(limits)[of_row]


def test_the_typed_rats_are_those_of_the_book():
    """Mean and standard deviation of the seventy historical rates give a = 1.4 and b = 8.6 there (from memory)."""
    rates = np.array(TUMOURS[:70]) / np.array(RATS[:70])
    concentration = rates.mean() * (1 - rates.mean()) / rates.var(ddof=1) - 1

    assert pytest.approx((rates.mean(), rates.std(ddof=1)), abs=1e-6) == (0.136007, 0.103492)
    assert pytest.approx((rates.mean() * concentration, (1 - rates.mean()) * concentration), abs=0.05) == (1.4, 8.6)


@pytest.mark.parametrize(
    ("litters", "level", "rho"),
    [(CONTROL_LITTERS, 0.897976, 0.020196), (TREATED_LITTERS, 0.740007, 0.317436)],
    ids=["control", "treated"],
)
def test_the_likelihood_is_greatest_where_williams_found_it(litters, level, rho):
    """Williams (1975), Biometrics 31:949: .898 and .740, rho / (1 - rho) = .021 and .465 (from memory)."""
    found_level, concentration = best_fit(*np.array(litters, dtype=float))

    assert (level, rho) == pytest.approx((found_level, 1 / (1 + concentration)), abs=2e-5)


def test_the_likelihood_of_the_rats_is_greatest_at_the_known_place():
    """Maximum likelihood on the 71 experiments, found with scipy's betabinom: a = 2.34161, b = 14.11480."""
    level, concentration = best_fit(np.array(TUMOURS, float), np.array(RATS, float))

    assert pytest.approx((level * concentration, (1 - level) * concentration), rel=1e-3) == (2.34161, 14.11480)


def test_the_likelihood_of_the_batters_is_nearly_flat_at_a_tight_group():
    """Efron & Morris (1975): the best a + b is near 793, but the data hardly tell it from 2000."""
    good, balls = np.array(HITS_OF_45, float), np.full(18, 45.0)
    level, concentration = best_fit(good, balls)

    assert pytest.approx((level * concentration, (1 - level) * concentration), rel=0.05) == (210.55, 582.69)
    best, tighter = (likelihood_of_one_group(good, balls, level, tightness) for tightness in (concentration, 2000.0))
    assert 0 < best - tighter < 0.1


def test_the_likelihood_is_that_of_the_library():
    """scipy's beta-binomial, less the binomial coefficient."""
    good, balls = np.array([0.0, 3.0, 20.0]), np.array([5.0, 9.0, 20.0])

    ours = log_likelihood(group_rows([1, 2, 2]), good, balls, np.array([2.5 / 6.5, 0.5]), 6.5)

    full = stats.betabinom.logpmf(good, balls, [2.5, 3.25, 3.25], [4.0, 3.25, 3.25]) - np.log(
        special.binom(balls, good)
    )
    assert ours == pytest.approx([full[0], full[1] + full[2]], abs=1e-12)


def by_the_book(good, balls):
    """One group by the docstrings, in scipy's distributions: mean and variance of each row's rate.

    Level: a Beta of the effective balls (Kish 1965, balls of a row alike by 1 / (1 + concentration)) and one hit and
    one miss more. Its weight: likelihood x width (Laplace) x prior. A row: the Beta of two levels, one standard
    deviation up and down, each as likely; the law of total variance makes nothing else of any distribution of levels.
    """
    weights, means, squares = [], [], []
    for concentration in CONCENTRATIONS:
        worth = effective_balls(balls, balls**2, 1 / (1 + concentration))
        of_level = stats.beta(worth @ (good / balls) + 1, worth @ (1 - good / balls) + 1)
        shapes = (of_level.mean() * concentration, (1 - of_level.mean()) * concentration)
        weights.append(stats.betabinom.logpmf(good, balls, *shapes).sum() + np.log(of_level.std() / concentration))
        either = [
            stats.beta(good + level * concentration, balls - good + (1 - level) * concentration)
            for level in (of_level.mean() - of_level.std(), of_level.mean() + of_level.std())
        ]
        means.append(np.mean([one.mean() for one in either], axis=0))
        squares.append(np.mean([one.moment(2) for one in either], axis=0))
    share = np.exp(np.array(weights) - max(weights))
    mean, square = (share @ np.array(column) / share.sum() for column in (means, squares))
    return mean, square - mean**2


def test_a_pulled_rate_has_the_mean_and_the_variance_that_the_docstrings_say():
    """Of three groups at once, one of which is so long that its likelihood beside the others' is nothing in doubles."""
    draw = np.random.default_rng(2)
    group = np.repeat([1, 2, 3], [3, 5, 60])
    good = np.array([4, 1, 9, 2, 7, 0, 20, 3, *draw.binomial(30, draw.beta(5, 5, 60))])
    balls = np.array([4, 5, 30, 9, 8, 6, 40, 3, *np.full(60, 30)])

    posterior = shrink(group, good, balls)

    of_it = stats.beta(posterior.alpha, posterior.beta)
    for number in (1, 2, 3):
        mean, variance = by_the_book(good[group == number], balls[group == number])
        assert mean == pytest.approx(of_it.mean()[group == number], rel=1e-9)
        assert variance == pytest.approx(of_it.var()[group == number], rel=1e-9)


@pytest.mark.parametrize(
    ("good", "balls"),
    [([*TUMOURS[::4], 4], [*RATS[::4], 14]), (TREATED_LITTERS[0], TREATED_LITTERS[1]), ([4, 1, 9], [4, 5, 30])],
    ids=["rats", "litters", "three cells"],
)
def test_the_quick_integration_agrees_with_the_full_one(good, balls):
    """Rates within two points, even of three cells alone; the limits, of ranges of 15 to 65 points, within five."""
    means, limits = full_integration(good, balls)

    posterior = shrink(np.zeros(len(good)), good, balls)

    assert means == pytest.approx(posterior.rate, abs=0.02)
    assert limits[:, 0] == pytest.approx(posterior.quantile(0.025), abs=0.05)
    assert limits[:, 1] == pytest.approx(posterior.quantile(0.975), abs=0.05)


def test_the_current_rats_are_pulled_to_their_forerunners():
    """Gelman et al. (2013): 4 of 14, raw .286; their a = 1.4, b = 8.6 gives .223, their full posterior about .21."""
    assert shrink(np.zeros(71), TUMOURS, RATS).rate[-1] == pytest.approx(0.21, abs=0.01)


def test_pulled_rates_foretell_the_season_better_than_raw_ones():
    """Efron & Morris (1975): 16 of 18 batters closer, total squared error down from .0753 by a factor of 3.5."""
    raw, season = np.array(HITS_OF_45) / 45, np.array(REST_OF_SEASON)

    pulled = shrink(np.zeros(18), HITS_OF_45, np.full(18, 45)).rate

    assert np.sum((raw - season) ** 2) == pytest.approx(0.0753, abs=5e-4)
    assert np.sum(np.abs(pulled - season) < np.abs(raw - season)) >= 15
    assert np.sum((pulled - season) ** 2) < np.sum((raw - season) ** 2) / 3


def test_four_hits_in_four_balls_do_not_make_a_cell_safe():
    posterior = shrink(np.zeros(4), [4, 28, 30, 33], [4, 50, 50, 50])

    assert posterior.rate[0] < 0.80
    assert posterior.rate[0] > posterior.rate[1]


def test_a_cell_never_met_gets_what_its_group_lets_expect():
    posterior = shrink(np.zeros(5), [0, 28, 30, 33, 29], [0, 50, 50, 50, 50])
    length = posterior.quantile(0.975) - posterior.quantile(0.025)

    assert posterior.rate[0] == pytest.approx(0.6, abs=0.02)
    assert length[0] > length[1:].max()


@pytest.mark.parametrize("good", [0, 30], ids=["all missed", "all good"])
@pytest.mark.parametrize("cells", [1, 18, 150, 400])
def test_the_pulled_rate_lies_within_its_own_range_even_where_every_ball_of_every_cell_went_the_same_way(good, cells):
    posterior = shrink(np.zeros(cells), np.full(cells, good), np.full(cells, 30))

    assert np.all(posterior.quantile(0.025) <= posterior.rate)
    assert np.all(posterior.rate <= posterior.quantile(0.975))


def test_each_group_is_pulled_to_its_own_level_only():
    alone = shrink([1, 1, 1], [4, 28, 30], [4, 50, 50])
    beside_another = shrink([1, 2, 1, 1, 2], [4, 1, 28, 30, 3], [4, 40, 50, 50, 40])

    assert alone.rate == pytest.approx(beside_another.rate[[0, 2, 3]], abs=1e-12)


@pytest.mark.parametrize(
    ("good", "balls", "low", "high"),
    [(81, 263, 0.2545, 0.3656), (15, 148, 0.0604, 0.1576), (1, 29, 0.0037, 0.1501)],
)
def test_limits_are_the_quantiles_of_the_beta_distribution(good, balls, low, high):
    """With Jeffreys' prior, Brown, Cai & DasGupta (2001), Stat. Sci. 16:101."""
    posterior = Posterior(np.array(good + 0.5), np.array(balls - good + 0.5))

    assert low == pytest.approx(posterior.quantile(0.025), abs=5e-5)
    assert high == pytest.approx(posterior.quantile(0.975), abs=5e-5)
