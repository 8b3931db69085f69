"""What a coach says to a player: one sentence for each player; a new one takes the place of the old."""

from dataclasses import dataclass
from datetime import datetime

from sql.club.file import ClubConnection, now_utc


@dataclass(frozen=True)
class NoteToPlayer:
    """A sentence, who wrote it (None: somebody who has left), and when (UTC)."""

    note: str
    writer: str | None
    written_at: datetime


def write(connection: ClubConnection, player: str, note: str, account: int | None) -> None:
    """Put a sentence in the place of an earlier one."""
    connection.execute(
        "insert into notes_to_players (player, account, written_at, note) values (?, ?, ?, ?) on conflict (player)"
        " do update set account = excluded.account, written_at = excluded.written_at, note = excluded.note",
        [player, account, now_utc(), note],
    )


def take_back(connection: ClubConnection, player: str) -> None:
    """Remove the sentence."""
    connection.execute("delete from notes_to_players where player = ?", [player])


def note_to(connection: ClubConnection, player: str) -> NoteToPlayer | None:
    """The sentence that stands for a player."""
    row = connection.execute(
        "select n.note, n.written_at, a.name from notes_to_players as n"
        " left join accounts as a on n.account = a.account where n.player = ?",
        [player],
    ).fetchone()
    return NoteToPlayer(row["note"], row["name"], datetime.fromisoformat(row["written_at"])) if row else None
