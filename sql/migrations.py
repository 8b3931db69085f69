"""The steps that brought the schema log to its shape, and the views of it that the records declare."""

from collections.abc import Iterator
from hashlib import sha256
from pathlib import Path

from duckdb import DuckDBPyConnection

from models.log_line import LogLine
from models.records import RECORDS
from sql.folder import FolderProblem

MIGRATIONS = Path(__file__).parent / "log"


def numbered_migrations() -> list[tuple[int, Path]]:
    """The migrations of the log, by number."""
    return [(int(file.name[:4]), file) for file in sorted(MIGRATIONS.glob("[0-9][0-9][0-9][0-9]_*.sql"))]


def fingerprint(migration: Path) -> str:
    """Of what a migration says."""
    return sha256(migration.read_text(encoding="utf-8").encode()).hexdigest()


def applied_migrations(connection: DuckDBPyConnection) -> int:
    """How many of the migrations were applied to a warehouse, by its own notes: the first so many, without a gap.

    Raises FolderProblem where the notes say anything else. The bytes on which they stand may be damaged.
    """
    try:
        notes = connection.execute("select number, name, sha256 from log.migrations order by number").fetchall()
    except UnicodeDecodeError as error:
        raise _not_as_applied("they cannot be read") from error
    known = [(number, file.name, fingerprint(file)) for number, file in numbered_migrations()]
    if notes and notes[-1][0] > known[-1][0] and notes[: len(known)] == known:
        raise FolderProblem("the warehouse was written by a newer version of Halflong. Use that version.")
    for seen, expected in zip(notes, known, strict=False):
        if seen != expected:
            raise _not_as_applied(f"saw {seen[1]!r} as number {seen[0]}, expected {expected[1]!r} as it is here")
    if len(notes) > len(known):
        raise _not_as_applied(f"saw {len(notes)}, expected {len(known)} at most")
    return len(notes)


def _not_as_applied(seen: str) -> FolderProblem:
    return FolderProblem(
        f"the warehouse's notes of the migrations that were applied to it are damaged, or a migration was changed, "
        f"which must never be: {seen}. Run 'halflong verify'."
    )


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
