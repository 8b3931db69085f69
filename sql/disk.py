"""Trouble with the disk, told in sentences; and whether there is room."""

import errno
import os
import shutil
import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import duckdb

from sql.folder import FolderProblem

FULL = frozenset({errno.ENOSPC, errno.EDQUOT, errno.EFBIG})
READ_ONLY = frozenset({errno.EROFS, errno.EACCES, errno.EPERM})
FAILING = frozenset({errno.EIO})

WHAT_NOW = {
    FULL: "the disk is full. What was stored before is whole, and nothing of what was under way is half stored. "
    "Make room, then give the command again.",
    READ_ONLY: "it may not be written. Nothing was changed. Make the folder writable for this user, "
    "then give the command again.",
    FAILING: "the disk fails to read or write. Save a copy of the whole folder to another disk, then run "
    "'halflong verify'.",
}

OF_SQLITE = {
    FULL: ("SQLITE_FULL", "SQLITE_IOERR_SHMSIZE"),
    READ_ONLY: ("SQLITE_READONLY", "SQLITE_READONLY_DIRECTORY", "SQLITE_READONLY_CANTINIT", "SQLITE_CANTOPEN"),
}
"""What SQLite makes of the system's errors."""

DAMAGE = ("Corrupt database file", "not a valid DuckDB database file", "Serialization Error")


@contextmanager
def disk_told(path: Path) -> Iterator[None]:
    """Raises FolderProblem, with what to do, for whatever a full, read-only or failing disk makes anybody raise."""
    try:
        yield
    except FolderProblem:
        raise
    except Exception as error:
        if sentence := disk_sentence(error):
            raise FolderProblem(f"{path}: {sentence}") from error
        raise


def disk_sentence(error: BaseException | None) -> str | None:
    """What is wrong with the disk and what to do, where that is what the error, or one behind it, is about."""
    while error is not None:
        for numbers, sentence in WHAT_NOW.items():
            if _is_about(error, numbers):
                return sentence
        error = error.__cause__ or error.__context__
    return None


def _is_about(error: BaseException, numbers: frozenset[int]) -> bool:
    if isinstance(error, OSError):
        return error.errno in numbers
    if isinstance(error, sqlite3.Error):
        return getattr(error, "sqlite_errorname", "") in OF_SQLITE.get(numbers, ())
    # DuckDB gives the system's own words, whatever kind of error of its own it makes of them.
    return isinstance(error, duckdb.Error) and any(os.strerror(number) in str(error) for number in numbers)


def is_damage(error: duckdb.Error) -> bool:
    """The error is about a file whose bytes are not those that were written, not about the question."""
    return any(words in str(error) for words in DAMAGE)


def require_room(folder: Path, needed_bytes: int, then: str) -> None:
    """Raises FolderProblem where the disk has less room than that; `then` is what to do when there is room."""
    free = shutil.disk_usage(folder).free
    if free < needed_bytes:
        raise FolderProblem(
            f"{folder}: the disk has {_in_mb(free)} free, expected at least {_in_mb(needed_bytes)}. What is "
            f"stored is whole and stays. Make room, then {then}."
        )


def _in_mb(count: int) -> str:
    return f"{count / 1e6:,.0f} MB"


def flush(path: Path) -> None:
    """Let what was written to a file, or the names in a folder, reach the disk."""
    if os.name == "nt" and path.is_dir():
        return  # Windows opens no folder, and keeps its names by itself.
    descriptor = os.open(path, os.O_RDONLY)
    try:
        os.fsync(descriptor)
    finally:
        os.close(descriptor)
