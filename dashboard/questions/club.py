"""What the coordinator asks: what came in, who has no log, which lines were refused."""

from datetime import date
from typing import Any

import polars as pl

from dashboard.questions.asking import Desk, answer
from models.permits import Reads


def batches(desk: Desk) -> pl.DataFrame:
    """What was loaded, the latest first."""
    return answer(
        desk,
        "select batch, kind, file_name, lines_read, lines_accepted, lines_refused, loaded_by, loaded_at, withdrawn_at"
        " from core.batches order by batch desc",
        reads=Reads.LOG,
    )


def batch(desk: Desk, number: int) -> dict[str, Any]:
    """One batch with all that is known of it: the columns of core.batches."""
    question = "select * from core.batches where batch = $number"
    return answer(desk, question, number=number, reads=Reads.LOG).row(0, named=True)


def club_weeks(desk: Desk) -> pl.DataFrame:
    """The club's weeks, the latest first: the columns of report.club_week."""
    return answer(desk, "select * from report.club_week order by week desc", reads=Reads.CLUB)


def without_log(desk: Desk, week: date) -> pl.DataFrame:
    """Active players without a log in the week: name, group_name, last_logged_on before it; by group and name."""
    return answer(
        desk,
        "select p.name, p.group_name, max(s.session_date) as last_logged_on"
        " from core.player_weeks as w"
        " join core.players as p on p.club_id = w.club_id and p.player_id = w.player_id"
        " left join core.sessions as s"
        " on s.club_id = w.club_id and s.player_id = w.player_id and s.week <= w.week"
        " where w.week = $week and p.is_active"
        " group by p.player_id, p.name, p.group_name"
        " having coalesce(max(s.week) < $week, true)"
        " order by p.group_name, p.name, p.player_id",
        week=week,
        reads=Reads.LOG,
    )


_REFUSED = (
    "select r.batch, b.file_name, b.header, b.taken, r.line, r.line_name, r.cells, r.column_name, r.seen,"
    " r.expected, r.to_do, r.is_mended"
    " from core.refusals as r"
    " join core.batches as b on b.club_id = r.club_id and b.batch = r.batch"
    " where {} order by r.batch, r.line, r.fault"
)


def refused_in_week(desk: Desk, week: date) -> pl.DataFrame:
    """Every fault of the week's refused lines that nobody has mended yet, with its line as typed, by batch and line."""
    return answer(desk, _REFUSED.format("r.week = $week and not r.is_mended"), week=week, reads=Reads.LOG)


def refused_in_batch(desk: Desk, number: int) -> pl.DataFrame:
    """Every fault of a batch's refused lines, mended or not, with its line as typed, by line."""
    return answer(desk, _REFUSED.format("r.batch = $number"), number=number, reads=Reads.LOG)


def standing_setups(desk: Desk) -> dict[str, str]:
    """The setups as they stand now: the name of each code, by code."""
    return dict(
        answer(
            desk,
            "select distinct setup_id, name from core.setups where valid_to is null order by setup_id",
            reads=Reads.NOBODY,
        ).iter_rows()
    )


def next_block(desk: Desk, player: str, day: date, session: str) -> int:
    """The number of the block that follows the player's last one in this session; 1 where there is none yet."""
    return int(
        answer(
            desk,
            "select coalesce(max(block), 0) + 1 from core.fed_lines"
            " where player_id = $player_id and session_date = $day"
            " and session_id = concat(cast($day as varchar), '/', $session)",
            player_id=player,
            day=day,
            session=session,
            reads=Reads.ONE_PLAYER,
        ).item()
    )
