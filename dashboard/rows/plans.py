"""A plan of a player's next session, with the rows that it is made of."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

from dashboard.rows.coach import GapRow
from models.planned import Plan


@dataclass(frozen=True)
class Proposal:
    """A plan of so many minutes for a day, and what is said of the gaps that it is made of, by rank."""

    player_id: str
    on: date
    minutes: float
    gaps: Mapping[int, GapRow]
    setups: Mapping[str, str]
    """The names of the setups by code."""
    plan: Plan
