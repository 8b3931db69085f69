"""What is asked of one player: success, weeks, mistakes, the order of balls."""

from datetime import date

from dashboard.questions.asking import Desk, answer_rows, first_row
from dashboard.rows.player import (
    BlockCellRow,
    EqualBallsRow,
    ErrorRow,
    NewBallRow,
    OrderRow,
    SessionRow,
    SuccessRow,
    VarietyRow,
    WeekRow,
    WindowRow,
)
from models.permits import Reads
from models.words import DIMENSION


def variety(desk: Desk, week: date, player_id: str) -> VarietyRow | None:
    """How varied a player's training in the window was; None before the first log."""
    return first_row(
        desk,
        VarietyRow,
        """
        select
            balls_in_grid, cells, effective_conditions, dominant_conditions, evenness, distinct_conditions,
            most_distinct_conditions, share_to_move, plan_distance, total_correlation
        from report.variety
        where week = $week and player_id = $player_id
        """,
        week=week,
        player_id=player_id,
        reads=Reads.ONE_PLAYER,
    )


def equal_balls(desk: Desk, week: date, player_id: str) -> EqualBallsRow | None:
    """How varied so many of a player's balls are as everybody had; None where the player had too few."""
    return first_row(
        desk,
        EqualBallsRow,
        "select equal_balls, expected_conditions, expected_coverage from report.equal_balls"
        " where week = $week and player_id = $player_id",
        week=week,
        player_id=player_id,
        reads=Reads.ONE_PLAYER,
    )


def success(desk: Desk, week: date, player_id: str, cut: str) -> tuple[SuccessRow, ...]:
    """A player's success for each value of a cut, in the order of the words."""
    return answer_rows(
        desk,
        SuccessRow,
        """
        select
            s.value, s.balls, s.good, s.effective_balls, s.rate, s.low, s.high,
            s.shrunk_rate, s.shrunk_low, s.shrunk_high
        from report.success as s
        left join core.words as w on w.list = s.cut and w.word = s.value
        where s.week = $week and s.player_id = $player_id and s.cut = $cut
        order by w.rank, s.value
        """,
        week=week,
        player_id=player_id,
        cut=cut,
        reads=Reads.ONE_PLAYER,
    )


def success_by_week(desk: Desk, week: date, player_id: str) -> tuple[WindowRow, ...]:
    """A player's success over all balls of the window that ends with each week, up to a week."""
    return answer_rows(
        desk,
        WindowRow,
        """
        select l.week, s.balls, s.rate, s.low, s.high
        from report.load as l
        left join report.success as s on l.player_id = s.player_id and l.week = s.week and s.cut = 'all'
        where l.player_id = $player_id and l.week <= $week
        order by l.week
        """,
        week=week,
        player_id=player_id,
        reads=Reads.ONE_PLAYER,
    )


def player_weeks(desk: Desk, week: date, player_id: str) -> tuple[WeekRow, ...]:
    """What was logged of a player in each week, up to a week."""
    return answer_rows(
        desk,
        WeekRow,
        """
        select
            week, sessions, balls, minutes, effort_load, week_change, weeks_compared, guidance_hours
        from report.load
        where player_id = $player_id and week <= $week
        order by week
        """,
        week=week,
        player_id=player_id,
        reads=Reads.ONE_PLAYER,
    )


def player_sessions(desk: Desk, week: date, player_id: str) -> tuple[SessionRow, ...]:
    """A player's single sessions up to a week: session_id, session_date, balls, good, rate."""
    return answer_rows(
        desk,
        SessionRow,
        "select session_id, session_date, balls, good, rate from report.session_success"
        " where player_id = $player_id and week <= $week order by session_date, session_id",
        week=week,
        player_id=player_id,
        reads=Reads.ONE_PLAYER,
    )


def new_balls(desk: Desk, week: date, player_id: str) -> tuple[NewBallRow, ...]:
    """What a player met for the first time within the window that ends with a week, the newest first."""
    dimensions = ", ".join(f"c.{name}" for name in DIMENSION.names)
    return answer_rows(
        desk,
        NewBallRow,
        f"""
        select {dimensions}, f.first_met_on, f.first_balls
        from report.first_met as f
        inner join core.player_weeks as p on f.player_id = p.player_id and p.week = $week
        inner join report.coverage as c
            on f.player_id = c.player_id and f.cell = c.cell and c.week = p.week
        where f.player_id = $player_id and f.first_met_on >= p.window_start and f.first_met_on <= p.week_end
        order by f.first_met_on desc, c.wanted_share desc, f.cell
        """,
        week=week,
        player_id=player_id,
        reads=Reads.ONE_PLAYER,
    )


def block_cells(desk: Desk, player_id: str, first: date, last: date) -> tuple[BlockCellRow, ...]:
    """What a player met of the own target between two days, block by block."""
    return answer_rows(
        desk,
        BlockCellRow,
        """
        select cell, session_id, block, balls, good
        from core.block_cells
        where player_id = $player_id and session_date >= $first and session_date <= $last
        order by session_id, block, cell
        """,
        player_id=player_id,
        first=first,
        last=last,
        reads=Reads.ONE_PLAYER,
    )


def errors(desk: Desk, week: date, player_id: str) -> tuple[ErrorRow, ...]:
    """A player's mistakes: one row per spin and kind of mistake, in the order of the words."""
    return answer_rows(
        desk,
        ErrorRow,
        """
        select
            e.spin, e.outcome, e.balls, e.noted_balls, e.outcome_balls, e.all_noted_balls, e.share, e.low, e.high,
            e.stands_out
        from report.errors as e
        left join core.words as s on s.list = 'spin' and s.word = e.spin
        left join core.words as o on o.list = 'outcome' and o.word = e.outcome
        where e.week = $week and e.player_id = $player_id
        order by s.rank, o.rank
        """,
        week=week,
        player_id=player_id,
        reads=Reads.ONE_PLAYER,
    )


def orders_seen(desk: Desk, week: date, player_id: str, limit: int) -> tuple[OrderRow, ...]:
    """In what order a player's balls came, for the latest sessions whose balls were logged one by one."""
    return answer_rows(
        desk,
        OrderRow,
        """
        select
            s.session_date, o.balls, o.conditions, o.switch_rate, o.relative_switch_rate, o.conditional_entropy,
            o.order_seen
        from report.schedule as o
        inner join core.sessions as s on o.session_id = s.session_id and o.player_id = s.player_id
        where o.player_id = $player_id and s.week <= $week
        order by s.session_date desc, o.session_id desc
        limit $limit
        """,
        week=week,
        player_id=player_id,
        limit=limit,
        reads=Reads.ONE_PLAYER,
    )
