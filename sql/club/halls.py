"""Who is here on a day, and the plans of the hall: one for each day and begin; a new one takes the place of the old."""

import json
from collections.abc import Callable, Iterable
from datetime import date

from models.hall.kept import KeptHall, KeptTurn
from models.hall.told import HallPlan
from models.kept_plan import LoggedBlock, described, kept_blocks
from sql.club.file import ClubConnection, ClubRow, all_or_nothing, now_utc
from sql.club.plans import fed_by_file, fed_since, longest_kept, put


def note_here(connection: ClubConnection, day: date, players: Iterable[str], account: int | None) -> None:
    """These players and no others are here on a day."""
    rows = [(player, day.isoformat(), account, now_utc()) for player in players]
    with all_or_nothing(connection):
        connection.execute("delete from attendance where day = ?", [day.isoformat()])
        connection.executemany("insert into attendance (player, day, account, noted_at) values (?, ?, ?, ?)", rows)


def who_is_here(connection: ClubConnection, day: date) -> frozenset[str]:
    """The players noted as here on a day; none where nobody was asked."""
    rows = connection.execute("select player from attendance where day = ?", [day.isoformat()])
    return frozenset(row["player"] for row in rows.fetchall())


def keep_hall(
    connection: ClubConnection, plan: HallPlan, meant_for: date, begins_at: str, *, maker: int | None, today: date
) -> None:
    """Keep a plan of the hall, and of each child in it its own; what is past for long goes."""
    stations = json.dumps([[station.name, station.feeding] for station in plan.stations])
    with all_or_nothing(connection):
        connection.execute(
            "delete from hall_plans where (meant_for = ? and begins_at = ?) or meant_for < ?",
            [meant_for.isoformat(), begins_at, longest_kept(today).isoformat()],
        )
        made = connection.execute(
            "insert into hall_plans (meant_for, begins_at, made_at, stations) values (?, ?, ?, ?)",
            [meant_for.isoformat(), begins_at, now_utc(), stations],
        )
        connection.executemany(
            "insert into hall_turns (hall_plan, player, slot, station, turn, begins, described)"
            " values (?, ?, ?, ?, ?, ?, ?)",
            [
                (made.lastrowid, turn.player, slot, station, number, turn.begin, json.dumps(described(turn.block)))
                for slot, tables in enumerate(plan.slots)
                for station, table in enumerate(tables.tables)
                for number, turn in enumerate(table.turns)
            ],
        )
        for player in plan.children:
            put(connection, player, plan.plan_of(player), meant_for, maker=maker, today=today)


def drop_hall(connection: ClubConnection, meant_for: date, begins_at: str) -> None:
    """Take back a plan of the hall, and the plans of those who are in it."""
    with all_or_nothing(connection):
        connection.execute(
            "delete from plans where meant_for = ? and player in (select t.player from hall_turns as t"
            " join hall_plans as h on t.hall_plan = h.hall_plan where h.meant_for = ? and h.begins_at = ?)",
            [meant_for.isoformat(), meant_for.isoformat(), begins_at],
        )
        connection.execute(
            "delete from hall_plans where meant_for = ? and begins_at = ?", [meant_for.isoformat(), begins_at]
        )


def days_before(connection: ClubConnection, today: date) -> tuple[date, ...]:
    """The past days that have a plan of the hall, the latest first."""
    rows = connection.execute(
        "select distinct meant_for from hall_plans where meant_for < ? order by meant_for desc", [today.isoformat()]
    )
    return tuple(date.fromisoformat(row["meant_for"]) for row in rows.fetchall())


def halls_of(
    connection: ClubConnection, day: date, in_log: Callable[[str], Iterable[LoggedBlock]]
) -> tuple[KeptHall, ...]:
    """The plans of the hall for a day, by begin, with what was fed; `in_log`: what the log has of a player then."""
    rows = connection.execute("select * from hall_plans where meant_for = ? order by begins_at", [day.isoformat()])
    return tuple(
        KeptHall(
            day,
            row["begins_at"],
            tuple((name, feeding) for name, feeding in json.loads(row["stations"])),
            _turns(connection, row, in_log),
        )
        for row in rows.fetchall()
    )


def _turns(
    connection: ClubConnection, hall: ClubRow, in_log: Callable[[str], Iterable[LoggedBlock]]
) -> tuple[KeptTurn, ...]:
    """By time; what was fed to a child counts for one of its turns, as it does in its own plan."""
    rows = connection.execute(
        "select * from hall_turns where hall_plan = ? order by begins, station", [hall["hall_plan"]]
    ).fetchall()
    turns = []
    for player in dict.fromkeys(row["player"] for row in rows):
        own = [row for row in rows if row["player"] == player]
        at_table = fed_since(connection, player, hall["made_at"], on=hall["meant_for"])
        fed = [*at_table, *fed_by_file(connection, player, in_log(player))]
        blocks = kept_blocks([json.loads(row["described"]) for row in own], fed)
        turns += [KeptTurn(player, r["slot"], r["station"], r["begins"], b) for r, b in zip(own, blocks, strict=True)]
    return tuple(sorted(turns, key=lambda turn: (turn.begins, turn.station)))
