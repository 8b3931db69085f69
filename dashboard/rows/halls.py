"""A plan of the hall, with the names that it is told by."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta

from models.hall.told import HallPlan


@dataclass(frozen=True)
class HallOrder:
    """What a coach asks for: who is here, the tables (`robot`, or the code of a feeder or a setup), and the minutes."""

    players: tuple[str, ...]
    stations: tuple[str, ...]
    minutes: float
    on: date
    begins_at: time
    breaks: int = 0


@dataclass(frozen=True)
class HallSession:
    """A plan of the hall for a day, and the names of its players and setups by code."""

    on: date
    begins_at: time
    plan: HallPlan
    names: Mapping[str, str]
    setups: Mapping[str, str]

    def at(self, minutes: float) -> datetime:
        """So many minutes after the begin, by the clock on the club's wall."""
        return datetime.combine(self.on, self.begins_at) + timedelta(minutes=minutes)
