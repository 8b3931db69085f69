"""What the club's lists say now, line by line, as whoever keeps them changes them."""

from dataclasses import asdict, dataclass
from datetime import date, datetime
from typing import Any


@dataclass(frozen=True, slots=True)
class ListedPlayer:
    """A player as the log has them; empty: not noted."""

    player_id: str
    name: str
    handedness: str
    group_name: str | None
    birth_year: int | None
    level: str | None
    joined_on: date | None
    is_active: bool
    consent_on: date | None
    hand_since: date | None

    @property
    def line(self) -> dict[str, Any]:
        """The columns of the players log."""
        values = asdict(self)
        for column, field in {"player": "player_id", "group": "group_name", "active": "is_active"}.items():
            values[column] = values.pop(field)
        return values


@dataclass(frozen=True, slots=True)
class ListedFeeder:
    """A feeder with the ranges of its dials, in marks; empty: not noted, or it has no such dial."""

    feeder: str
    name: str
    make: str | None
    speed_dial_lowest: float
    speed_dial_highest: float
    spin_dial_lowest: float | None
    spin_dial_highest: float | None
    note: str | None


@dataclass(frozen=True, slots=True)
class ListedSetup:
    """A setup as it stands now; places in cm, angles in degrees, empty: not noted."""

    setup: str
    name: str
    feeding: str | None
    feeder: str | None
    x_cm: float
    y_cm: float
    release_height_cm: float | None
    yaw_deg: float | None
    net_folded: bool | None
    valid_from: date
    note: str | None


@dataclass(frozen=True, slots=True)
class WantedShareRow:
    """One wanted value of a target in force; the share is of 1 within its dimension."""

    target: str
    applies_to: str
    dimension: str
    value: str
    share: float


@dataclass(frozen=True, slots=True)
class SavedRow:
    """A batch of one of the club's lists; time in UTC."""

    batch: int
    file_name: str
    lines_accepted: int
    loaded_by: str | None
    loaded_at: datetime
    is_withdrawn: bool


@dataclass(frozen=True, slots=True)
class CoveredRow:
    """How much of the wanted grid an active player covers in the last week of the log; empty: no target, no log."""

    player_id: str
    name: str
    cells: int | None
    cells_covered: int | None
