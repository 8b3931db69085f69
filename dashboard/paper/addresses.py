"""Where the pages on paper are found behind the guard."""

from datetime import date
from urllib.parse import quote

SESSION_SHEET = "/paper/session-sheet.pdf"


def player_path(player: str) -> str:
    """The address of a player's page."""
    return f"/paper/player/{quote(player, safe='')}.pdf"


def club_week_path(week: date) -> str:
    """The address of the club's week that begins with this Monday."""
    return f"/paper/club-week/{week}.pdf"
