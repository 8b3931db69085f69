"""The club file in a backup: a copy that stands still, and what of it counts again when it is given back."""

import sqlite3
from contextlib import closing
from pathlib import Path

from sql.club.declaration_check import declared_tables
from sql.club.file import club_file
from sql.folder import DataFolder


def copy_club_file(folder: DataFolder, still: Path) -> None:
    """Copy the club file, whole, while others may write it."""
    still.unlink(missing_ok=True)
    still.touch(mode=0o600)
    with club_file(folder) as source, closing(sqlite3.connect(still)) as copy:
        declared_tables(source)
        source.backup(copy)


def empty_what_does_not_survive(folder: DataFolder) -> None:
    """A session that was ended, or a link that was used since the backup must not come to life again with it."""
    if folder.club_file.exists():
        with club_file(folder) as connection:
            for table in declared_tables(connection):
                if not table.survives_restore:
                    connection.execute(f"delete from {table.name}")
