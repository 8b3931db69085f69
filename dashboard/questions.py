"""Every question that a face asks of the published tables, by name. The only SQL of the dashboard."""

from datetime import date
from functools import lru_cache
from pathlib import Path
from typing import Any

import polars as pl

from models.settings import Settings
from sql.folder import DataFolder
from sql.warehouse import NothingPublished, ask


def _answer(folder: DataFolder, question: str, **parameters: Any) -> pl.DataFrame:
    publication = folder.publication_in_force()
    if publication is None:
        raise NothingPublished(folder)
    return _cached(folder, publication, question, tuple(sorted(parameters.items())))


@lru_cache(maxsize=256)
def _cached(
    folder: DataFolder, _publication: Path, question: str, parameters: tuple[tuple[str, Any], ...]
) -> pl.DataFrame:
    # A publication never changes under its name, so an answer holds for as long as the name is in force.
    return ask(folder, question, dict(parameters))


# Everyone


def this_build(folder: DataFolder) -> dict[str, Any]:
    """The publication in force: number, built_at, software_version, settings, cut_off, and counts."""
    return _answer(folder, "select * from report.build").row(0, named=True)


def settings(folder: DataFolder) -> Settings:
    """The club's settings with which the publication in force was built."""
    return Settings.model_validate_json(this_build(folder)["settings"])


def weeks(folder: DataFolder) -> list[date]:
    """Mondays of the club's weeks, the latest first."""
    return _answer(folder, "select week from core.weeks order by week desc")["week"].to_list()


def players(folder: DataFolder) -> pl.DataFrame:
    """Active players: player_id, name, handedness, group_name; by group and name."""
    return _answer(
        folder,
        "select player_id, name, handedness, group_name from core.players where is_active"
        " order by group_name, name, player_id",
    )


def about(folder: DataFolder, table: str) -> str:
    """What a published table is, from its comment: formulas, sources, limits."""
    rows = _answer(
        folder,
        "select comment from duckdb_tables() where concat(schema_name, '.', table_name) = $table",
        table=table,
    )
    return str(rows.item())


def meaning(folder: DataFolder, table: str) -> dict[str, str]:
    """What each column of a published table means, from its comment: the words of the tooltips."""
    rows = _answer(
        folder,
        "select column_name, comment from duckdb_columns() where concat(schema_name, '.', table_name) = $table",
        table=table,
    )
    return dict(rows.iter_rows())


# Coordinator


def batches(folder: DataFolder) -> pl.DataFrame:
    """What was loaded, the latest first."""
    return _answer(
        folder,
        "select batch, kind, file_name, lines_read, lines_accepted, lines_refused, loaded_by, loaded_at, withdrawn_at"
        " from core.batches order by batch desc",
    )


def batch(folder: DataFolder, number: int) -> dict[str, Any]:
    """One batch with all that is known of it: the columns of core.batches."""
    return _answer(folder, "select * from core.batches where batch = $number", number=number).row(0, named=True)


def club_weeks(folder: DataFolder) -> pl.DataFrame:
    """The club's weeks, the latest first: the columns of report.club_week."""
    return _answer(folder, "select * from report.club_week order by week desc")


def without_log(folder: DataFolder, week: date) -> pl.DataFrame:
    """Active players without a log in the week: name, group_name, last_logged_on before it; by group and name."""
    return _answer(
        folder,
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
    )


_REFUSED = (
    "select r.batch, b.file_name, b.header, r.line, r.cells, r.column_name, r.seen, r.expected, r.to_do, r.is_mended"
    " from core.refusals as r"
    " join core.batches as b on b.club_id = r.club_id and b.batch = r.batch"
    " where {} order by r.batch, r.line, r.fault"
)


def refused_in_week(folder: DataFolder, week: date) -> pl.DataFrame:
    """Every fault of the week's refused lines that nobody has mended yet, with its line as typed, by batch and line."""
    return _answer(folder, _REFUSED.format("r.week = $week and not r.is_mended"), week=week)


def refused_in_batch(folder: DataFolder, number: int) -> pl.DataFrame:
    """Every fault of a batch's refused lines, mended or not, with its line as typed, by line."""
    return _answer(folder, _REFUSED.format("r.batch = $number"), number=number)


def standing_setups(folder: DataFolder) -> dict[str, str]:
    """The setups as they stand now: the name of each code, by code."""
    return dict(
        _answer(
            folder, "select distinct setup_id, name from core.setups where valid_to is null order by setup_id"
        ).iter_rows()
    )


def next_block(folder: DataFolder, player: str, day: date, session: str) -> int:
    """The number of the block that follows the player's last one in this session; 1 where there is none yet."""
    return int(
        _answer(
            folder,
            "select coalesce(max(block), 0) + 1 from core.fed_lines"
            " where player_id = $player and session_date = $day"
            " and session_id = concat(cast($day as varchar), '/', $session)",
            player=player,
            day=day,
            session=session,
        ).item()
    )


# Coach

BOARD_ORDERS = {
    "Who lacks most": "v.grid_coverage nulls last, v.pair_coverage nulls last",
    "Name": "p.name",
    "Fewest balls": "balls",
    "Longest without a log": "s.days_since_log desc nulls first",
}
"""The orders of the board's rows. Who cannot be judged comes after those who can."""

_IN_WORD_ORDER = """
    inner join core.words as d on d.list = 'dimension' and d.word = v.dimension
    inner join core.words as w on w.list = v.dimension and w.word = v.value
"""


def groups(folder: DataFolder) -> list[str]:
    """The groups that have active players."""
    rows = _answer(
        folder, "select distinct group_name from core.players where is_active and group_name is not null order by 1"
    )
    return rows["group_name"].to_list()


def board(folder: DataFolder, week: date, order: str = "Who lacks most", group: str | None = None) -> pl.DataFrame:
    """The active players as of a week: standing, last log, balls, combinations and pairs; one of BOARD_ORDERS."""
    question = f"""
        select
            p.player_id, p.name, p.group_name, p.handedness, coalesce(s.standing, 'no_log') as standing,
            s.last_logged_on, s.days_since_log, coalesce(v.balls, 0) as balls, coalesce(v.sessions, 0) as sessions,
            v.cells, v.cells_covered, v.pairs, v.pairs_covered, v.effective_conditions
        from core.players as p
        left join report.variety as v on p.player_id = v.player_id and v.week = $week
        left join report.standing as s on p.player_id = s.player_id and s.week = $week
        where p.is_active and ($group is null or p.group_name = $group)
        order by coalesce(s.standing, 'no_log') <> 'judged', {BOARD_ORDERS[order]}, p.name, p.player_id
    """
    return _answer(folder, question, week=week, group=group)


def coverage_by_value(folder: DataFolder, week: date, player_id: str | None = None) -> pl.DataFrame:
    """What one player, or every active one, met of each wanted value, in the order of the words."""
    return _answer(
        folder,
        f"""
        select v.* exclude (club_id, week)
        from report.coverage_by_value as v
        inner join core.players as p on v.player_id = p.player_id
        {_IN_WORD_ORDER}
        where v.week = $week and p.is_active and ($player_id is null or v.player_id = $player_id)
        order by v.player_id, d.rank, w.rank
        """,
        week=week,
        player_id=player_id,
    )


def coverage(folder: DataFolder, week: date, player_id: str | None = None, group: str | None = None) -> pl.DataFrame:
    """What one player, a group, or every active player met of each wanted combination."""
    return _answer(
        folder,
        """
        select c.* exclude (club_id, week)
        from report.coverage as c
        inner join core.players as p on c.player_id = p.player_id
        where
            c.week = $week and p.is_active
            and ($player_id is null or c.player_id = $player_id)
            and ($group is null or p.group_name = $group)
        order by c.player_id, c.cell
        """,
        week=week,
        player_id=player_id,
        group=group,
    )


def feed_next(folder: DataFolder, week: date, player_id: str, limit: int) -> pl.DataFrame:
    """The combinations a player misses most: the most wanted first; of these never met, longest unmet, fewest balls."""
    return _answer(
        folder,
        """
        select * exclude (club_id, week)
        from report.coverage
        where week = $week and player_id = $player_id and need_balls > 0
        order by
            wanted_share desc,
            case status when 'empty' then 1 when 'stale' then 2 else 3 end,
            last_met_on,
            need_balls desc,
            cell
        limit $limit
        """,
        week=week,
        player_id=player_id,
        limit=limit,
    )


def pairs(folder: DataFolder, week: date, player_id: str) -> pl.DataFrame:
    """For every two dimensions of a player's target: how many pairs of their values there are, and are covered."""
    return _answer(
        folder,
        """
        select
            v.dimension, v.other_dimension, count(*) as pairs, count(case when v.is_covered then 1 end) as pairs_covered
        from report.coverage_by_pair as v
        where v.week = $week and v.player_id = $player_id
        group by v.dimension, v.other_dimension
        order by pairs_covered / pairs, v.dimension, v.other_dimension
        """,
        week=week,
        player_id=player_id,
    )


def missing_pairs(folder: DataFolder, week: date, player_id: str) -> pl.DataFrame:
    """The pairs of values that a player has not met enough together in the window."""
    return _answer(
        folder,
        f"""
        select v.dimension, v.value, v.other_dimension, v.other_value, v.balls
        from report.coverage_by_pair as v
        {_IN_WORD_ORDER}
        where v.week = $week and v.player_id = $player_id and not v.is_covered
        order by v.dimension, v.other_dimension, w.rank, v.other_value
        """,
        week=week,
        player_id=player_id,
    )


# Player


def success(folder: DataFolder, week: date, player_id: str, cut: str) -> pl.DataFrame:
    """A player's success for each value of a cut, in the order of the words."""
    return _answer(
        folder,
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


def player_weeks(folder: DataFolder, week: date, player_id: str) -> pl.DataFrame:
    """A player's weeks up to a week: what was logged in each, and success over the window that ends with it."""
    return _answer(
        folder,
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


def player_sessions(folder: DataFolder, week: date, player_id: str) -> pl.DataFrame:
    """A player's single sessions up to a week: session_id, session_date, balls, good, rate."""
    return _answer(
        folder,
        "select session_id, session_date, balls, good, rate from report.session_success"
        " where player_id = $player_id and week <= $week order by session_date, session_id",
        week=week,
        player_id=player_id,
    )


def then_and_now(folder: DataFolder, week: date, player_id: str) -> dict[str, Any] | None:
    """A player's success now beside that of the first whole window of the log; None where one of them is missing."""
    rows = _answer(
        folder,
        "select * from report.then_and_now where week = $week and player_id = $player_id",
        week=week,
        player_id=player_id,
    )
    return rows.row(0, named=True) if rows.height else None


def errors(folder: DataFolder, week: date, player_id: str) -> pl.DataFrame:
    """A player's mistakes: one row per spin and kind of mistake, in the order of the words."""
    return _answer(
        folder,
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


def orders_seen(folder: DataFolder, week: date, player_id: str, limit: int) -> pl.DataFrame:
    """In what order a player's balls came, for the latest sessions whose balls were logged one by one."""
    return _answer(
        folder,
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


def after_a_change(folder: DataFolder, week: date, player_id: str) -> pl.DataFrame:
    """Success on the first ball after a change and on the same ball again: ball_kind, balls, good, rate."""
    return _answer(
        folder,
        "select ball_kind, balls, good, rate from report.after_a_change"
        " where week = $week and player_id = $player_id order by ball_kind",
        week=week,
        player_id=player_id,
    )
