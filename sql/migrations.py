"""The steps that brought the schema log to its shape, and the views of it that the records declare."""

from collections.abc import Iterator
from pathlib import Path

from duckdb import DuckDBPyConnection

from models.log_line import LogLine
from models.records import RECORDS

MIGRATIONS = Path(__file__).parent / "log"


def numbered_migrations() -> list[tuple[int, Path]]:
    """The migrations of the log, by number."""
    return [(int(file.name[:4]), file) for file in sorted(MIGRATIONS.glob("[0-9][0-9][0-9][0-9]_*.sql"))]


def make_views_in_force(connection: DuckDBPyConnection) -> None:
    """Make the views `log.*_in_force` anew: a view keeps the columns that its table had when it was made."""
    for record in _stored_kinds(connection):
        connection.execute(f"create or replace view log.{record.kind}_in_force as {lines_in_force(record)}")


def lines_in_force(record: type[LogLine]) -> str:
    """In force: of the lines that are the same line, the one of the latest batch that nobody has withdrawn."""
    same_line = ", ".join(f'l."{column}"' for column in ("club_id", *record.identity))
    return f"""
        select l.*
        from log.{record.kind} as l
        inner join log.batches as b on l.club_id = b.club_id and l.batch = b.batch
        where b.withdrawn_at is null
        qualify row_number() over (partition by {same_line} order by l.batch desc) = 1"""


def _stored_kinds(connection: DuckDBPyConnection) -> Iterator[type[LogLine]]:
    tables = "select table_name from duckdb_tables() where database_name = current_database() and schema_name = 'log'"
    stored = {name for (name,) in connection.execute(tables).fetchall()}
    return (record for kind, record in RECORDS.items() if kind in stored)
