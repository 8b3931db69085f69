"""The warehouse written anew: the one way in which another file takes the place of the old one."""

from collections.abc import Callable
from pathlib import Path
from typing import TypeVar

import duckdb

from sql.checksums import checksums_now
from sql.digests import note_digest
from sql.disk import disk_told, flush
from sql.folder import DataFolder
from sql.literals import literal

Result = TypeVar("Result")


class _CopyDiffers(Exception):
    """Something that was stored could not be copied as it was stored."""


def replace_warehouse(folder: DataFolder, write: Callable[[Path], Result]) -> Result:
    """Let `write` make a new warehouse at the path that it is given, which then takes the place of the old one.

    Only under the lock. Where `write` raises, all stays as it was. Gives what `write` gives.
    """
    draft = folder.path / "draft.duckdb"
    draft.unlink(missing_ok=True)
    try:
        with disk_told(folder.path):
            result = write(draft)
            flush(draft)
            note_digest(folder.warehouse_file, written_at=draft)
            draft.replace(folder.warehouse_file)
            flush(folder.path)
    finally:
        draft.unlink(missing_ok=True)
    return result


def write_anew(folder: DataFolder) -> bool:
    """Copy what can be read of the log, where bytes changed that no line of it stands on.

    Only under the lock. False where a checksum differs in the copy, and all stays as it was.
    """
    try:
        replace_warehouse(folder, lambda draft: _copy(folder, draft))
    except _CopyDiffers:
        return False
    return True


def _copy(folder: DataFolder, draft: Path) -> None:
    with duckdb.connect(str(draft)) as connection:
        connection.execute(f"attach {literal(folder.warehouse_file)} as old (read_only)")
        connection.execute("copy from database old to draft")
        old, new = (checksums_now(connection, f"{name}.log") for name in ("old", "draft"))
        connection.execute("detach old")
    if not old.equals(new):
        raise _CopyDiffers
