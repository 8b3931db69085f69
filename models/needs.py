"""Why a player needs the coach: the reasons, how they are ordered, and when each of them holds.

A reason holds or does not; which kind of reason weighs more is a setting of ours without a published basis, and stands
here in one list. Within a kind the stronger comes first.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Literal, get_args

Reason = Literal[
    "one_place",
    "one_spin",
    "falls_on_change",
    "spin_tied",
    "no_log",
    "one_tempo",
    "few_balls",
    "no_target",
    "not_lately",
    "few_covered",
    "all_well",
]
"""The kinds of reasons; the first weighs most."""

REASONS: tuple[Reason, ...] = get_args(Reason)


@dataclass(frozen=True)
class Need:
    """A reason of one player: its strength within its kind (0 to 1), and what its sentence is made of.

    `share`: of the balls that it is about. `other_share`: what it is held against. `cells`: wanted combinations that it
    is about. `low`, `high`: the range of a share. `depth` to `tempo_band`: what the reason is about.
    """

    reason: Reason
    strength: float
    balls: int = 0
    share: float | None = None
    other_share: float | None = None
    low: float | None = None
    high: float | None = None
    cells: int | None = None
    depth: str | None = None
    side: str | None = None
    spin_family: str | None = None
    tempo_band: str | None = None

    @property
    def weight(self) -> float:
        """Whole part: the kind, the last of which has 0. Fraction: the strength within it."""
        return len(REASONS) - 1 - REASONS.index(self.reason) + min(max(self.strength, 0.0), 1.0) * 0.999


def in_order(needs: Iterable[Need]) -> list[Need]:
    """The heaviest first; all is well where there is nothing else."""
    return sorted(needs, key=lambda need: -need.weight) or [Need("all_well", 0.0)]


def only_one(balls_of: Mapping[str, int], wanted: Iterable[str], least_share: float) -> tuple[str, float] | None:
    """The value that nearly all balls have, and their share; None where there is none, or only one is wanted.

    `balls_of`: balls by value. `least_share` from which on they count as all, for one stray ball changes nothing.
    """
    total = sum(balls_of.values())
    if not total or len(set(wanted)) < 2:
        return None
    value = max(balls_of, key=lambda one: (balls_of[one], one))
    share = balls_of[value] / total
    return (value, share) if share >= least_share else None
