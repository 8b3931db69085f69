"""Whether two published files say the same, table by table, whatever the order of their rows."""

from pathlib import Path
from typing import Any

import duckdb

from sql.published_file import read_only

OF_THE_BUILD = frozenset({"core.this_build", "report.build"})
"""They tell when and how a file was built, and differ between any two."""


def different_tables(one: Path, other: Path) -> tuple[str, ...]:
    """The tables that do not say the same in both files to the last bit, but for those that tell of the build."""
    with read_only(one) as left, read_only(other) as right:
        tables = [_published(connection) for connection in (left, right)]
        both = tables[0] & tables[1] - OF_THE_BUILD
        return tuple(
            sorted(tables[0] ^ tables[1] | {table for table in both if _says(left, table) != _says(right, table)})
        )


def _published(connection: duckdb.DuckDBPyConnection) -> set[str]:
    found = connection.execute("select schema_name, table_name from duckdb_tables()").fetchall()
    return {f"{schema}.{table}" for schema, table in found}


def _says(connection: duckdb.DuckDBPyConnection, table: str) -> Any:
    """How many rows, and the sum of a number that each has; the columns with their types."""
    rows = connection.execute(f"select count(*), sum(cast(hash(t) as hugeint)) from {table} as t").fetchall()
    return rows, connection.execute(f"describe {table}").fetchall()
