"""The only door to DuckDB: the warehouse for the one who writes, the published file for all who read."""

import re
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import duckdb
import polars as pl
from filelock import FileLock, Timeout

from models.refusal import Refused
from sql.digests import forget_digest, is_other_than_noted, note_digest, noted_digest, stamp
from sql.disk import disk_sentence, disk_told
from sql.folder import DataFolder, FolderProblem
from sql.holding import Say, clear_holder, clear_up, holder, note_holder, owe_publication, require_restored
from sql.migrations import applied_migrations, fingerprint, make_views_in_force, numbered_migrations
from sql.private import make_private
from sql.published_file import ask_file

Connection = duckdb.DuckDBPyConnection
"""An open warehouse or published file, for those who only pass it on."""

BUSY_AFTER_S = 0.5
GIVE_UP_AFTER_S = 120.0


class NothingPublished(Refused):
    """No build has been made yet."""

    def __init__(self, folder: DataFolder) -> None:
        super().__init__(
            "nothing is published here yet.",
            where=folder.path,
            to_do="Load players, setups, targets and logs ('halflong load FILE...'), or build ('halflong build').",
        )


@contextmanager
def held(folder: DataFolder, say: Say = lambda _: None) -> Iterator[None]:
    """Hold the data folder against every other writer; wait while another holds it, and say so.

    Where the last holder died in the middle of its work, its half-written files go first, and that is said. Raises
    FolderProblem where the folder stays busy, a restore was cut off in it, or its disk is full or read-only.
    """
    with disk_told(folder.path):
        folder.path.mkdir(parents=True, exist_ok=True)
        with locked(folder, say):
            require_restored(folder)
            clear_up(folder, say)
            make_private(folder, say)
            note_holder(folder)
            try:
                yield
            except BaseException:
                owe_publication(folder)
                raise
            finally:
                clear_holder(folder)
                make_private(folder)


@contextmanager
def locked(folder: DataFolder, say: Say = lambda _: None) -> Iterator[None]:
    """The lock alone, which the system takes back from a process that dies. Raises FolderProblem."""
    lock = FileLock(folder.lock_file, thread_local=False)
    try:
        lock.acquire(timeout=BUSY_AFTER_S)
    except Timeout:
        say(f"busy, waiting: another load or build is under way{holder(folder)}")
        _wait(lock, folder)
    try:
        yield
    finally:
        lock.release()


def _wait(lock: FileLock, folder: DataFolder) -> None:
    """Wait for as long as the work goes on, whoever does it; give up where one holder keeps all waiting too long."""
    while True:
        before = holder(folder)
        try:
            lock.acquire(timeout=GIVE_UP_AFTER_S)
        except Timeout as error:
            if holder(folder) == before:
                raise FolderProblem(
                    f"{folder.path}: still busy after {GIVE_UP_AFTER_S:.0f} s. Another program holds the data "
                    f"folder{before}; try again when it has finished."
                ) from error
        else:
            return


def is_free(folder: DataFolder) -> bool:
    """Nobody holds the folder at this moment."""
    try:
        with FileLock(folder.lock_file, thread_local=False).acquire(timeout=0):
            return True
    except (Timeout, OSError):
        return False


@contextmanager
def warehouse(folder: DataFolder, *, even_changed: bool = False) -> Iterator[duckdb.DuckDBPyConnection]:
    """The warehouse, open for writing and migrated. Only while the folder is held.

    Raises FolderProblem where it cannot be opened, or its bytes are not those that were written last: nothing is to be
    written onto damage. `verify` opens it even so.
    """
    _require_not_lost(folder)
    file = folder.warehouse_file
    is_changed = is_other_than_noted(file)
    if is_changed and not even_changed:
        raise FolderProblem(f"{file}: its bytes are not those that were written last. Run 'halflong verify' first.")
    with disk_told(file):
        before = stamp(file)
        connection = _opened(file)
        try:
            migrate(connection)
            yield connection
        finally:
            connection.close()
            if not is_changed and (stamp(file) != before or noted_digest(file) is None):
                _note_digest_if_there_is_room(file)


def _note_digest_if_there_is_room(file: Path) -> None:
    try:
        note_digest(file)
    except OSError:  # Better none than that of the bytes before: what was stored is stored.
        forget_digest(file)


def _opened(file: Path) -> duckdb.DuckDBPyConnection:
    try:
        return duckdb.connect(str(file))
    except duckdb.Error as error:
        if disk_sentence(error):
            raise
        what_now = "Another program holds it, or it is damaged: close the program, or run 'halflong verify'."
        raise FolderProblem(f"{file}: cannot be opened ({_first_line(error)}). {what_now}") from error


def _require_not_lost(folder: DataFolder) -> None:
    """A new, empty warehouse must not take the place of one that has gone missing."""
    if not folder.warehouse_file.exists() and (folder.backups_file.exists() or any(folder.published.glob("*.duckdb"))):
        raise FolderProblem(
            f"{folder.warehouse_file}: is missing, and there was one. Put it back, or restore a backup into an empty "
            "folder with 'halflong restore FILE --data DIR'. To begin anew, take an empty folder."
        )


@contextmanager
def memory_warehouse() -> Iterator[duckdb.DuckDBPyConnection]:
    """An empty warehouse that leaves nothing behind."""
    with duckdb.connect() as connection:
        migrate(connection)
        yield connection


def migrate(connection: duckdb.DuckDBPyConnection) -> None:
    """Bring the schema log up to date, each numbered migration in a transaction that also records it.

    The last of them makes the views anew. Raises FolderProblem where what is noted as applied is not what is here.
    """
    connection.execute("create schema if not exists log")
    connection.execute(
        "create table if not exists log.migrations"
        " (number bigint primary key, name varchar not null, sha256 varchar not null, applied_at timestamp not null)"
    )
    migrations = numbered_migrations()
    for number, file in migrations[applied_migrations(connection) :]:
        try:
            _apply(connection, number, file, is_last=number == migrations[-1][0])
        except duckdb.Error as error:
            if disk_sentence(error):
                raise
            raise FolderProblem(
                f"{file.name} cannot be applied here ({_first_line(error)}): the warehouse may have lost its note that "
                "it was applied already. Run 'halflong verify'."
            ) from error


def _apply(connection: duckdb.DuckDBPyConnection, number: int, file: Path, *, is_last: bool) -> None:
    with transaction(connection):
        connection.execute(file.read_text(encoding="utf-8"))
        record = [number, file.name, fingerprint(file), utc_now()]
        connection.execute("insert into log.migrations values (?, ?, ?, ?)", record)
        if is_last:
            make_views_in_force(connection)


@contextmanager
def transaction(connection: duckdb.DuckDBPyConnection) -> Iterator[None]:
    """All of it or nothing."""
    connection.begin()
    try:
        yield
    except BaseException:
        connection.rollback()
        raise
    connection.commit()


def utc_now() -> datetime:
    """The time now, in UTC and without a zone, as the log keeps it."""
    return datetime.now(UTC).replace(tzinfo=None)


def ask(folder: DataFolder, question: str, parameters: dict[str, Any] | None = None) -> pl.DataFrame:
    """The answer of the publication in force to one SELECT.

    The published file is opened read-only, and nothing outside it can be reached. Raises NothingPublished,
    QuestionRefused, or FolderProblem where the published file is damaged.
    """
    # A publication may be cleaned away between reading its name and opening it: then a newer one is in force.
    for is_last_try in (False, True):
        publication = folder.publication_in_force()
        if publication is None:
            raise NothingPublished(folder)
        try:
            return ask_file(publication, question, parameters or {})
        except duckdb.Error as error:
            if is_last_try or publication.exists():
                sentence = f"{publication}: cannot be read ({_first_line(error)}). Run 'halflong build'."
                raise FolderProblem(sentence) from error
    raise NothingPublished(folder)


def _first_line(error: Exception) -> str:
    return re.split(r"[\r\n]", str(error))[0]
