"""Plans of players' sessions: one for each player and day; a new one takes the place of the old.

Past ones stay for some weeks, to be held against what was fed.
"""

import json
from collections.abc import Callable, Iterable
from datetime import date, timedelta

from models.kept_plan import Fed, KeptPlan, LoggedBlock, described, kept_blocks
from models.planned import Plan
from sql.club.file import ClubConnection, ClubRow, all_or_nothing, now_utc

PAST_WEEKS = 26
"""Setting: for so long a past plan is held against what was fed on its day."""

_ROWS = (
    "select p.meant_for, p.made_at, p.minutes, p.balls, p.described, a.name as maker"
    " from plans as p left join accounts as a on p.account = a.account where p.player = ?"
)
InLog = Callable[[date], Iterable[LoggedBlock]]
"""What the log has of a player on a day."""


def keep(
    connection: ClubConnection, player: str, plan: Plan, meant_for: date, *, maker: int | None, today: date
) -> None:
    """Keep a plan for a day, in place of an earlier one for that day; what is past for long goes.

    `maker` is the number of an account; None at the command line.
    """
    with all_or_nothing(connection):
        put(connection, player, plan, meant_for, maker=maker, today=today)


def put(
    connection: ClubConnection, player: str, plan: Plan, meant_for: date, *, maker: int | None, today: date
) -> None:
    """What `keep` does, within whatever else is done or not done with it."""
    blocks = json.dumps([described(block) for block in plan.blocks])
    connection.execute(
        "delete from plans where player = ? and (meant_for = ? or meant_for < ?)",
        [player, meant_for.isoformat(), longest_kept(today).isoformat()],
    )
    connection.execute(
        "insert into plans (player, meant_for, account, made_at, minutes, balls, described)"
        " values (?, ?, ?, ?, ?, ?, ?)",
        [player, meant_for.isoformat(), maker, now_utc(), plan.minutes, plan.balls, blocks],
    )


def drop(connection: ClubConnection, player: str, meant_for: date) -> None:
    """Take back the plan for a day."""
    connection.execute("delete from plans where player = ? and meant_for = ?", [player, meant_for.isoformat()])


def longest_kept(today: date) -> date:
    """The first day whose plans are still kept."""
    return today - timedelta(weeks=PAST_WEEKS)


def next_kept(connection: ClubConnection, player: str, today: date, in_log: InLog) -> KeptPlan | None:
    """The plan for today, or else for the first day after it that has one, with what was fed since it was made."""
    rows = connection.execute(
        f"{_ROWS} and p.meant_for >= ? order by p.meant_for limit 1", [player, today.isoformat()]
    ).fetchall()
    return next(
        (_kept(row, fed_since(connection, player, row["made_at"]), connection, player, in_log) for row in rows), None
    )


def past(connection: ClubConnection, player: str, today: date, most: int, in_log: InLog) -> tuple[KeptPlan, ...]:
    """The latest plans of days before today, each with what was fed on its day."""
    rows = connection.execute(
        f"{_ROWS} and p.meant_for < ? order by p.meant_for desc limit ?", [player, today.isoformat(), most]
    ).fetchall()
    return tuple(
        _kept(row, fed_since(connection, player, row["made_at"], on=row["meant_for"]), connection, player, in_log)
        for row in rows
    )


def _kept(row: ClubRow, at_table: list[Fed], connection: ClubConnection, player: str, in_log: InLog) -> KeptPlan:
    meant_for = date.fromisoformat(row["meant_for"])
    fed = [*at_table, *fed_by_file(connection, player, in_log(meant_for))]
    blocks = kept_blocks(json.loads(row["described"]), fed)
    return KeptPlan(meant_for, row["maker"], row["minutes"], row["balls"], blocks)


def fed_by_file(connection: ClubConnection, player: str, in_log: Iterable[LoggedBlock]) -> list[Fed]:
    """Of a player's blocks in the log those that came by file: not counted at the table, where they count already."""
    rows = connection.execute(
        "select session_date, session, number from table_blocks where player = ? and number is not null", [player]
    ).fetchall()
    counted = {(f"{row['session_date']}/{row['session']}", row["number"]) for row in rows}
    return [one.fed for one in in_log if (one.session_id, one.block) not in counted]


def fed_since(connection: ClubConnection, player: str, made_at: str, on: str | None = None) -> list[Fed]:
    """What was begun at the table for a player since a plan was made; `on`: in sessions of that day only."""
    rows = connection.execute(
        "select described, balls_here from table_blocks where player = ? and begun_at >= ? and state <> 'dropped'"
        " and (? is null or session_date = ?) order by begun_at",
        [player, made_at, on, on],
    )
    return [Fed(json.loads(row["described"])["feeds"], row["balls_here"]) for row in rows.fetchall()]
