"""A fixed test set (same cells, same setups), before, after and some days later: what changed beyond chance.

Judge learning by the delayed test: mixed practice usually looks worse on the day.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from models.effective_balls import design_effect
from models.intervals import balls_needed, minimal_detectable_change, newcombe_difference

ProbeVerdict = Literal["better", "worse", "not_clear"]


@dataclass(frozen=True)
class Probe:
    """One sitting of the test set. `squared_block_balls` is the sum over its blocks of the square of their balls."""

    good: int
    balls: int
    squared_block_balls: int

    @property
    def rate(self) -> float:
        """Success, 0 to 1."""
        return self.good / self.balls


@dataclass(frozen=True)
class ProbeChange:
    """What changed between two sittings, in points of the rate (-1 to 1).

    `detectable_change` is the smallest change that these sittings could tell from chance; `balls_needed` the balls
    that each sitting would need to see the change that the club wants to see.
    """

    change: float
    low: float
    high: float
    detectable_change: float
    balls_needed: float
    verdict: ProbeVerdict


def probe_change(before: Probe, after: Probe, rho: float, wanted_change: float = 0.10) -> ProbeChange:
    """Compare two sittings of one test set; `rho` is the club's correlation within blocks.

    ValueError when a sitting has no balls. The power of `balls_needed` is 0.8.
    Source: Newcombe (1998) on effective balls; Weir (2005) for the detectable change.
    """
    if not (before.balls and after.balls):
        raise ValueError(f"a test set has no balls: {before.balls} before, {after.balls} after; leave it out")
    effects = [float(design_effect(probe.balls, probe.squared_block_balls, rho)) for probe in (before, after)]
    worth = [probe.balls / effect for probe, effect in zip((before, after), effects, strict=True)]
    limits = newcombe_difference(after.rate, worth[1], before.rate, worth[0])
    both = (before.good + after.good) / (before.balls + after.balls)
    return ProbeChange(
        change=after.rate - before.rate,
        low=float(limits.low),
        high=float(limits.high),
        detectable_change=float(minimal_detectable_change(both, worth[1], worth[0])),
        balls_needed=float(balls_needed(before.rate, wanted_change, max(effects))),
        verdict="better" if limits.low > 0 else "worse" if limits.high < 0 else "not_clear",
    )
