"""Some clubs of a lake, opened in DuckDB as the schema `log` that the models read."""

from collections.abc import Sequence
from functools import cache
from pathlib import Path

import duckdb
import polars as pl

from models.records import RECORDS
from sql.build_inputs import provide_inputs
from sql.lake.exporting import IS_IN_FORCE
from sql.lake.manifest import ClubManifest
from sql.literals import literal, no_rows, quoted
from sql.warehouse import memory_warehouse

BESIDE_THE_RECORDS = ("batches", "checksums", "refusals")
LAKE_TABLES = (*BESIDE_THE_RECORDS, *RECORDS)
"""The tables of the log that a lake holds."""


def open_lake(connection: duckdb.DuckDBPyConnection, lake: Path, clubs: Sequence[ClubManifest], number: int) -> None:
    """Let `log.x` mean what the lake holds of these clubs, and put the build's inputs beside it."""
    connection.execute("create schema log")
    for table in LAKE_TABLES:
        files = [literal(lake / file.path) for club in clubs for file in club.files if file.table == table]
        source = (
            f"read_parquet([{', '.join(files)}], hive_partitioning = false)" if files else no_rows(lake_types(table))
        )
        for view, query in views_of(table, source).items():
            connection.execute(f"create view log.{view} as {query}")
    provide_inputs(connection, clubs[0].settings, number)
    connection.register("settings_of_clubs", pl.DataFrame([club.settings.model_dump() for club in clubs]))
    connection.execute("create or replace table log.settings as select * from settings_of_clubs")
    connection.execute("update log.build set settings = '{}'")  # Each club has its own: core.settings tells them.


def views_of(table: str, source: str) -> dict[str, str]:
    """The names by which the models read a table of the lake, and the query of each over where its rows are."""
    if table in BESIDE_THE_RECORDS:
        return {table: f"select * from {source}"}
    columns = ", ".join(map(quoted, _log_types()[table]))
    return {
        table: f"select {columns} from {source}",
        f"{table}_in_force": f"select {columns} from {source} where {IS_IN_FORCE}",
    }


def lake_types(table: str) -> dict[str, str]:
    """The columns of a table as a lake holds it, with their types by DuckDB's names."""
    types = _log_types()[table]
    return types if table in BESIDE_THE_RECORDS else types | {IS_IN_FORCE: "BOOLEAN"}


@cache
def _log_types() -> dict[str, dict[str, str]]:
    """The same of the tables of the log; migrating an empty one tells them, once."""
    with memory_warehouse() as connection:
        described = {table: connection.execute(f"describe log.{table}").fetchall() for table in LAKE_TABLES}
    return {table: {str(name): str(kind) for name, kind, *_ in rows} for table, rows in described.items()}
