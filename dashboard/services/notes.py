"""What a coach says to a player. Raises NotPermitted for whoever may not see the player, or may not write."""

from dashboard.questions import Desk, require_open
from models.permits import require_planner
from models.refusal import Refused
from sql.club import notes as stored
from sql.club.file import club_file
from sql.club.notes import NoteToPlayer

LONGEST_NOTE = 280


class NoNote(Refused):
    """There is nothing to say, or too much; the text says which."""


def write(desk: Desk, player: str, note: str) -> None:
    """Say a sentence to a player, in the place of an earlier one. Raises NoNote."""
    require_planner(desk.reader)
    require_open(desk, player)
    text = " ".join(note.split())
    if not text or len(text) > LONGEST_NOTE:
        raise NoNote(f"saw {len(text)} letters, expected 1 to {LONGEST_NOTE}.")
    with club_file(desk.folder) as connection:
        stored.write(connection, player, text, desk.reader.account)


def take_back(desk: Desk, player: str) -> None:
    """Remove what was said."""
    require_planner(desk.reader)
    require_open(desk, player)
    with club_file(desk.folder) as connection:
        stored.take_back(connection, player)


def note_to(desk: Desk, player: str) -> NoteToPlayer | None:
    """What stands for a player; None where nothing does."""
    require_open(desk, player)
    with club_file(desk.folder) as connection:
        return stored.note_to(connection, player)
