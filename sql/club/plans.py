"""Plans of players' next sessions: one for each player and day; a new one takes the place of the old."""

import json
from collections.abc import Callable, Iterable
from datetime import date

from models.kept_plan import Fed, KeptPlan, LoggedBlock, described, kept_blocks
from models.planned import Plan
from sql.club.file import ClubConnection, all_or_nothing, now_utc


def keep(
    connection: ClubConnection, player: str, plan: Plan, meant_for: date, *, maker: int | None, today: date
) -> None:
    """Keep a plan for a day, in place of an earlier one for that day; the player's plans of past days go.

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
        [player, meant_for.isoformat(), today.isoformat()],
    )
    connection.execute(
        "insert into plans (player, meant_for, account, made_at, minutes, balls, described)"
        " values (?, ?, ?, ?, ?, ?, ?)",
        [player, meant_for.isoformat(), maker, now_utc(), plan.minutes, plan.balls, blocks],
    )


def drop(connection: ClubConnection, player: str, meant_for: date) -> None:
    """Take back the plan for a day."""
    connection.execute("delete from plans where player = ? and meant_for = ?", [player, meant_for.isoformat()])


def next_kept(
    connection: ClubConnection, player: str, today: date, in_log: Callable[[date], Iterable[LoggedBlock]]
) -> KeptPlan | None:
    """The plan for today, or else for the first day after it that has one; `in_log` gives what the log has of a day."""
    row = connection.execute(
        "select p.meant_for, p.made_at, p.minutes, p.balls, p.described, a.name as maker"
        " from plans as p left join accounts as a on p.account = a.account"
        " where p.player = ? and p.meant_for >= ? order by p.meant_for limit 1",
        [player, today.isoformat()],
    ).fetchone()
    if row is None:
        return None
    meant_for = date.fromisoformat(row["meant_for"])
    fed = [*fed_since(connection, player, row["made_at"]), *fed_by_file(connection, player, in_log(meant_for))]
    blocks = kept_blocks(json.loads(row["described"]), fed)
    return KeptPlan(meant_for, row["maker"], row["minutes"], row["balls"], blocks)


def fed_by_file(connection: ClubConnection, player: str, in_log: Iterable[LoggedBlock]) -> list[Fed]:
    """Of a player's blocks in the log those that came by file: not counted at the table, where they count already."""
    rows = connection.execute(
        "select session_date, session, number from table_blocks where player = ? and number is not null", [player]
    ).fetchall()
    counted = {(f"{row['session_date']}/{row['session']}", row["number"]) for row in rows}
    return [one.fed for one in in_log if (one.session_id, one.block) not in counted]


def fed_since(connection: ClubConnection, player: str, made_at: str) -> list[Fed]:
    """What was begun at the table for a player since a plan was made."""
    rows = connection.execute(
        "select described, balls_here from table_blocks where player = ? and begun_at >= ? and state <> 'dropped'"
        " order by begun_at",
        [player, made_at],
    )
    return [Fed(json.loads(row["described"])["feeds"], row["balls_here"]) for row in rows.fetchall()]
