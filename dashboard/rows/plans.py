"""A plan of a player's next session, with the rows that it is made of."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

from dashboard.rows.coach import GapRow
from models.feeder_setup import FeederSetup
from models.planned import Plan, Stand
from models.stance import Handedness
from models.worth import Wanted


@dataclass(frozen=True)
class Proposal:
    """A plan of so many minutes for a day, and what is said of the gaps that it is made of, by rank."""

    player_id: str
    on: date
    minutes: float
    gaps: Mapping[int, GapRow]
    wanted: tuple[Wanted, ...]
    """How the player stands to all that is wanted."""
    hand: Handedness
    stands: Mapping[str, Stand]
    feeders: Mapping[str, FeederSetup]
    """The setups by code: as the player meets them, and as the feeder stands there."""
    plan: Plan

    @property
    def setups(self) -> dict[str, str]:
        """The names of the setups by code."""
        return {code: feeder.name or code for code, feeder in self.feeders.items()}
