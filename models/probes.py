"""A fixed test set (same cells, same setups), before, after and some days later: what changed beyond chance.

Judge learning by the delayed test: mixed practice usually looks worse on the day.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil
from typing import Literal

from models.effective_balls import design_effect
from models.intervals import balls_needed, minimal_detectable_change, newcombe_difference

ProbeVerdict = Literal["better", "worse", "not_clear"]


@dataclass(frozen=True)
class Probe:
    """The test set as it was fed before, or after: in one sitting, or in several.

    `squared_block_balls` is the sum over its blocks of the square of their balls, `squared_session_balls` the same over
    its sittings; left out, it was one sitting.
    """

    good: int
    balls: int
    squared_block_balls: int
    squared_session_balls: int | None = None

    @property
    def rate(self) -> float:
        """Success, 0 to 1."""
        return self.good / self.balls

    def balls_each_worth(self, rho: float, rho_session: float) -> float:
        """Balls for each effective one: they share the luck of their blocks and the form of their day."""
        squares = self.balls**2 if self.squared_session_balls is None else self.squared_session_balls
        return float(design_effect(self.balls, self.squared_block_balls, rho, squares, rho_session))


@dataclass(frozen=True)
class ProbeChange:
    """What changed between two sittings, in points of the rate (-1 to 1).

    `detectable_change` is the smallest change that these sittings could tell from chance. To see the change that the
    club wants to see it takes `balls_needed` before, and as many after; they must be spread on `sittings_needed` like
    these, for more balls on one day tell its form only.
    """

    change: float
    low: float
    high: float
    detectable_change: float
    balls_needed: float
    sittings_needed: int
    verdict: ProbeVerdict


def probe_change(
    before: Probe, after: Probe, rho: float, rho_session: float = 0.0, wanted_change: float = 0.10
) -> ProbeChange:
    """Compare two sittings of one test set; `rho` and `rho_session` are the club's correlations.

    That of balls of one block, and that of balls of two blocks of one session: the form of the day.
    ValueError when a sitting has no balls. The power of `balls_needed` is 0.8.
    Source: Newcombe (1998) on effective balls; Weir (2005) for the detectable change.
    """
    if not (before.balls and after.balls):
        raise ValueError(f"a test set has no balls: {before.balls} before, {after.balls} after; leave it out")
    effects = [probe.balls_each_worth(rho, rho_session) for probe in (before, after)]
    worth = [probe.balls / effect for probe, effect in zip((before, after), effects, strict=True)]
    limits = newcombe_difference(after.rate, worth[1], before.rate, worth[0])
    needed = float(balls_needed(before.rate, wanted_change, max(effects)))
    both = (before.good + after.good) / (before.balls + after.balls)
    return ProbeChange(
        change=after.rate - before.rate,
        low=float(limits.low),
        high=float(limits.high),
        detectable_change=float(minimal_detectable_change(both, worth[1], worth[0])),
        balls_needed=needed,
        sittings_needed=ceil(needed / min(before.balls, after.balls)),
        verdict="better" if limits.low > 0 else "worse" if limits.high < 0 else "not_clear",
    )
