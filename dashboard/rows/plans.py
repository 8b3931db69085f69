"""A plan of a player's next session, with the rows that it is made of."""

from collections.abc import Mapping
from dataclasses import dataclass

from dashboard.rows.coach import GapRow
from models.planning import Plan


@dataclass(frozen=True)
class Proposal:
    """A plan for so many minutes, and what the published tables say of the gaps that it is made of, by rank."""

    player_id: str
    minutes: float
    gaps: Mapping[int, GapRow]
    setups: Mapping[str, str]
    """The names of the setups by code."""
    plan: Plan
