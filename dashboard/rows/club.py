"""What came in, who has no log, which lines were refused, and who is stored."""

from dataclasses import dataclass, replace
from datetime import date, datetime

from models.settings import Settings
from models.stance import Handedness


@dataclass(frozen=True, slots=True)
class BuildRow:
    """The publication in force; times in UTC, `settings` as JSON, `cut_off` empty: no log yet."""

    number: int
    built_at: datetime
    settings: str
    cut_off: date | None


@dataclass(frozen=True, slots=True)
class PlayerRow:
    """An active player."""

    player_id: str
    name: str
    handedness: Handedness
    group_name: str | None


@dataclass(frozen=True, slots=True)
class BatchRow:
    """A file or form that came in, with the numbers of its lines; times in UTC, empty: in force.

    `taken`: how it was read, in words. `is_own`: a player logged it of themselves; accepted_by empty: nobody has.
    """

    batch: int
    kind: str
    file_name: str
    lines_read: int
    lines_accepted: int
    lines_refused: int
    loaded_by: str | None
    loaded_at: datetime
    withdrawn_at: datetime | None
    withdrawn_by: str | None
    taken: str
    is_own: bool
    accepted_by: str | None

    def by_the_clock_of(self, club: Settings) -> "BatchRow":
        """The same, its times as the club's own clock has them."""
        withdrawn_at = self.withdrawn_at and club.local(self.withdrawn_at)
        return replace(self, loaded_at=club.local(self.loaded_at), withdrawn_at=withdrawn_at)


@dataclass(frozen=True, slots=True)
class TableBlockRow:
    """A block that was counted at the table; time in UTC. `counted_by` was signed in; `coach` is whom they noted."""

    batch: int
    player_id: str
    session_id: str
    session_date: date
    block: int
    balls: int
    good: int
    counted_by: str
    coach: str | None
    loaded_at: datetime
    is_own: bool
    accepted_by: str | None

    @property
    def waits(self) -> bool:
        """The player counted it of themselves, and no coach has accepted it."""
        return self.is_own and self.accepted_by is None


@dataclass(frozen=True, slots=True)
class OwnBallsRow:
    """How many of a player's balls in the window are the player's own word, not accepted by anybody."""

    player_id: str
    balls: int
    own_balls: int


@dataclass(frozen=True, slots=True)
class ClubWeekRow:
    """A week of the club, by its Monday; minutes empty: none noted."""

    week: date
    sessions: int
    players: int
    balls: int
    minutes: float | None
    lines_refused: int
    players_active: int
    players_with_log: int
    players_short_of_variety: int


@dataclass(frozen=True, slots=True)
class WithoutLogRow:
    """An active player without a log in a week, with the day of the last one before it."""

    player_id: str
    name: str
    group_name: str | None
    last_logged_on: date | None


@dataclass(frozen=True, slots=True)
class GroupDayRow:
    """A group on a day of a week: of its active players, those with a log on the day, and in the week. -: no group."""

    group_name: str
    day: date
    players_active: int
    players_with_log: int
    players_with_log_in_week: int


@dataclass(frozen=True, slots=True)
class GroupCoachRow:
    """Who led a group in most of the weeks before a week, of those with a log. -: no group."""

    group_name: str
    coach: str
    weeks_led: int
    weeks_logged: int


@dataclass(frozen=True, slots=True)
class PlayerDayRow:
    """A player on a day of a week; no sessions: no log of the day. Group -: none noted."""

    player_id: str
    name: str
    group_name: str
    day: date
    sessions: int
    balls: int
    week_balls: int


@dataclass(frozen=True, slots=True)
class RefusedRow:
    """A fault of a refused line, with the line as typed: `header` and `cells` are JSON lists.

    `taken`: how the file was read, in words. `day`: the one that the line belongs to. `column_name` empty: the line as
    a whole. `line_name`: how a line that mends this one names it.
    """

    batch: int
    file_name: str
    header: str
    taken: str
    day: date
    line: int
    line_name: str
    cells: str
    column_name: str | None
    seen: str
    expected: str
    to_do: str
    is_mended: bool


@dataclass(frozen=True, slots=True)
class StoredRow:
    """A player who is stored, active or not."""

    player_id: str
    name: str
    group_name: str | None
    is_active: bool
    consent_on: date | None
    last_logged_on: date | None
