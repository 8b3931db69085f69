"""Whom lines of the log concern: asked where they are written or withdrawn. Every function takes the open warehouse."""

from collections.abc import Iterable

import duckdb
import polars as pl

from models.records import RECORDS

EVERYBODY = "*"
"""For whom a target is that is for all."""


def concerned(connection: duckdb.DuckDBPyConnection, kind: str, lines: pl.DataFrame) -> dict[str, str | None]:
    """The players whom lines of a kind concern, each with the group that the log gives them.

    Of a setup those who were fed from it by the log in force; of a target those for whom it is, and EVERYBODY where it
    is for all, whoever that will be.
    """
    column = _naming(kind)
    return _concerned(connection, kind, lines[column].unique().to_list() if column else [])


def concerned_by_batch(connection: duckdb.DuckDBPyConnection, batch: int) -> tuple[str, dict[str, str | None]] | None:
    """The kind of a batch, and the players whom its lines concern; None where there is no such batch."""
    found = connection.execute("select kind from log.batches where batch = ?", [batch]).fetchone()
    if found is None:
        return None
    kind = str(found[0])
    column = _naming(kind)
    named = f"select distinct {column} from log.{kind} where batch = ? order by 1" if column else None
    names = [name for (name,) in connection.execute(named, [batch]).fetchall()] if named else []
    return kind, _concerned(connection, kind, names)


def _naming(kind: str) -> str | None:
    """The column by which a line of the kind names whom it concerns."""
    has_players = "player" in RECORDS[kind].model_fields
    return {"setups": "setup", "targets": "applies_to"}.get(kind, "player" if has_players else None)


def _concerned(connection: duckdb.DuckDBPyConnection, kind: str, names: list[str]) -> dict[str, str | None]:
    if kind == "targets":
        return _wanting(connection, set(names))
    return with_groups(connection, _fed_from(connection, names) if kind == "setups" else names)


def _fed_from(connection: duckdb.DuckDBPyConnection, setups: list[str]) -> list[str]:
    fed = " union ".join(f"select player, setup from log.{kind}_in_force" for kind in ("sessions", "balls"))
    named = f"select distinct player from ({fed}) where setup in (select unnest(?)) order by 1"
    return [player for (player,) in connection.execute(named, [setups]).fetchall()]


def _wanting(connection: duckdb.DuckDBPyConnection, receivers: set[str]) -> dict[str, str | None]:
    groups = dict(connection.execute('select player, "group" from log.players_in_force').fetchall())
    everybody = {EVERYBODY: None} if EVERYBODY in receivers else {}
    return everybody | {
        player: group
        for player, group in groups.items()
        if everybody or player in receivers or (group is not None and group in receivers)
    }


def with_groups(connection: duckdb.DuckDBPyConnection, players: Iterable[str]) -> dict[str, str | None]:
    """Players, each with the group that the log in force gives them; None where it gives none."""
    groups = dict(connection.execute('select player, "group" from log.players_in_force').fetchall())
    return {player: groups.get(player) for player in players}
