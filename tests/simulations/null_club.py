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

from models.effective_balls import club_correlation, effective_balls
from models.mistakes import standing_out
from models.probes import Probe, probe_change
from models.rarely_met import MetCells, ReachSettings, reach
from models.shrinkage import shrink
from models.trend import trends
from models.variety_cost import CellBlocks, CostSettings, variety_cost
from tests.simulations.balls import ClubTruth, play

NULL_CLUB = ClubTruth()
UNLIKE_CLUB = ClubTruth(player_sd=0.5, cell_sd=0.8, cost=0.20, rise=1.5)
SEED = 20240607


@dataclass(frozen=True)
class Alarms:
    """Share of answers that claim a finding, for each kind of finding."""

    trend: float
    cost: float
    reach: float
    gap: float

    def named(self):
        """Kinds and shares."""
        return vars(self).items()


def null_alarms(clubs, draws=2000):
    """Findings in clubs without differences."""
    return _mean_alarms([_alarms(play(NULL_CLUB, SEED + club), draws) for club in range(clubs)])


def real_findings(clubs, draws=2000):
    """Findings in clubs whose cells differ, whose players rise, and who lose twenty points when the ball changes."""
    return _mean_alarms([_alarms(_with_hard_rare_cells(play(UNLIKE_CLUB, SEED + club)), draws) for club in range(clubs)])


def shuffled_alarms(clubs, draws=2000):
    """The same clubs after their labels were dealt again within each player."""
    rounds = []
    for club in range(clubs):
        draw = np.random.default_rng(SEED + club)
        balls = _with_hard_rare_cells(play(UNLIKE_CLUB, SEED + club))
        rounds.append(_alarms(_shuffled(balls, draw), draws))
    return _mean_alarms(rounds)
