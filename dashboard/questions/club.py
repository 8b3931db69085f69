"""What the coordinator asks: what came in, who has no log, which lines were refused."""

from datetime import date

from dashboard.questions.asking import Desk, answer, answer_rows
from dashboard.rows.club import (
    BatchRow,
    ClubWeekRow,
    GroupCoachRow,
    GroupDayRow,
    PlayerDayRow,
    RefusedRow,
    WithoutLogRow,
)
from models.permits import Reads

_BATCHES = """
    select
        batch, kind, file_name, lines_read, lines_accepted, lines_refused, loaded_by, loaded_at, withdrawn_at,
        withdrawn_by, taken, coalesce(is_own, false) as is_own, accepted_by
    from core.batches
    order by batch desc
"""


def batches(desk: Desk) -> tuple[BatchRow, ...]:
    """What was loaded, the latest first."""
    return answer_rows(desk, BatchRow, _BATCHES, reads=Reads.LOG)


def club_weeks(desk: Desk) -> tuple[ClubWeekRow, ...]:
    """The club's weeks, the latest first."""
    return answer_rows(
        desk,
        ClubWeekRow,
        """
        select
            week, sessions, players, balls, minutes, lines_refused, players_active, players_with_log,
            players_short_of_variety
        from report.club_week
        order by week desc
        """,
        reads=Reads.CLUB,
    )


def without_log(desk: Desk, week: date) -> tuple[WithoutLogRow, ...]:
    """Active players without a log in the week, with the day of the last one before it; by group and name."""
    return answer_rows(
        desk,
        WithoutLogRow,
        """
        select p.player_id, p.name, p.group_name, l.last_logged_on
        from core.player_weeks as w
        inner join core.players as p on w.player_id = p.player_id
        left join core.last_logs as l on w.player_id = l.player_id and w.week = l.week
        where w.week = $week and p.is_active and (l.last_logged_on is null or l.last_logged_on < $week)
        order by p.group_name, p.name, p.player_id
        """,
        week=week,
        reads=Reads.LOG,
    )


def group_days(desk: Desk, week: date) -> tuple[GroupDayRow, ...]:
    """How much of each group's training is in the log on each day of the week; by group and day."""
    return answer_rows(
        desk,
        GroupDayRow,
        """
        select group_name, day, players_active, players_with_log, players_with_log_in_week
        from report.group_days
        where week = $week
        order by group_name = '-', group_name, day
        """,
        week=week,
        reads=Reads.LOG,
    )


def group_coaches(desk: Desk, week: date) -> tuple[GroupCoachRow, ...]:
    """By whom each group's logs usually come, as the weeks before the week tell; by group."""
    return answer_rows(
        desk,
        GroupCoachRow,
        "select group_name, coach, weeks_led, weeks_logged from report.group_coaches where week = $week"
        " order by group_name",
        week=week,
        reads=Reads.LOG,
    )


def player_days(desk: Desk, week: date) -> tuple[PlayerDayRow, ...]:
    """The week of each active player, and of whoever else has a log in it, day by day; by group and name."""
    return answer_rows(
        desk,
        PlayerDayRow,
        """
        select d.player_id, p.name, coalesce(p.group_name, '-') as group_name, d.day, d.sessions, d.balls, d.week_balls
        from report.player_days as d
        inner join core.players as p on d.player_id = p.player_id
        where d.week = $week and (p.is_active or d.week_balls > 0)
        order by p.group_name nulls last, p.name, d.player_id, d.day
        """,
        week=week,
        reads=Reads.LOG,
    )


_REFUSED = (
    "select r.batch, b.file_name, b.header, b.taken, r.day, r.line, r.line_name, r.cells, r.column_name, r.seen,"
    " r.expected, r.to_do, r.is_mended"
    " from core.refusals as r"
    " join core.batches as b on b.club_id = r.club_id and b.batch = r.batch"
    " where {} order by r.batch, r.line, r.fault"
)


def refused_in_week(desk: Desk, week: date) -> tuple[RefusedRow, ...]:
    """Every fault of the week's refused lines that nobody has mended yet, with its line as typed, by batch and line."""
    question = _REFUSED.format("r.week = $week and not r.is_mended")
    return answer_rows(desk, RefusedRow, question, week=week, reads=Reads.LOG)


def refused_in_batch(desk: Desk, number: int) -> tuple[RefusedRow, ...]:
    """Every fault of a batch's refused lines, mended or not, with its line as typed, by line."""
    return answer_rows(desk, RefusedRow, _REFUSED.format("r.batch = $number"), number=number, reads=Reads.LOG)


def setup_names(desk: Desk) -> dict[str, str]:
    """The setups as they stand now: the name of each code, by code."""
    return dict(
        answer(
            desk,
            "select distinct setup_id, name from core.setups where valid_to is null order by setup_id",
            reads=Reads.NOBODY,
        ).iter_rows()
    )


def next_block(desk: Desk, player_id: str, day: date, session: str) -> int:
    """The number of the block that follows the player's last one in this session; 1 where there is none yet."""
    found = answer(
        desk,
        """
        select next_block
        from report.next_blocks
        where player_id = $player_id and session_id = concat(cast($day as varchar), '/', $session)
        """,
        player_id=player_id,
        day=day,
        session=session,
        reads=Reads.ONE_PLAYER,
    )
    return int(next(iter(found["next_block"]), 1))
