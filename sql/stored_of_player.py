"""Everything that is stored of one player, table by table, for the player to take away."""

from collections.abc import Iterator

import polars as pl

from sql.club.file import club_file
from sql.club.taking_away import rows_of_player
from sql.folder import DataFolder
from sql.forgetting import NobodyStored, require_stored_anything
from sql.holding import Say
from sql.published_file import read_only
from sql.refusals_of_player import refused_cells
from sql.warehouse import Connection, held, warehouse

OF_A_PLAYER = (
    "select schema_name, table_name, min(column_name) from duckdb_columns()"
    " where (schema_name = 'log' and column_name in ('player', 'applies_to')"
    " or schema_name in ('core', 'report') and column_name = 'player_id')"
    " and concat(schema_name, '.', table_name) in (select concat(schema_name, '.', table_name) from duckdb_tables())"
    " group by schema_name, table_name order by schema_name, table_name"
)


def stored_of_player(folder: DataFolder, player: str, say: Say = lambda _: None) -> dict[str, pl.DataFrame]:
    """What was logged (superseded, withdrawn and refused lines too), what is derived, and what the club file holds.

    Raises NobodyStored, or FolderProblem where the folder is busy.
    """
    require_stored_anything(folder, player)
    tables = dict(_tables(folder, player, say))
    if not tables.keys() - {"log.targets"}:  # A target for everybody or for a group is of no player.
        raise NobodyStored(folder, player)
    return tables


def _tables(folder: DataFolder, player: str, say: Say) -> Iterator[tuple[str, pl.DataFrame]]:
    """Every table with rows of the player, by name."""
    with held(folder, say):
        with warehouse(folder) as connection:
            yield from _rows_of(connection, player)
            yield from _refused(connection, player)
        publication = folder.publication_in_force()
        if publication is not None and publication.exists():
            with read_only(publication) as connection:
                yield from _rows_of(connection, player)
    if folder.club_file.exists():
        with club_file(folder) as club:
            for table, rows in rows_of_player(club, player):
                yield f"club.{table}", pl.DataFrame(rows, infer_schema_length=None)


def _rows_of(connection: Connection, player: str) -> Iterator[tuple[str, pl.DataFrame]]:
    for schema, table, column in connection.execute(OF_A_PLAYER).fetchall():
        # A cursor, for the door of DuckDB 2 gives frames from relations alone.
        rows = connection.cursor().sql(f"select * from {schema}.{table} where {column} = $1", params=[player]).pl()
        if rows.height:
            yield f"{schema}.{table}", rows


def _refused(connection: Connection, player: str) -> Iterator[tuple[str, pl.DataFrame]]:
    typed = [
        {"batch": refused.batch, "line": refused.line, "column": column, "typed": cell}
        for refused in refused_cells(connection)
        if refused.is_of(player)
        for column, cell in zip(refused.header, refused.cells, strict=False)
    ]
    if typed:
        yield "log.refusals", pl.DataFrame(typed)
