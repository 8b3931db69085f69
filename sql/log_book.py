"""What the loading of batches asks of the log and writes into it. Every function takes the open warehouse."""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime
from typing import Any

import duckdb
import polars as pl

from models.refusal import Refused
from sql.checksums import checksum_row
from sql.dials import Dials
from sql.folder import FolderProblem
from sql.refused_codes import codes_of_refused

Clock = Callable[[datetime], datetime]


@dataclass(frozen=True)
class Known:
    """What a line may refer to: players and their groups, setups by first valid day, targets in force, feeders."""

    today: date
    players: frozenset[str]
    groups: frozenset[str]
    setups: dict[str, date]
    targets: dict[str, str]
    """The target in force for each player, group or *."""
    feeders: dict[str, Dials] = field(default_factory=dict)
    waiting: dict[str, dict[str, str]] = field(default_factory=dict)
    """By kind, the codes of players, feeders and setups whose own lines were refused, each with where it stands."""


@dataclass(frozen=True)
class EarlierBatch:
    """A batch in force that came from the same bytes."""

    batch: int
    loaded_at: datetime
    lines_accepted: int
    lines_refused: int
    is_erased: bool
    """A player was forgotten who stood in it: the file must not bring the person back."""


@dataclass(frozen=True)
class Comparison:
    """How accepted lines stand to the log in force."""

    new: int
    correcting: int
    already_there: int


class CannotWithdraw(Refused):
    """A batch that cannot be withdrawn; the text says why and what to do."""


def known(connection: duckdb.DuckDBPyConnection, today: date) -> Known:
    """The codes that a line loaded today may use."""
    players = connection.execute('select player, "group" from log.players_in_force').fetchall()
    setups = connection.execute("select setup, min(valid_from) from log.setups_in_force group by 1").fetchall()
    targets = connection.execute(
        "select applies_to, min(target) from log.targets_in_force where share > 0 group by 1"
    ).fetchall()
    feeders = connection.execute(
        "select feeder, speed_dial_lowest, speed_dial_highest, spin_dial_lowest, spin_dial_highest"
        " from log.feeders_in_force"
    ).fetchall()
    return Known(
        today,
        frozenset(player for player, _ in players),
        frozenset(group for _, group in players if group),
        dict(setups),
        dict(targets),
        {feeder: Dials(*range_of_dials) for feeder, *range_of_dials in feeders},
        codes_of_refused(connection),
    )


def require_club(connection: duckdb.DuckDBPyConnection, club_id: str) -> None:
    """Raises FolderProblem where the log belongs to a club of another name."""
    others = connection.execute("select distinct club_id from log.batches where club_id <> ?", [club_id]).fetchall()
    if others:
        raise FolderProblem(
            f"club.toml says club_id = '{club_id}', but the log was loaded as '{others[0][0]}'. "
            f"Put club_id = '{others[0][0]}' back."
        )


def batch_of_file(connection: duckdb.DuckDBPyConnection, file_sha256: str) -> EarlierBatch | None:
    """The latest batch that came from the same bytes and is in force, or was erased from."""
    rows = connection.execute(
        "select batch, loaded_at, lines_accepted, lines_refused, erased_at is not null from log.batches"
        " where file_sha256 = ? and (withdrawn_at is null or erased_at is not null) order by batch desc limit 1",
        [file_sha256],
    ).fetchall()
    return EarlierBatch(*rows[0]) if rows else None


def days_of_refused(connection: duckdb.DuckDBPyConnection, names: Iterable[str]) -> dict[str, date]:
    """The days of refused lines, by the names that lines which mend them give: file and line, or batch and line.

    A line whose day nobody can tell is of the day on which it was loaded.
    """
    rows = connection.execute(
        """
        with named as (
            select concat(left(b.file_sha256, 12), ':', cast(r.line as varchar)) as name, r.session_date, b.loaded_at
            from log.refusals as r inner join log.batches as b on r.club_id = b.club_id and r.batch = b.batch
            union all
            select concat(cast(r.batch as varchar), ':', cast(r.line as varchar)), r.session_date, b.loaded_at
            from log.refusals as r inner join log.batches as b on r.club_id = b.club_id and r.batch = b.batch
        )
        select name, max(coalesce(session_date, cast(loaded_at as date)))
        from named where name in (select unnest(?)) group by name
        """,
        [list(names)],
    ).fetchall()
    return dict(rows)


def next_batch(connection: duckdb.DuckDBPyConnection) -> int:
    """The number that the next batch gets."""
    return int(connection.execute("select coalesce(max(batch), 0) + 1 from log.batches").fetchall()[0][0])


def compare(
    connection: duckdb.DuckDBPyConnection,
    kind: str,
    identity: Sequence[str],
    columns: Sequence[str],
    lines: pl.DataFrame,
) -> Comparison:
    """How many of the lines are new, correct a line in force, or say what is in force already."""
    if lines.is_empty():
        return Comparison(0, 0, 0)
    same_line = " and ".join(f'n."{c}" = o."{c}"' for c in identity)
    same_values = " and ".join(f'n."{c}" is not distinct from o."{c}"' for c in columns)
    connection.register("new_lines", lines)
    counts = connection.execute(
        f"select count(*) filter (where o.batch is null), count(*) filter (where not ({same_values})),"
        f" count(*) filter (where {same_values})"
        f" from new_lines as n left join {_in_force_on_days_of(kind, lines)} as o on {same_line}"
    ).fetchall()[0]
    connection.unregister("new_lines")
    new, correcting_or_new, already_there = counts
    return Comparison(new, correcting_or_new - new, already_there)


def _in_force_on_days_of(kind: str, lines: pl.DataFrame) -> str:
    """The lines in force, without the days that a file does not speak of: what is in force there need not be found."""
    if "session_date" not in lines.columns:
        return f"log.{kind}_in_force"
    first, last = lines["session_date"].min(), lines["session_date"].max()
    return f"(select * from log.{kind}_in_force where session_date between '{first!s}' and '{last!s}')"


def store_batch(
    connection: duckdb.DuckDBPyConnection, batch: dict[str, Any], lines: pl.DataFrame, refusals: pl.DataFrame
) -> None:
    """Write one batch with its accepted lines and its refusals, in the order of the file. Only inside a transaction."""
    _insert(connection, "batches", pl.DataFrame([batch], infer_schema_length=None))
    key = [pl.lit(batch["club_id"]).alias("club_id"), pl.lit(batch["batch"], dtype=pl.Int64).alias("batch")]
    _insert(connection, batch["kind"], lines.with_columns(key))
    _insert(connection, "refusals", refusals.with_columns(key))
    _insert(connection, "checksums", pl.DataFrame([checksum_row(batch, lines, refusals)]))


def _insert(connection: duckdb.DuckDBPyConnection, table: str, rows: pl.DataFrame) -> None:
    if rows.is_empty():
        return
    names = ", ".join(f'"{name}"' for name in rows.columns)
    connection.register("rows_to_store", rows)
    connection.execute(f"insert into log.{table} by name select {names} from rows_to_store")
    connection.unregister("rows_to_store")


def mark_withdrawn(
    connection: duckdb.DuckDBPyConnection, batch: int, who: str, when: datetime, *, local: Clock = lambda at: at
) -> None:
    """Withdraw a batch: the lines that it superseded are in force again. Only inside a transaction.

    `local` tells an instant by the club's clock. Raises CannotWithdraw where there is no such batch in force, or log
    lines need what it brought.
    """
    found = connection.execute("select withdrawn_at from log.batches where batch = ?", [batch]).fetchall()
    if not found:
        raise CannotWithdraw(f"There is no batch {batch}. 'halflong batches' lists them.")
    if found[0][0] is not None:
        raise CannotWithdraw(f"Batch {batch} was withdrawn already, on {local(found[0][0]):%Y-%m-%d %H:%M}.")
    connection.execute("update log.batches set withdrawn_by = ?, withdrawn_at = ? where batch = ?", [who, when, batch])
    if orphans := _batches_in_want(connection):
        raise CannotWithdraw(
            f"Batch {batch} brought players, feeders or setups that log lines in force name "
            f"(batches {', '.join(map(str, orphans))}). Withdraw those first, or load a corrected file instead."
        )


def _batches_in_want(connection: duckdb.DuckDBPyConnection) -> list[int]:
    rows = connection.execute(
        """
        with named as (
            select batch, player, null as feeder, setup, session_date as day from log.sessions_in_force
            union
            select batch, player, null, setup, session_date from log.balls_in_force
            union
            select batch, null, feeder, setup, noted_on from log.landings_in_force
            union
            select batch, null, feeder, setup, valid_from from log.setups_in_force
        )
        select distinct n.batch
        from named as n
        where
            (n.player is not null and not exists (select 1 from log.players_in_force as p where p.player = n.player))
            or (n.feeder is not null and not exists (select 1 from log.feeders_in_force as f where f.feeder = n.feeder))
            or not exists (
                select 1 from log.setups_in_force as s where s.setup = n.setup and s.valid_from <= n.day
            )
        order by n.batch
        """
    ).fetchall()
    return [batch for (batch,) in rows]
