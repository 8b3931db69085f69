"""Clubs of a federation, as a body is told of them: counts and means of enough players, nobody."""

from dataclasses import dataclass
from datetime import date


@dataclass(frozen=True, slots=True)
class FederatedClubRow:
    """An age group of a club; `age_group` and all after it empty: none is large enough to be told.

    `coverage` is a mean of players' shares of 1 with its 95% range; empty: too few players who can be judged.
    """

    club_id: str
    club_name: str
    exported_on: date
    last_logged_on: date | None
    age_group: str | None
    players: int | None
    players_with_log: int | None
    players_judged: int | None
    coverage: float | None
    coverage_low: float | None
    coverage_high: float | None


@dataclass(frozen=True, slots=True)
class WeekOfClubRow:
    """A club in the window that ends with a week."""

    week: date
    players_with_log: int
    players_judged: int
    coverage: float | None
    coverage_low: float | None
    coverage_high: float | None


@dataclass(frozen=True, slots=True)
class ValueOfClubRow:
    """A word of a dimension: how many players of a club met it in the last window, and its share of the balls."""

    dimension: str
    value: str
    players: int
    share: float
