"""The club's settings: thresholds without a published basis, each with its meaning. Read from club.toml."""

from calendar import monthrange
from datetime import UTC, date, datetime
from zoneinfo import ZoneInfo, available_timezones

from pydantic import BaseModel, ConfigDict, Field, field_validator

HURRIED_S = 0.45
"""Visual reaction of the feet, at all levels: 0.43 to 0.45 s (ITTF Sports Science Congress 2025, paper 322967)."""


class Settings(BaseModel):
    """Everything a club may set. The values here are to begin with; none of them is a published standard."""

    model_config = ConfigDict(frozen=True, extra="forbid")

    club_id: str = Field(
        "club",
        min_length=1,
        max_length=40,
        pattern=r"^[a-z0-9][a-z0-9_-]*$",
        description="short name of the club, part of every key; lower case letters, digits, - and _",
    )
    club_name: str = Field("Our club", min_length=1, max_length=80, description="the name shown on the screens")
    club_colour: str = Field(
        "#2E4A8C",
        pattern=r"^#[0-9A-Fa-f]{6}$",
        description="the colour of the name's mark, such as #2E4A8C; made lighter or darker until it can be read",
    )
    time_zone: str = Field(
        "",
        max_length=60,
        description="the zone in whose time the pages tell when something was done, and which day it is once they are "
        "served anew, such as Europe/Prague; empty is that of the machine",
    )
    is_invented: bool = Field(False, description="the data are invented; every page says so")
    retention_months: int = Field(
        0,
        ge=0,
        le=600,
        description="months without a log after which a player is listed as due to be forgotten; 0 is no limit",
    )
    trail_months: int = Field(
        24, ge=0, le=600, description="months after which an entry of the audit trail is removed; 0 is no limit"
    )
    coordinator_idle_hours: int = Field(
        24,
        ge=1,
        le=14 * 24,
        description="hours after which a coordinator's browser that asked for nothing is signed out; everybody else's "
        "after 14 days",
    )
    coordinator_most_days: int = Field(
        7,
        ge=1,
        le=90,
        description="days after which a coordinator signs in anew in any case; everybody else after 90",
    )
    most_taps: int = Field(
        1000, ge=10, le=10_000, description="taps that one block counted at the table may have; undone ones count too"
    )
    taps_kept_days: int = Field(
        30,
        ge=1,
        le=3650,
        description="days for which the taps of a block that is in the log are kept beside it, for late ones to join",
    )
    counts_own_balls: bool = Field(
        True,
        description="balls that players logged of themselves count in every figure before a coach has accepted them; "
        "false leaves them out until then",
    )
    spare_room_mb: int = Field(
        100,
        ge=0,
        le=1_000_000,
        description="megabytes that a build leaves free on the disk, beside what it needs itself",
    )
    window_days: int = Field(
        28, ge=7, le=365, multiple_of=7, description="days that count as recent, ending with the Sunday of a week"
    )
    covered_balls: int = Field(10, ge=1, le=500, description="balls in the window that make a combination covered")
    rate_balls: int = Field(20, ge=1, le=500, description="fewest balls for which a success rate is shown")
    variety_short_share: float = Field(
        0.5,
        ge=0,
        le=1,
        description="a player who covers less of the target grid than this is counted as short of variety",
    )
    single_share: float = Field(
        0.95,
        gt=0.5,
        le=1,
        description="from this share of the balls on, a player is said to train from one place, with one spin or at "
        "one tempo only",
    )
    tie_chance: float = Field(
        0.01,
        gt=0,
        le=0.5,
        description="a tie of spin and place is told where shuffled logs tie as much at most this often (share of 1)",
    )
    tie_share: float = Field(
        0.2,
        ge=0,
        le=1,
        description="a tie is told where the place gives away at least this much of what there is to know of the spin",
    )
    stale_share: float = Field(
        0.25,
        gt=0,
        le=1,
        description="from this share of the wanted mix on that was met before but not lately, a player needs the coach",
    )
    likeness_decay: float = Field(
        2.0, gt=0, le=10, description="how fast two balls become different as their words move apart"
    )
    slow_below_bpm: float = Field(40, gt=0, le=200, description="tempo below this is slow")
    fast_from_bpm: float = Field(60, gt=0, le=200, description="tempo from this on is fast")
    back_below_cm: float = Field(30, ge=-600, le=137, description="a feeder with x below this stands back")
    near_from_cm: float = Field(91, ge=-600, le=137, description="a feeder with x from this on stands near the net")
    centre_within_cm: float = Field(
        25, ge=0, le=350, description="a feeder at most this far from the centre line stands in the centre"
    )
    spread_balls: int = Field(
        5,
        ge=1,
        le=100,
        description="fewest balls per wanted combination for which the spread over the grid is told; below it, "
        "coverage only",
    )
    order_balls: int = Field(
        12, ge=2, le=500, description="fewest balls, logged one by one, for which an order is named"
    )
    order_balls_per_kind: int = Field(
        3, ge=1, le=100, description="fewest balls of each kind, on average, to tell serial from random"
    )
    blocked_below: float = Field(
        0.5, ge=0, le=2, description="fewer changes than this share of a shuffle's are called blocked"
    )
    serial_below: float = Field(
        0.25, ge=0, le=1, description="a next ball more predictable than this is called serial (1 = not predictable)"
    )
    entropy_balls: int = Field(
        10, ge=1, le=1000, description="balls per pair of conditions below which predictability is not told"
    )
    judged_weeks: int = Field(
        26, ge=4, le=520, description="weeks, up to the last day in the log, over which trends and changes are judged"
    )
    assumed_likeness: float = Field(
        0.05, ge=0, le=1, description="how alike balls of one block are taken to be until the club's own log tells it"
    )
    likeness_comparisons: int = Field(
        30,
        ge=1,
        le=10000,
        description="comparisons between blocks, or between sessions, from which the log tells how alike balls are",
    )
    trend_sessions: int = Field(
        6,
        ge=3,
        le=200,
        description="fewest sessions for which a trend is judged, and changed or rare balls are compared with others",
    )
    trend_balls: int = Field(120, ge=20, le=10000, description="fewest balls for which a trend is judged")
    small_change: float = Field(
        0.10, gt=0, lt=1, description="a change of the success rate smaller than this does not matter (share of 1)"
    )
    compared_blocks: int = Field(
        8, ge=2, le=500, description="fewest blocks for which balls after a change are compared with repeated ones"
    )
    compared_balls: int = Field(30, ge=5, le=5000, description="fewest balls of either kind for such a comparison")
    straight_within_deg: float = Field(
        6, ge=0, le=90, description="a ball that crosses the table by at most this angle comes straight"
    )
    sharp_from_deg: float = Field(
        18, ge=0, le=90, description="a ball that crosses the table by this angle or more comes sharply"
    )
    hurried_below_s: float = Field(
        HURRIED_S,
        ge=0,
        le=3,
        description="less time than this from release to contact is hurried; about what the feet need to react",
    )
    unhurried_from_s: float = Field(
        0.7, ge=0, le=3, description="this much time from release to contact, or more, is unhurried"
    )
    calibration_days: int = Field(
        180,
        ge=1,
        le=3650,
        description="landings noted so many days before a feeder's latest, or earlier, no longer calibrate it",
    )
    calibration_balls: int = Field(6, ge=3, le=500, description="fewest landings from which a dial is calibrated")
    planned_balls: int = Field(
        30, ge=1, le=500, description="fewest balls of one kind in a plan: for fewer the feeder is hardly worth setting"
    )
    block_pause_minutes: float = Field(
        2, ge=0, le=60, description="minutes that a plan leaves for each block beside its balls: setting, picking up"
    )
    feeder_move_minutes: float = Field(
        3, ge=0, le=60, description="minutes that a plan leaves for each move of the feeder"
    )
    hall_minutes: float = Field(
        180, ge=10, le=1440, description="minutes for which the club has the hall: no plan of it is longer"
    )
    hall_begins_at: str = Field(
        "18:00", pattern=r"^([01]\d|2[0-3]):[0-5]\d$", description="when a session in the hall begins, as 18:00"
    )
    hall_wait_minutes: float = Field(
        30, ge=5, le=300, description="longest that a child waits in the hall from one turn of its own to the next"
    )
    hall_balls: int = Field(
        300, ge=10, le=5000, description="most balls that a plan of the hall feeds one child in one session"
    )

    closing_minutes: float = Field(
        12, ge=0, le=60, description="minutes at the end of a planned session for balls in random order; 0 is none"
    )

    @field_validator("time_zone")
    @classmethod
    def _is_a_zone(cls, name: str) -> str:
        if name and name not in available_timezones():
            raise ValueError("expected a name of the tz database, such as Europe/Prague")
        return name

    def local(self, instant: datetime) -> datetime:
        """An instant, of UTC where it names no zone, as the clock on the club's wall has it: without a zone."""
        in_utc = instant if instant.tzinfo else instant.replace(tzinfo=UTC)
        return in_utc.astimezone(ZoneInfo(self.time_zone) if self.time_zone else None).replace(tzinfo=None)

    def logs_kept_since(self, today: date) -> date | None:
        """Players without a log since this day are due to be forgotten; None where there is no limit."""
        return _months_before(today, self.retention_months) if self.retention_months else None

    def trail_kept_since(self, today: date) -> date | None:
        """The first day of which the audit trail is kept; None where there is no limit."""
        return _months_before(today, self.trail_months) if self.trail_months else None


def _months_before(day: date, months: int) -> date:
    """The same day of an earlier month, or its last where it is shorter."""
    year, month = divmod(12 * day.year + day.month - 1 - months, 12)
    return date(year, month + 1, min(day.day, monthrange(year, month + 1)[1]))
