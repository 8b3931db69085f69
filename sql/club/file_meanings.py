"""What sources of files mean by columns and words that the log does not know; kept until somebody forgets it."""

from collections.abc import Iterable
from dataclasses import dataclass

from sql.club.file import ClubConnection, now_utc


@dataclass(frozen=True)
class Said:
    """One meaning; `of_column` is None where `typed` is a column itself."""

    source: str
    of_column: str | None
    typed: str
    meant: str


def remember(connection: ClubConnection, said: Iterable[Said], account: int | None) -> None:
    """Keep meanings; what was said before of the same text of the same source is gone."""
    for one in said:
        connection.execute(
            "insert into file_meanings (source, of_column, typed, meant, said_by, said_at) values (?, ?, ?, ?, ?, ?)"
            " on conflict (source, coalesce(of_column, ''), typed)"
            " do update set meant = excluded.meant, said_by = excluded.said_by, said_at = excluded.said_at",
            [one.source, one.of_column, one.typed, one.meant, account, now_utc()],
        )


def forget(connection: ClubConnection, one: Said) -> None:
    """Files of the source are read as if nobody had said it."""
    connection.execute(
        "delete from file_meanings where source = ? and of_column is ? and typed = ?",
        [one.source, one.of_column, one.typed],
    )


def all_said(connection: ClubConnection) -> tuple[Said, ...]:
    """Everything that is remembered, by source."""
    rows = connection.execute(
        "select source, of_column, typed, meant from file_meanings order by source, of_column is not null, typed"
    )
    return tuple(Said(**row) for row in rows)
