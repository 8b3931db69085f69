"""Whether the club file still is what was written."""

import sqlite3
from collections.abc import Iterator
from contextlib import closing

from sql.club.file import ClubConnection, club_file, migrate
from sql.club.seals import broken_seals
from sql.disk import disk_sentence
from sql.folder import DataFolder, FolderProblem

SMALLEST = 512
"""Bytes: no database has a smaller page (SQLite's file format, 1.3.2)."""

Schema = set[tuple[str, str, str | None]]


def club_faults(folder: DataFolder) -> list[str]:
    """Each fault of the club file in a sentence; none where there is no such file yet."""
    if not folder.club_file.exists():
        return []
    if folder.club_file.stat().st_size < SMALLEST:  # Opened, it would be made anew, and look sound.
        return ["it was emptied: accounts, plans and the trail are gone"]
    try:
        with club_file(folder) as connection:
            return [*_faults(connection)]
    except (FolderProblem, sqlite3.Error) as problem:
        if disk_sentence(problem):
            raise
        return [str(problem).removeprefix(f"{folder.club_file}: ").rstrip(".")]


def club_file_version(folder: DataFolder) -> int | None:
    """The number of its last migration; None where there is no such file yet."""
    if not folder.club_file.exists():
        return None
    with club_file(folder) as connection:
        return int(connection.execute("pragma user_version").fetchone()[0])


def _faults(connection: ClubConnection) -> Iterator[str]:
    for (finding,) in connection.execute("pragma integrity_check").fetchall():
        if finding != "ok":
            yield f"what it holds is not what was written ({finding})"
    for table, *_ in connection.execute("pragma foreign_key_check").fetchall():
        yield f"a row of {table} belongs to nothing"
    yield from broken_seals(connection)
    if _schema(connection) != _fresh_schema():
        yield "its tables are not those that this version of Halflong makes"


def _schema(connection: sqlite3.Connection) -> Schema:
    return {tuple(row) for row in connection.execute("select type, name, sql from sqlite_schema").fetchall()}


def _fresh_schema() -> Schema:
    with closing(sqlite3.connect(":memory:", isolation_level=None)) as connection:
        migrate(connection)
        return _schema(connection)
