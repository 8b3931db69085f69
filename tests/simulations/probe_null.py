"""Is a test set that changed by nothing but the form of the day told to have changed?

Clubs of twenty players without any progress: their weekly training tells how alike balls of a block, and of a day, are;
then each sits the same test set twice. `uv run python -m tests.simulations.probe_null --full` prints how often a change
is claimed, and fails where that is more than six times in a hundred; without --full, a tenth of it.
"""

from __future__ import annotations

import argparse
import sys
from dataclasses import dataclass

import numpy as np
from scipy import special

from models.likeness import ClubCorrelation, MetBlocks, club_correlation
from models.probes import Probe, probe_change

SEED = 20261128
PLAYERS, WEEKS = 20, 26
LEVEL = 0.8
SESSION_SD, BLOCK_SD = 0.3, 0.3
"""The form of the day and the luck of a block, standard deviations on the logit scale."""

TRAINED_BLOCKS, TRAINED_BALLS = 3, 30
PROBE_BLOCKS, PROBE_BALLS = 6, 10


@dataclass(frozen=True)
class Alarms:
    """How many test sets were told to have changed: with the form of the day counted, and without."""

    sittings: int
    told: int
    without_the_day: int

    @property
    def rate(self) -> float:
        """Share that claims a change."""
        return self.told / self.sittings


def alarms(clubs: int, rise: float = 0.0, sittings: int = 1) -> Alarms:
    """Changes that are claimed between as many sittings before as after; `rise` is truly gained (logits)."""
    told = without = 0
    for club in range(clubs):
        draw = np.random.default_rng([SEED, club])
        alike = _measured(draw)
        shape = (PLAYERS, 2, sittings, PROBE_BLOCKS)
        hits = _hits(draw, shape, PROBE_BALLS, LEVEL + rise * np.array([0, 1])[:, None, None])
        for before, after in hits.sum(axis=(2, 3)).tolist():
            one, two = (_probe(good, sittings) for good in (before, after))
            told += probe_change(one, two, alike.rho, alike.rho_session).verdict != "not_clear"
            without += probe_change(one, two, alike.rho).verdict != "not_clear"
    return Alarms(clubs * PLAYERS, told, without)


def _probe(good: int, sittings: int) -> Probe:
    blocks, of_sitting = sittings * PROBE_BLOCKS, PROBE_BLOCKS * PROBE_BALLS
    return Probe(good, blocks * PROBE_BALLS, blocks * PROBE_BALLS**2, sittings * of_sitting**2)


def _hits(draw: np.random.Generator, shape: tuple[int, ...], balls: int, level: object) -> np.ndarray:
    """Hits in each block of that shape; the axis before the last are sessions, each with its form."""
    form = draw.normal(0, SESSION_SD, shape[:-1])[..., None] + draw.normal(0, BLOCK_SD, shape)
    return draw.binomial(balls, special.expit(level + form))


def _measured(draw: np.random.Generator) -> ClubCorrelation:
    """How alike balls are, from the training of the same club."""
    hits = _hits(draw, (PLAYERS, WEEKS, TRAINED_BLOCKS), TRAINED_BALLS, LEVEL)
    player, week, block = np.indices(hits.shape).reshape(3, -1)
    balls = np.full(hits.size, TRAINED_BALLS)
    expected = balls * hits.mean() / TRAINED_BALLS
    return club_correlation(
        MetBlocks(player * WEEKS + week // 4, np.zeros(hits.size), week, block, hits.ravel(), expected, balls)
    )


def main() -> int:
    """Print the share of false changes, and what several sittings tell; 1 where the first is more than .06."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--full", action="store_true", help="two hundred clubs")
    clubs = 200 if parser.parse_args().full else 20
    found = alarms(clubs)
    print(f"no change, told to have changed  {found.rate:.3f} of {found.sittings}, at most .060")
    print(f"the same without the form of the day  {found.without_the_day / found.sittings:.3f}")
    for sittings in (1, 2, 4, 8):
        seen = alarms(max(clubs // 10, 1), rise=0.5, sittings=sittings)
        print(f"half a logit better, {sittings} sittings before and after: told of {seen.rate:.3f}")
    return 0 if found.rate <= 0.06 < found.without_the_day / found.sittings else 1


if __name__ == "__main__":
    sys.exit(main())
