"""Do the shipped ranges keep their promise? Thousands of invented players whose true rate is known.

`uv run python -m tests.simulations.interval_honesty --full` prints the whole table and fails where a
shipped range covers outside 93% to 97% or a naive one does not fail; without --full, a quarter of it.
"""

from __future__ import annotations

import argparse
import itertools
import sys
from dataclasses import dataclass, replace

import numpy as np
import polars as pl
from scipy import special

from models.effective_balls import effective_balls
from models.groups import group_rows
from models.intervals import Interval, newcombe_difference, wilson
from models.likeness import MetBlocks, club_correlation
from models.shrinkage import CONCENTRATIONS, Posterior, log_likelihood, shrink
from models.slopes import fit_slopes, gather_sessions
from models.trend import trends
from tests.simulations.balls import ClubTruth, block_hits, play, session_hits
from tests.simulations.bars import CLUBS, DRIFTS, clubs_of
from tests.simulations.strained import difficulty_of, trends_of, true_change
from tests.simulations.warehoused import judged

SEED = 20240607
OTHER_PLAYERS = 12
CLUBS_TOGETHER = 6


@dataclass(frozen=True)
class Coverage:
    """How often the true value lay in the shipped range and in the naive one, which takes balls for independent.

    Where days have their form the naive range takes blocks for independent, unless it comes from a whole club.
    """

    what: str
    shipped: float
    naive: float = np.nan
    naive_must_fail: bool = True
    least: float = 0.93
    most: float = 0.97

    @property
    def is_honest(self) -> bool:
        """Whether the shipped range keeps its promise, and the check could tell if it did not."""
        return self.least <= self.shipped <= self.most and not (self.naive_must_fail and self.naive >= 0.90)


def rate_coverage(rate, blocks, rho, persistence=0.0, replicates=4000, seed=SEED):
    """One player's rate over a few blocks of 15 to 45 balls; the correlation comes from twelve others."""
    draw = np.random.default_rng(seed)
    balls = draw.integers(15, 46, (replicates, OTHER_PLAYERS + 1, blocks))
    hits = block_hits(draw, rate, rho, balls, persistence)
    own_balls, own_rate = balls[:, 0].sum(axis=1), hits[:, 0].sum(axis=1) / balls[:, 0].sum(axis=1)
    correlations = [_of_others(hits[one, 1:], balls[one, 1:]).rho for one in range(replicates)]
    worth = effective_balls(own_balls, (balls[:, 0] ** 2).sum(axis=1), correlations)
    return Coverage(
        f"rate {rate:.2f}, {blocks:2d} blocks, correlation {rho:.2f}, persistence {persistence:.1f}",
        _holds(wilson(own_rate, worth), rate),
        _holds(wilson(own_rate, own_balls), rate),
        naive_must_fail=rho > 0,
    )


def day_coverage(rate, sessions, rho, replicates=4000, seed=SEED):
    """One player's rate over sessions of three blocks of 15 to 45 balls; the form of the day is half of `rho`.

    The naive range takes the luck of blocks for all there is, as blocks each on a day of their own would show it.
    """
    draw = np.random.default_rng(seed)
    balls = draw.integers(15, 46, (replicates, OTHER_PLAYERS + 1, sessions, 3))
    hits = session_hits(draw, rate, rho, rho / 2, balls)
    own, own_rate = balls[:, 0], hits[:, 0].sum(axis=(1, 2)) / balls[:, 0].sum(axis=(1, 2))
    alike = [_of_others(hits[one, 1:], balls[one, 1:]) for one in range(replicates)]
    of_block, of_session = (np.array(both) for both in zip(*((one.rho, one.rho_session) for one in alike), strict=True))
    counts = own.sum(axis=(1, 2)), (own**2).sum(axis=(1, 2)), of_block
    worth = effective_balls(*counts, (own.sum(axis=2) ** 2).sum(axis=1), of_session)
    return Coverage(
        f"rate {rate:.2f}, {sessions} sessions of 3 blocks, correlation {rho:.2f}, half of it the day's",
        _holds(wilson(own_rate, worth), rate),
        _holds(wilson(own_rate, effective_balls(*counts)), rate),
    )


def difference_coverage(rho, replicates=4000, seed=SEED):
    """No true change between five blocks of thirty balls and five more."""
    draw = np.random.default_rng(seed)
    balls = np.full((replicates, OTHER_PLAYERS + 2, 5), 30)
    hits = block_hits(draw, 0.65, rho, balls)
    rates = hits[:, :2].sum(axis=2) / 150
    correlations = [_of_others(hits[one, 2:], balls[one, 2:]).rho for one in range(replicates)]
    worth = effective_balls(np.full(replicates, 150), np.full(replicates, 5 * 30**2), correlations)
    return Coverage(
        f"change of a rate, 5 + 5 blocks, correlation {rho:.2f}",
        _holds(newcombe_difference(rates[:, 1], worth, rates[:, 0], worth), 0),
        _holds(newcombe_difference(rates[:, 1], 150, rates[:, 0], 150), 0),
    )


def trend_coverage(sessions, slope=0.0, replicates=4000, seed=SEED):
    """The slope over sessions of 25 to 55 balls; the naive one is a plain logistic regression."""
    draw = np.random.default_rng(seed)
    balls = draw.integers(25, 56, (replicates, sessions))
    time = np.tile(np.linspace(0, 1, sessions), replicates)
    true_rate = special.expit(special.logit(0.65) + slope * (time - 0.5)).reshape(balls.shape)
    hits, player = block_hits(draw, true_rate, 0.05, balls).ravel(), np.repeat(np.arange(replicates), sessions)
    ours = trends(player, time, hits, balls.ravel())
    plain = fit_slopes(gather_sessions(player, time, hits, balls.ravel(), np.zeros(len(time))))
    off = np.abs(plain.slope - slope / 2) / np.sqrt(plain.slope_variance)
    return Coverage(
        f"slope {slope:.1f} over {sessions} sessions",
        float(np.mean((ours.slope_low <= slope) & (slope <= ours.slope_high))),
        float(np.mean(off < 1.959964)),
    )


def cell_coverage(replicates=400, seed=SEED):
    """Pulled rates of thirty cells with 8 to 59 independent balls; the naive range takes the spread for known."""
    draw = np.random.default_rng(seed)
    player = np.repeat(np.arange(replicates), 30)
    balls, true_rate = draw.integers(8, 60, len(player)), draw.beta(7, 3, len(player))
    hits = draw.binomial(balls, true_rate)
    covered = [
        np.mean((pulled.quantile(0.025) <= true_rate) & (true_rate <= pulled.quantile(0.975)))
        for pulled in (shrink(player, hits, balls), _pulled_by_best_guess(player, hits, balls))
    ]
    return Coverage("pulled rates of 30 cells", *map(float, covered), naive_must_fail=False)


def _pulled_by_best_guess(player, hits, balls):
    """Plug-in empirical Bayes: each player's level and the likeliest concentration, as if they were known."""
    groups = group_rows(player)
    level = groups.sums(hits) / groups.sums(balls)
    fits = [log_likelihood(groups, hits, balls, level, concentration) for concentration in CONCENTRATIONS]
    best = CONCENTRATIONS[np.argmax(fits, axis=0)]
    alpha, beta = (level * best)[groups.of_row], ((1 - level) * best)[groups.of_row]
    return Posterior(hits + alpha, balls - hits + beta)


def cell_in_blocks_coverage(rho, replicates=400, seed=SEED):
    """Pulled rates of eighteen cells met in three blocks of 5 to 15 balls, on effective balls and on plain ones."""
    draw = np.random.default_rng(seed)
    player, true_rate = np.repeat(np.arange(replicates), 18), draw.beta(7, 3, replicates * 18)
    balls = draw.integers(5, 16, (len(player), 3))
    hits = block_hits(draw, true_rate[:, None], rho, balls)
    total, own = balls.sum(axis=1), hits.sum(axis=1) / balls.sum(axis=1)
    measured = _of_others(hits, balls).rho
    worth = effective_balls(total, (balls**2).sum(axis=1), measured)
    covered = []
    for count in (worth, total):
        pulled = shrink(player, own * count, count)
        covered.append(np.mean((pulled.quantile(0.025) <= true_rate) & (true_rate <= pulled.quantile(0.975))))
    return Coverage(
        f"pulled rates of 18 cells in blocks, correlation {rho:.2f}", *map(float, covered), naive_must_fail=rho > 0.05
    )


UNLIKE_CLUB = ClubTruth(player_sd=0.5, cell_sd=0.6)
WITH_FORM_OF_THE_DAY = replace(UNLIKE_CLUB, session_sd=UNLIKE_CLUB.block_sd, blocks_in_session=3)


def club_coverages(clubs=100, truth=UNLIKE_CLUB, seed=SEED):
    """The rates of twenty players of unlike clubs as the warehouse publishes them, plain and on the wanted mix."""
    plain, standard = [], []
    for some in _together(clubs):
        of_plain, of_standard = _holds_in_clubs([play(truth, seed + club) for club in some], truth)
        plain.append(of_plain)
        standard.append(of_standard)
    days = ", days have their form" if truth.session_sd else ""
    return [
        Coverage(what, *np.concatenate(held, axis=1).mean(axis=1).tolist(), least=0.91, most=0.99)
        for what, held in ((f"published rate of a player{days}", plain), ("the same on the wanted mix", standard))
    ]


def _together(clubs):
    """The numbers of the clubs, those that share a warehouse together."""
    return [range(first, min(first + CLUBS_TOGETHER, clubs)) for first in range(0, clubs, CLUBS_TOGETHER)]


def _holds_in_clubs(clubs, truth):
    """Whether the shipped and the naive range of each player hold the truth, plain and standardised."""
    tables = judged(clubs, "report.success", "report.standard_success", window_days=7 * truth.blocks)
    plain, standard = (table.filter(pl.col("week") == pl.col("week").max()) for table in tables.values())
    true = np.concatenate([_true_rates(balls, truth) for balls in clubs], axis=1)
    return _both_hold(plain.filter(pl.col("cut") == "all"), true[0]), _both_hold(standard, true[1])


def _both_hold(table, true_rate):
    shipped, naive = Interval(*table.select("low", "high").to_numpy().T), wilson(table["rate"], table["balls"])
    return np.array([(one.low <= true_rate) & (true_rate <= one.high) for one in (shipped, naive)])


def _true_rates(balls, truth):
    """Each player's mean over the balls fed and over the cells met, and over luck (Gauss-Hermite)."""
    nodes, weights = np.polynomial.hermite_e.hermegauss(25)
    luck = np.hypot(truth.block_sd, truth.session_sd) * nodes
    by_cell = special.expit(balls.skill[:, :, None] + luck) @ (weights / weights.sum())
    fed = np.bincount(balls.player * truth.cells + balls.cell, minlength=by_cell.size).reshape(by_cell.shape)
    return [(by_cell * weight).sum(axis=1) / weight.sum(axis=1) for weight in (fed, fed > 0)]


def cost_coverage(clubs=100, seed=SEED):
    """What twenty players of each club lose when the ball changes: twenty points, on every kind of ball."""
    held = []
    for some in _together(clubs):
        played = [play(ClubTruth(cost=0.20, cell_sd=0.6), seed + club) for club in some]
        told = judged(played, "report.variety_cost")["report.variety_cost"].drop_nulls("cost")
        held.append(((told["low"] <= 0.20) & (told["high"] >= 0.20)).to_numpy())
    share = float(np.concatenate(held).mean())
    return Coverage("cost of a change", share, naive_must_fail=False, least=0.91, most=0.99)


def change_coverages(players=400):
    """The range of the change in a trend, where the mix drifts while players rise by .6 logits."""
    for (name, club), drift in itertools.product(CLUBS.items(), DRIFTS):
        strain, held = replace(club, drift=drift, rise=0.6), []
        for season in clubs_of(strain, players):
            found, true = trends_of(season, difficulty_of(season)), true_change(strain, season)
            held += ((found.change_low <= true) & (true <= found.change_high))[: strain.judged_players].tolist()
        yield Coverage(f"change of {name}, drift {drift:.1f}", float(np.mean(held)), naive_must_fail=False)


def _of_others(hits, balls):
    """How alike balls are in blocks (players, sessions) or (players, sessions, blocks) of one kind of ball."""
    by_session = (hits, balls) if hits.ndim == 3 else (hits[..., None], balls[..., None])
    player, session, block = np.indices(by_session[0].shape).reshape(3, -1)
    good, fed = (counts.ravel() for counts in by_session)
    log = MetBlocks(player, np.zeros(hits.size), session, block, good, fed / 2, fed)
    return club_correlation(log, least_freedom=1)


def _holds(interval, true_value):
    return float(np.mean((interval.low <= true_value) & (true_value <= interval.high)))


def every_coverage(scale):
    """All settings, at `scale` times the full number of replicates."""
    many = int(4000 * scale)
    for rate, blocks, rho in itertools.product((0.65, 0.85), (3, 5, 8, 20), (0.0, 0.05, 0.10)):
        yield rate_coverage(rate, blocks, rho, replicates=many)
    for rate, blocks in itertools.product((0.65, 0.85), (3, 5, 8, 20)):
        yield rate_coverage(rate, blocks, 0.05, persistence=0.2, replicates=many)
    for rate, sessions, rho in itertools.product((0.65, 0.85), (4, 8), (0.05, 0.10)):
        yield day_coverage(rate, sessions, rho, replicates=many)
    yield from (difference_coverage(rho, replicates=many) for rho in (0.05, 0.10))
    yield from (trend_coverage(sessions, slope) for sessions in (6, 12, 24) for slope in (0.0, 0.8))
    yield cell_coverage(replicates=many // 4)
    yield from (cell_in_blocks_coverage(rho, replicates=many // 4) for rho in (0.05, 0.10))
    for truth in (UNLIKE_CLUB, WITH_FORM_OF_THE_DAY):
        yield from club_coverages(clubs=many // 40, truth=truth)
    yield cost_coverage(clubs=many // 40)
    yield from change_coverages(players=many // 8)


def main() -> int:
    """Print every coverage; 1 if any is not honest."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--full", action="store_true", help="4,000 replicates of each setting")
    is_honest = True
    for one in every_coverage(1.0 if parser.parse_args().full else 0.25):
        is_honest &= one.is_honest
        mark = "" if one.is_honest else "  <- not honest"
        print(f"{one.what:62s} shipped {one.shipped:.3f}  naive {one.naive:.3f}{mark}", flush=True)
    return 0 if is_honest else 1


if __name__ == "__main__":
    sys.exit(main())
