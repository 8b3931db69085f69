"""Who met which of the wanted balls, as of a week, and who lacks what."""

from dataclasses import dataclass
from datetime import date

from dashboard.rows.building import Words
from models.estimates import Estimate, estimate


@dataclass(frozen=True, slots=True)
class BoardRow:
    """An active player as of a week; balls and sessions of the window; combinations and pairs empty without a target.

    `standing`: judged, or why the recent training cannot be.
    """

    player_id: str
    name: str
    group_name: str | None
    handedness: str
    standing: str
    last_logged_on: date | None
    balls: int
    sessions: int
    cells: int | None
    cells_covered: int | None
    pairs: int | None
    pairs_covered: int | None


@dataclass(frozen=True, slots=True)
class NeedRow:
    """Why an active player needs the coach, as of the last week in the log; the words of report.needs.

    `balls`: those that the reason is about. `window_balls`, `cells_covered` and `cells_wanted` (empty: no target) are
    of the player.
    """

    player_id: str
    name: str
    handedness: str
    reason: str
    rank: int
    weight: float
    balls: int
    share: float | None
    other_share: float | None
    low: float | None
    high: float | None
    cells: int | None
    depth: str | None
    side: str | None
    spin_family: str | None
    tempo_band: str | None
    last_logged_on: date | None
    window_balls: int
    cells_covered: int | None
    cells_wanted: int | None


@dataclass(frozen=True, slots=True)
class ValueRow:
    """How far a player covers the wanted combinations with one value of a dimension; the share is of 1."""

    player_id: str
    dimension: str
    value: str
    cells: int
    cells_covered: int
    share_covered: float
    balls: int
    last_met_on: date | None
    met_anyhow_on: date | None
    status: str


@dataclass(frozen=True, slots=True)
class CoverageRow:
    """How far a player has met one wanted combination; balls of the window, `last_met_on` empty: never yet."""

    player_id: str
    cell: str
    words: Words
    balls: int
    good: int
    last_met_on: date | None
    wanted_share: float
    need_balls: int
    status: str


@dataclass(frozen=True, slots=True)
class GapRow:
    """A wanted combination that a player lacks or is weak on, as of a day; shares of 1.

    `judged_balls` and the shrunk rate are of the judged weeks; the rate is empty where they hold none.
    """

    words: Words
    wanted_share: float
    balls: int
    need_balls: int
    last_met_on: date | None
    days_since: int | None
    status: str
    judged_balls: int
    shrunk_rate: float | None
    shrunk_low: float | None
    shrunk_high: float | None
    why: str

    @property
    def shrunk(self) -> Estimate | None:
        """The shrunk rate with its range."""
        return estimate(self.shrunk_rate, self.shrunk_low, self.shrunk_high)


@dataclass(frozen=True, slots=True)
class PairsRow:
    """Of two dimensions: how many pairs of their values a player's grid holds, and how many are covered."""

    dimension: str
    other_dimension: str
    pairs: int
    pairs_covered: int


@dataclass(frozen=True, slots=True)
class MissingPairRow:
    """Two values that a player has not met together often enough, with the balls of the window that had both."""

    dimension: str
    value: str
    other_dimension: str
    other_value: str
    balls: int
