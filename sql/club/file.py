"""The only door to club.sqlite: accounts, web sessions, the audit trail, plans, taps that are not in the log yet."""

import os
import re
import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from datetime import UTC, datetime
from functools import lru_cache
from pathlib import Path

from sql.club.declaration_check import declared_tables
from sql.club.second_copy import keep_twice
from sql.disk import disk_sentence
from sql.folder import DataFolder, FolderProblem

ClubConnection = sqlite3.Connection
"""An open club file, for those who only pass it on."""

ClubRow = sqlite3.Row
"""A row of it, with its values by name."""

MIGRATIONS = Path(__file__).parent / "migrations"

BUSY_TIMEOUT_S = 10.0


@contextmanager
def club_file(folder: DataFolder) -> Iterator[ClubConnection]:
    """The club file, open and migrated; each statement is stored at once, unless in `all_or_nothing`.

    What is stored has reached the disk when the statement returns. Raises FolderProblem where the file cannot be used.
    """
    try:
        connection = _opened(folder.club_file)
        try:
            migrate(connection)
            yield connection
        finally:
            connection.close()
    except (sqlite3.IntegrityError, sqlite3.ProgrammingError):
        raise
    except (sqlite3.Error, UnicodeDecodeError) as error:  # A changed byte in the schema is no longer UTF-8.
        raise FolderProblem(_sentence(folder.club_file, error)) from error


def _opened(file: Path) -> ClubConnection:
    try:
        file.parent.mkdir(parents=True, exist_ok=True)
        # Nobody else on this machine may read the hashes; SQLite gives its side files the same rights. Only a new file
        # is opened here: closing any handle of it would drop the locks that SQLite holds for this process.
        with suppress(FileExistsError):
            os.close(os.open(file, os.O_RDWR | os.O_CREAT | os.O_EXCL, 0o600))
    except OSError as error:
        raise FolderProblem(f"{file}: cannot be written ({error.strerror}). Make the folder writable.") from error
    connection = sqlite3.connect(file, timeout=BUSY_TIMEOUT_S, isolation_level=None)
    connection.row_factory = sqlite3.Row
    # secure_delete overwrites what is deleted: a person who is forgotten must not stand in the file's free pages.
    for pragma in ("journal_mode = wal", "synchronous = full", "foreign_keys = on", "secure_delete = on"):
        connection.execute(f"pragma {pragma}")
    return connection


def _sentence(file: Path, error: Exception) -> str:
    sentences = {
        "SQLITE_BUSY": "another program has held it for too long. Try again.",
        "SQLITE_FULL": "the disk is full. Nothing of what was under way is stored. Make room and try again.",
        "SQLITE_READONLY": "it may not be written. Make the folder writable.",
    }
    name = getattr(error, "sqlite_errorname", "")
    what_now = "It cannot be used so: it may be damaged. Restore a backup, or ask for help with this sentence."
    return f"{file}: {sentences.get(name) or disk_sentence(error) or f'{error} ({name}). {what_now}'}"


def migrate(connection: ClubConnection) -> None:
    """Bring the club file up to date: each numbered migration in a transaction that also notes its number."""
    migrations = _migrations(MIGRATIONS)
    latest, version = migrations[-1][0], _version(connection)
    if version > latest:
        raise FolderProblem("club.sqlite was written by a newer version of Halflong. Use that version.")
    for number, file in migrations:
        if version < number:
            _apply(connection, number, file.read_text(encoding="utf-8"), is_last=number == latest)


@lru_cache
def _migrations(folder: Path) -> list[tuple[int, Path]]:
    """Each by its number. They are files of the product: the folder is read once, not whenever somebody asks."""
    return [(int(file.name[:4]), file) for file in sorted(folder.glob("[0-9][0-9][0-9][0-9]_*.sql"))]


def _apply(connection: ClubConnection, number: int, text: str, *, is_last: bool) -> None:
    with all_or_nothing(connection):
        if _version(connection) >= number:  # Another process was quicker.
            return
        for statement in _statements(text):
            connection.execute(statement)
        keep_twice(connection)
        if is_last:
            declared_tables(connection)
        connection.execute(f"pragma user_version = {number:d}")


def _version(connection: ClubConnection) -> int:
    return int(connection.execute("pragma user_version").fetchone()[0])


def _statements(text: str) -> Iterator[str]:
    """The statements of a migration one by one: executescript would end the transaction that holds them together."""
    statement = ""
    for piece in re.split(r"(?<=;)", text):
        statement += piece
        if sqlite3.complete_statement(statement):
            yield statement
            statement = ""
    if statement.strip():
        yield statement


@contextmanager
def all_or_nothing(connection: ClubConnection) -> Iterator[None]:
    """One transaction that holds the file for writing from its beginning."""
    connection.execute("begin immediate")
    try:
        yield
    except BaseException:
        if connection.in_transaction:  # A full disk has ended it already.
            connection.execute("rollback")
        raise
    connection.execute("commit")


@contextmanager
def within_one(connection: ClubConnection) -> Iterator[None]:
    """In the transaction that is open, or in one of its own."""
    if connection.in_transaction:
        yield
    else:
        with all_or_nothing(connection):
            yield


def now_utc() -> str:
    """The time now, as the club file keeps it: text order is time order."""
    return at(datetime.now(UTC))


def at(instant: datetime) -> str:
    """An instant as the club file keeps it."""
    return instant.astimezone(UTC).isoformat(timespec="microseconds")
