"""Does the club's page stay quiet where there is nothing to find? Invented clubs without any difference.

In the null club every player, cell, session and mistake is alike. In the shuffled club the differences are real, but
the labels that carry them are dealt again within each player. Either way a finding is a false alarm, and one in
twenty is its nominal rate. The club with real differences stands beside them: there the findings must appear.
`uv run python -m tests.simulations.null_club --full` prints the whole table and fails where alarms are too many.
"""

from __future__ import annotations

import argparse
import sys
from dataclasses import dataclass, replace

import numpy as np
from scipy import stats

from models.effective_balls import club_correlation, effective_balls
from models.groups import group_rows
from models.mistakes import standing_out
from models.probes import Probe, probe_change
from models.rarely_met import MetCells, ReachSettings, reach
from models.shrinkage import shrink
from models.trend import trends
from models.variety_cost import CellBlocks, CostSettings, variety_cost
from tests.simulations.balls import ClubTruth, block_hits, play

NULL_CLUB = ClubTruth()
UNLIKE_CLUB = ClubTruth(player_sd=0.5, cell_sd=0.8, cost=0.20, rise=1.5, habit=0.5)
SEED = 20240607
NOMINAL = 0.05


@dataclass(frozen=True)
class Findings:
    """How many of the answers given claim a finding."""

    claimed: int
    answers: int

    @property
    def rate(self) -> float:
        """Share of answers that claim a finding."""
        return self.claimed / self.answers

    @property
    def is_quiet(self) -> bool:
        """Whether so many false alarms are believable at their nominal rate: chance exceeds it once in a thousand."""
        return self.claimed <= stats.binom.ppf(0.999, self.answers, NOMINAL)


def null_alarms(clubs, draws=2000):
    """Findings of each kind in clubs without differences."""
    return _all_findings([play(NULL_CLUB, SEED + club) for club in range(clubs)], draws)


def real_findings(clubs, draws=2000):
    """The same in clubs whose cells differ, whose players rise, lose on changes and are better at what they know."""
    return _all_findings([play(UNLIKE_CLUB, SEED + club) for club in range(clubs)], draws)


def shuffled_alarms(clubs, draws=2000):
    """The same in those clubs after the labels were dealt again within each player."""
    rounds = range(clubs)
    dealt = [deal_labels_again(play(UNLIKE_CLUB, SEED + club), np.random.default_rng(club)) for club in rounds]
    return _all_findings(dealt, draws)


def deal_labels_again(balls, draw):
    """Cells, first balls and the order of blocks re-dealt within each player; hits stay in their block."""
    by_player = (len(balls.skill), -1)
    cell, is_first = (
        draw.permuted(column.reshape(by_player), axis=1).ravel() for column in (balls.cell, balls.is_first)
    )
    blocks = np.tile(np.arange(balls.block.max() + 1), (len(balls.skill), 1))
    return replace(balls, cell=cell, is_first=is_first, block=draw.permuted(blocks, axis=1)[balls.player, balls.block])


def probe_alarms(players, seed=SEED):
    """Fixed test sets (six blocks of ten balls, twice, no true change) that claim better or worse."""
    draw = np.random.default_rng(seed)
    hits = block_hits(draw, 0.7, 0.05, np.full((players, 2, 6), 10)).sum(axis=2)
    verdicts = [probe_change(Probe(one, 60, 600), Probe(two, 60, 600), 0.05).verdict for one, two in hits.tolist()]
    return Findings(sum(verdict != "not_clear" for verdict in verdicts), players)


def mistake_alarms(players, seed=SEED):
    """Players, with the same mistakes on all of three spins, for whom any mistake stands out on a spin."""
    draw = np.random.default_rng(seed)
    hits = block_hits(draw, 0.7, 0.05, np.full((players, 3, 8), 30))
    kinds = draw.dirichlet(np.array([0.4, 0.3, 0.2, 0.1]) * 20, (players, 3, 8))
    mistakes = draw.multinomial(30 - hits, kinds).sum(axis=2)
    worth = effective_balls(np.full(3, 240), np.full(3, 8 * 30**2), 0.05)
    tables = np.concatenate([hits.sum(axis=2)[..., None], mistakes], axis=2)
    return Findings(sum(bool(standing_out(table, worth).any()) for table in tables), players)


def _all_findings(clubs, draws):
    rounds = [_findings(balls, draws, SEED + 1000 * number) for number, balls in enumerate(clubs)]
    kinds = {kind: np.concatenate([one[kind] for one in rounds]) for kind in rounds[0]}
    return {kind: Findings(int(claims.sum()), len(claims)) for kind, claims in kinds.items()}


def _findings(balls, draws, seed):
    """For each kind, one entry per answer: whether it claims a finding."""
    players = range(len(balls.skill))
    met = group_rows(balls.player, balls.block, balls.cell)
    player, block, cell = (column[met.first_row] for column in (balls.player, balls.block, balls.cell))
    good, count = met.sums(balls.is_good), met.sums(np.ones(len(balls.player)))
    first, first_good = met.sums(balls.is_first), met.sums(balls.is_first & balls.is_good)
    rho = club_correlation(player * 1000 + cell, good, count).rho
    expected, exposure = _rate_of_others(player, cell, good, count), _balls_of_own(player, cell, count)
    share = np.full(len(cell), 1 / balls.skill.shape[1])
    costs, reaches = [], []
    for number in players:
        rows = player == number
        columns = (block, cell, first_good, first, good - first_good, count - first, share)
        costs.append(variety_cost(CellBlocks(*(c[rows] for c in columns)), seed + number, CostSettings(draws=draws)))
        columns = (block, cell, good, count, exposure, expected)
        reaches.append(reach(MetCells(*(c[rows] for c in columns)), seed + number, ReachSettings(draws=draws)))
    return {
        "trend": _trend_findings(player, block, good, count),
        "cost": _leaves_out_zero(costs),
        "reach": _leaves_out_zero(reaches),
        "gap": _gap_findings(player, cell, good, count, rho),
    }


def _leaves_out_zero(answers):
    given = [one for one in answers if one.verdict != "too_few"]
    return np.array([one.low > 0 or one.high < 0 for one in given])


def _trend_findings(player, block, good, count):
    sessions = group_rows(player, block)
    first = sessions.first_row
    verdicts = trends(player[first], block[first], sessions.sums(good), sessions.sums(count)).verdict
    return np.isin(verdicts, ("rising", "falling"))


def _gap_findings(player, cell, good, count, rho):
    """The cells whose pulled range leaves out the player's own level."""
    own = group_rows(player, cell)
    worth = effective_balls(own.sums(count), own.sums(count**2), rho)
    owner = player[own.first_row]
    pulled = shrink(owner, own.sums(good) / own.sums(count) * worth, worth)
    level = (np.bincount(player, good) / np.bincount(player, count))[owner]
    return (pulled.quantile(0.025) > level) | (pulled.quantile(0.975) < level)


def _balls_of_own(player, cell, count):
    own = group_rows(player, cell)
    return own.sums(count)[own.of_row]


def _rate_of_others(player, cell, good, count):
    """The success of the other players on each row's cell, one hit and one miss added."""
    everyone, own = group_rows(cell), group_rows(player, cell)
    hits = everyone.sums(good)[everyone.of_row] - own.sums(good)[own.of_row]
    return (hits + 1) / (everyone.sums(count)[everyone.of_row] - own.sums(count)[own.of_row] + 2)


def main() -> int:
    """Print the share of findings of each kind; 1 if false alarms exceed their nominal rate beyond chance."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--full", action="store_true", help="a hundred clubs of twenty players each")
    clubs = 100 if parser.parse_args().full else 10
    alarms = {f"null club, {kind}": found for kind, found in null_alarms(clubs).items()}
    alarms |= {f"shuffled club, {kind}": found for kind, found in shuffled_alarms(clubs).items()}
    alarms |= {"fixed test set": probe_alarms(clubs * 20), "mistakes": mistake_alarms(clubs * 20)}
    for what, found in alarms.items():
        print(f"{what:24s} {found.rate:.3f} of {found.answers}{'' if found.is_quiet else '  <- too many'}")
    for kind, found in real_findings(clubs).items():
        print(f"{'real differences, ' + kind:24s} {found.rate:.3f} of {found.answers}")
    return 0 if all(found.is_quiet for found in alarms.values()) else 1


if __name__ == "__main__":
    sys.exit(main())
