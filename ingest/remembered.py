"""What a club said of the sources of its files, as they are read."""

from collections.abc import Iterable

from ingest.meanings import Meanings, Remembered, nothing_remembered
from sql.club import file_meanings
from sql.club.file import club_file
from sql.folder import DataFolder


def remembered_in(folder: DataFolder) -> Remembered:
    """What this club said of the sources of files; read once, for all files of a loading."""
    if not folder.club_file.exists():
        return nothing_remembered
    with club_file(folder) as connection:
        said = file_meanings.all_said(connection)
    by_source: dict[str, list[file_meanings.Said]] = {}
    for one in said:
        by_source.setdefault(one.source, []).append(one)
    return lambda source: meanings_of(by_source.get(source, []))


def meanings_of(said: Iterable[file_meanings.Said]) -> Meanings:
    """What was said of one source, as its files are read."""
    said = list(said)
    return Meanings(
        {one.typed: one.meant for one in said if one.of_column is None},
        {(one.of_column, one.typed): one.meant for one in said if one.of_column is not None},
    )
