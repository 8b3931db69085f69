"""Where the pages on paper are found behind the guard."""

from datetime import date, time
from urllib.parse import quote, urlencode

SESSION_SHEET = "/paper/session-sheet.pdf"
GROUP_SHEET = "/paper/group-sheet.pdf"


def player_path(player: str) -> str:
    """The address of a player's page."""
    return f"/paper/player/{quote(player, safe='')}.pdf"


def plan_path(player: str, size: str = "a4") -> str:
    """The address of the plan that is kept for a player."""
    return f"/paper/plan/{quote(player, safe='')}.pdf" + ("" if size == "a4" else f"?paper={size}")


def table_block(address: str, player: str, day: date, block: int) -> str:
    """Under the club's address, the page at the table with a block of a player's plan; blocks are counted from 1."""
    return f"{address}/table?{urlencode({'player': player, 'block': f'{day}/{block}'})}"


def table_station(address: str, begins_at: str, station: int) -> str:
    """Under the club's address, the page at a table of the hall plan that begins then; tables are counted from 1."""
    return f"{address}/table?{urlencode({'station': f'{begins_at}/{station}'})}"


def club_week_path(week: date) -> str:
    """The address of the club's week that begins with this Monday."""
    return f"/paper/club-week/{week}.pdf"


def hall_path(day: date, begins_at: time | str, size: str = "a4") -> str:
    """The address of the plan of the hall that is kept for a day and begin."""
    begin = begins_at if isinstance(begins_at, str) else f"{begins_at:%H:%M}"
    return f"/paper/hall/{day}/{begin.replace(':', '')}.pdf" + ("" if size == "a4" else f"?paper={size}")
