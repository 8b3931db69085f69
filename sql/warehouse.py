"""The only door to DuckDB: the warehouse for the one who writes, the published file for all who read."""

import re
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import UTC, datetime
from hashlib import sha256
from pathlib import Path
from typing import Any

import duckdb
import polars as pl
from filelock import FileLock, Timeout

from sql.folder import DataFolder, FolderProblem

Connection = duckdb.DuckDBPyConnection
"""An open warehouse or published file, for those who only pass it on."""

MIGRATIONS = Path(__file__).parent / "log"

BUSY_AFTER_S = 0.5
GIVE_UP_AFTER_S = 120.0


class QuestionRefused(Exception):
    """A query that cannot be answered; the text says why."""


class NothingPublished(Exception):
    """No build has been made yet."""

    def __init__(self, folder: DataFolder) -> None:
        super().__init__(
            f"{folder.path}: nothing is published here yet. Load players, setups, targets and logs with "
            "'halflong load FILE...', or build with 'halflong build'."
        )


@contextmanager
def held(folder: DataFolder, say: Callable[[str], None] = lambda _: None) -> Iterator[None]:
    """Hold the data folder against every other writer; wait while another holds it, and say so."""
    folder.path.mkdir(parents=True, exist_ok=True)
    lock = FileLock(folder.lock_file, thread_local=False)
    try:
        try:
            lock.acquire(timeout=BUSY_AFTER_S)
        except Timeout:
            say("busy, waiting: another load or build is under way")
            lock.acquire(timeout=GIVE_UP_AFTER_S)
    except Timeout as error:
        raise FolderProblem(
            f"{folder.path}: still busy after {GIVE_UP_AFTER_S:.0f} s. Another program holds the data folder; "
            "try again when it has finished."
        ) from error
    try:
        yield
    finally:
        lock.release()


@contextmanager
def warehouse(folder: DataFolder) -> Iterator[duckdb.DuckDBPyConnection]:
    """The warehouse, open for writing and migrated. Only while the folder is held."""
    try:
        connection = duckdb.connect(str(folder.warehouse_file))
    except duckdb.Error as error:
        what_now = "Another program holds it, or it is damaged: close the program, or restore a backup."
        sentence = f"{folder.warehouse_file}: cannot be opened ({_first_line(error)}). {what_now}"
        raise FolderProblem(sentence) from error
    try:
        migrate(connection)
        yield connection
    finally:
        connection.close()


@contextmanager
def memory_warehouse() -> Iterator[duckdb.DuckDBPyConnection]:
    """An empty warehouse that leaves nothing behind."""
    with duckdb.connect() as connection:
        migrate(connection)
        yield connection


def migrate(connection: duckdb.DuckDBPyConnection) -> None:
    """Bring the schema log up to date, each numbered migration in a transaction that also records it."""
    connection.execute("create schema if not exists log")
    connection.execute(
        "create table if not exists log.migrations"
        " (number bigint primary key, name varchar not null, sha256 varchar not null, applied_at timestamp not null)"
    )
    applied = dict(connection.execute("select number, sha256 from log.migrations").fetchall())
    for number, file in _numbered_migrations():
        text = file.read_text(encoding="utf-8")
        fingerprint = sha256(text.encode()).hexdigest()
        if number not in applied:
            with transaction(connection):
                connection.execute(text)
                record = [number, file.name, fingerprint, utc_now()]
                connection.execute("insert into log.migrations values (?, ?, ?, ?)", record)
        elif applied[number] != fingerprint:
            raise FolderProblem(f"{file.name} was changed after it was applied here. Migrations are never changed.")


def _numbered_migrations() -> list[tuple[int, Path]]:
    return [(int(file.name[:4]), file) for file in sorted(MIGRATIONS.glob("[0-9][0-9][0-9][0-9]_*.sql"))]


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
    """The answer of the publication in force to one SELECT. Raises NothingPublished or QuestionRefused.

    The published file is opened read-only, and nothing outside it can be reached.
    """
    # A publication may be cleaned away between reading its name and opening it: then a newer one is in force.
    for is_last_try in (False, True):
        publication = folder.publication_in_force()
        if publication is None:
            raise NothingPublished(folder)
        try:
            return _ask_file(publication, question, parameters or {})
        except duckdb.IOException as error:
            if is_last_try or publication.exists():
                sentence = f"{publication}: cannot be read ({_first_line(error)}). Run 'halflong build'."
                raise FolderProblem(sentence) from error
    raise NothingPublished(folder)


def _ask_file(publication: Path, question: str, parameters: dict[str, Any]) -> pl.DataFrame:
    with read_only(publication) as connection:
        try:
            statements = connection.extract_statements(question)
            if len(statements) != 1 or statements[0].type != duckdb.StatementType.SELECT:
                raise QuestionRefused("expected one SELECT, and nothing else: the published tables are read-only.")
            answer: pl.DataFrame = connection.sql(question, params=parameters or None).pl()
        except duckdb.IOException:
            raise
        except duckdb.Error as error:
            raise QuestionRefused(str(error)) from error
        return _whole_sums(answer)


def _whole_sums(answer: pl.DataFrame) -> pl.DataFrame:
    """Sums of whole numbers as whole numbers: DuckDB gives them as HUGEINT, which arrives as a decimal."""
    wide = answer.select(name for name, dtype in answer.schema.items() if dtype == pl.Decimal(38, 0))
    whole = wide.cast(pl.Int64, strict=False)
    return answer.with_columns(column for column in whole if column.null_count() == wide[column.name].null_count())


@contextmanager
def read_only(publication: Path) -> Iterator[duckdb.DuckDBPyConnection]:
    """A published file, open for reading; the files around it are out of reach."""
    config: dict[str, Any] = {"enable_external_access": "false", "lock_configuration": "true"}
    connection = duckdb.connect(str(publication), read_only=True, config=config)
    try:
        yield connection
    finally:
        connection.close()


def _first_line(error: Exception) -> str:
    return re.split(r"[\r\n]", str(error))[0]
