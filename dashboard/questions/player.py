"""What is asked of one player: success, weeks, mistakes, the order of balls."""

from datetime import date
from typing import Any

import polars as pl

from dashboard.questions.asking import Desk, answer


def success(desk: Desk, week: date, player_id: str, cut: str) -> pl.DataFrame:
    """A player's success for each value of a cut, in the order of the words."""
    return answer(
        desk,
        """
        select s.value, s.balls, s.good, s.rate, s.low, s.high
        from report.success as s
        left join core.words as w on w.list = s.cut and w.word = s.value
        where s.week = $week and s.player_id = $player_id and s.cut = $cut
        order by w.rank, s.value
        """,
        week=week,
        player_id=player_id,
        cut=cut,
    )


def player_weeks(desk: Desk, week: date, player_id: str) -> pl.DataFrame:
    """A player's weeks up to a week: what was logged in each, and success over the window that ends with it."""
    return answer(
        desk,
        """
        select
            l.week, l.sessions, l.balls, l.minutes, l.effort_load, l.week_change, l.weeks_compared,
            s.rate, s.low, s.high, s.balls as window_balls,
            case when l.sessions = 0 then 'no log' when l.minutes is null then 'minutes not noted' else 'logged' end
                as noted
        from report.load as l
        left join report.success as s on l.player_id = s.player_id and l.week = s.week and s.cut = 'all'
        where l.player_id = $player_id and l.week <= $week
        order by l.week
        """,
        week=week,
        player_id=player_id,
    )


def player_sessions(desk: Desk, week: date, player_id: str) -> pl.DataFrame:
    """A player's single sessions up to a week: session_id, session_date, balls, good, rate."""
    return answer(
        desk,
        "select session_id, session_date, balls, good, rate from report.session_success"
        " where player_id = $player_id and week <= $week order by session_date, session_id",
        week=week,
        player_id=player_id,
    )


def then_and_now(desk: Desk, week: date, player_id: str) -> dict[str, Any] | None:
    """A player's success now beside that of the first whole window of the log; None where one of them is missing."""
    rows = answer(
        desk,
        "select * from report.then_and_now where week = $week and player_id = $player_id",
        week=week,
        player_id=player_id,
    )
    return rows.row(0, named=True) if rows.height else None


def errors(desk: Desk, week: date, player_id: str) -> pl.DataFrame:
    """A player's mistakes: one row per spin and kind of mistake, in the order of the words."""
    return answer(
        desk,
        """
        select e.spin, e.outcome, e.balls, e.noted_balls, e.share
        from report.errors as e
        left join core.words as s on s.list = 'spin' and s.word = e.spin
        left join core.words as o on o.list = 'outcome' and o.word = e.outcome
        where e.week = $week and e.player_id = $player_id
        order by s.rank, o.rank
        """,
        week=week,
        player_id=player_id,
    )


def orders_seen(desk: Desk, week: date, player_id: str, limit: int) -> pl.DataFrame:
    """In what order a player's balls came, for the latest sessions whose balls were logged one by one."""
    return answer(
        desk,
        """
        select s.session_date, o.balls, o.conditions, o.switch_rate, o.order_seen
        from report.schedule as o
        inner join core.sessions as s on o.session_id = s.session_id and o.player_id = s.player_id
        where o.player_id = $player_id and s.week <= $week
        order by s.session_date desc, o.session_id desc
        limit $limit
        """,
        week=week,
        player_id=player_id,
        limit=limit,
    )


def after_a_change(desk: Desk, week: date, player_id: str) -> pl.DataFrame:
    """Success on the first ball after a change and on the same ball again: ball_kind, balls, good, rate."""
    return answer(
        desk,
        "select ball_kind, balls, good, rate from report.after_a_change"
        " where week = $week and player_id = $player_id order by ball_kind",
        week=week,
        player_id=player_id,
    )
