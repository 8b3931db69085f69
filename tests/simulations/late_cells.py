"""A ball never met before a day, fed since: is it told to be a weakness where it is one, and only there?

What is expected of a player is taken from all balls of the judged weeks at one level. Who rises or falls meets the new
ball at another. `uv run python -m tests.simulations.late_cells` prints, for rises of the level over the season
(logits), how often new balls and others are called weak where none is, and new ones where they lie a logit below.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from tests.simulations.strained import Strain, difficulty_of, play, weak_kinds

SEED = 20261128
CLUBS = 6
DESIGN_EFFECT = 1.27
"""Of ten balls that are alike by .03, the form of days of the club."""
CLUB = Strain(late_sessions=8)
RISES = (-1.5, -0.75, 0.0, 0.75, 1.5)


def called_weak(strain: Strain, clubs: int = CLUBS) -> tuple[float, float]:
    """The share of the balls met late, and of the others, that are told to be weaknesses."""
    told: tuple[list[bool], list[bool]] = ([], [])
    for seed in range(clubs):
        club = play(strain, SEED + seed)
        difficulty = difficulty_of(club)
        for player in range(strain.players):
            kinds, is_weak = weak_kinds(club, difficulty, player, DESIGN_EFFECT)
            for kind, weak in zip(kinds, is_weak, strict=True):
                told[0 if strain.is_late[player, kind] else 1].append(bool(weak))
    return float(np.mean(told[0])), float(np.mean(told[1]))


def main() -> None:
    """Print the shares for every rise."""
    for rise in RISES:
        strain = replace(CLUB, rise=rise)
        new, old = called_weak(strain)
        found, _ = called_weak(replace(strain, late_weakness=1.0))
        print(f"rise {rise:+.2f}: weak without reason {new:.3f} of new balls, {old:.3f} of others; found {found:.3f}")


if __name__ == "__main__":
    main()
