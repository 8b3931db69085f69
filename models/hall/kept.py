"""A plan of the hall that is kept for a day, turn by turn, and which of it is done."""

from dataclasses import dataclass
from datetime import date

from models.kept_plan import KeptBlock


@dataclass(frozen=True)
class KeptTurn:
    """A child's turn at a table: in which slot, when (minutes from the begin), and what is fed."""

    player: str
    slot: int
    station: int
    begins: float
    block: KeptBlock


@dataclass(frozen=True)
class KeptHall:
    """The tables by name and what feeds there, and all turns by time."""

    meant_for: date
    begins_at: str
    stations: tuple[tuple[str, str], ...]
    turns: tuple[KeptTurn, ...]

    @property
    def done(self) -> int:
        """How many turns are done."""
        return sum(turn.block.is_done for turn in self.turns)

    def at_station(self, station: int) -> tuple[KeptTurn, ...]:
        """The turns at one table, by time."""
        return tuple(turn for turn in self.turns if turn.station == station)

    @property
    def balls_by_player(self) -> dict[str, tuple[int, int]]:
        """For each child the balls that were fed of what is planned, and the planned ones."""
        found: dict[str, tuple[int, int]] = {}
        for turn in self.turns:
            fed, balls = found.get(turn.player, (0, 0))
            found[turn.player] = fed + min(turn.block.fed, turn.block.balls), balls + turn.block.balls
        return found
