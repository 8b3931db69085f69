"""What the loading of batches asks of the log and writes into it. Every function takes the open warehouse."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any

import duckdb
import polars as pl

from sql.folder import FolderProblem


@dataclass(frozen=True)
class Known:
    """What a line may refer to: players with their groups, setups with their first valid day, targets in force."""

    today: date
    players: frozenset[str]
    groups: frozenset[str]
    setups: dict[str, date]
    targets: dict[str, str]
    """The target in force for each player, group or *."""


@dataclass(frozen=True)
class EarlierBatch:
    """A batch in force that came from the same bytes."""

    batch: int
    loaded_at: datetime
    lines_accepted: int
    lines_refused: int


@dataclass(frozen=True)
class Comparison:
    """How accepted lines stand to the log in force."""

    new: int
    correcting: int
    already_there: int


class CannotWithdraw(Exception):
    """A batch that cannot be withdrawn; the text says why and what to do."""


def known(connection: duckdb.DuckDBPyConnection, today: date) -> Known:
    """The codes that a line loaded today may use."""
    players = connection.execute('select player, "group" from log.players_in_force').fetchall()
    setups = connection.execute("select setup, min(valid_from) from log.setups_in_force group by 1").fetchall()
    targets = connection.execute("select applies_to, min(target) from log.targets_in_force group by 1").fetchall()
    return Known(
        today,
        frozenset(player for player, _ in players),
        frozenset(group for _, group in players if group),
        dict(setups),
        dict(targets),
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
    """The latest batch in force that came from the same bytes."""
    rows = connection.execute(
        "select batch, loaded_at, lines_accepted, lines_refused from log.batches"
        " where file_sha256 = ? and withdrawn_at is null order by batch desc limit 1",
        [file_sha256],
    ).fetchall()
    return EarlierBatch(*rows[0]) if rows else None


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
    same_line = " and ".join(f'n."{c}" = o."{c}"' for c in identity)
    same_values = " and ".join(f'n."{c}" is not distinct from o."{c}"' for c in columns)
    connection.register("new_lines", lines)
    counts = connection.execute(
        f"select count(*) filter (where o.batch is null), count(*) filter (where not ({same_values})),"
        f" count(*) filter (where {same_values})"
        f" from new_lines as n left join log.{kind}_in_force as o on {same_line}"
    ).fetchall()[0]
    connection.unregister("new_lines")
    new, correcting_or_new, already_there = counts
    return Comparison(new, correcting_or_new - new, already_there)


def store_batch(
    connection: duckdb.DuckDBPyConnection, batch: dict[str, Any], lines: pl.DataFrame, refusals: pl.DataFrame
) -> None:
    """Write one batch with its accepted lines and its refusals. Only inside a transaction."""
    _insert(connection, "batches", pl.DataFrame([batch], infer_schema_length=None))
    key = [pl.lit(batch["club_id"]).alias("club_id"), pl.lit(batch["batch"], dtype=pl.Int64).alias("batch")]
    _insert(connection, batch["kind"], lines.with_columns(key))
    _insert(connection, "refusals", refusals.with_columns(key))


def _insert(connection: duckdb.DuckDBPyConnection, table: str, rows: pl.DataFrame) -> None:
    if rows.is_empty():
        return
    names = ", ".join(f'"{name}"' for name in rows.columns)
    connection.register("rows_to_store", rows)
    connection.execute(f"insert into log.{table} by name select {names} from rows_to_store")
    connection.unregister("rows_to_store")


def mark_withdrawn(connection: duckdb.DuckDBPyConnection, batch: int, who: str, when: datetime) -> None:
    """Withdraw a batch: the lines that it superseded are in force again. Only inside a transaction.

    Raises CannotWithdraw where there is no such batch in force, or log lines need what it brought.
    """
    found = connection.execute("select withdrawn_at from log.batches where batch = ?", [batch]).fetchall()
    if not found:
        raise CannotWithdraw(f"There is no batch {batch}. 'halflong batches' lists them.")
    if found[0][0] is not None:
        raise CannotWithdraw(f"Batch {batch} was withdrawn already, on {found[0][0]:%Y-%m-%d %H:%M} UTC.")
    connection.execute("update log.batches set withdrawn_by = ?, withdrawn_at = ? where batch = ?", [who, when, batch])
    if orphans := _batches_in_want(connection):
        raise CannotWithdraw(
            f"Batch {batch} brought players or setups that log lines in force name "
            f"(batches {', '.join(map(str, orphans))}). Withdraw those first, or load a corrected file instead."
        )


def _batches_in_want(connection: duckdb.DuckDBPyConnection) -> list[int]:
    rows = connection.execute(
        """
        with named as (
            select batch, player, setup, session_date from log.sessions_in_force
            union
            select batch, player, setup, session_date from log.balls_in_force
        )
        select distinct n.batch
        from named as n
        where
            not exists (select 1 from log.players_in_force as p where p.player = n.player)
            or not exists (
                select 1 from log.setups_in_force as s where s.setup = n.setup and s.valid_from <= n.session_date
            )
        order by n.batch
        """
    ).fetchall()
    return [batch for (batch,) in rows]
