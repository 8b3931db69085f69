"""Who was in the hall, for whoever looks after the logs."""

from datetime import date, timedelta

from dashboard.questions import Desk
from models.permits import require_keeper
from sql.club import attendance as stored
from sql.club.file import club_file


def here_in_week(desk: Desk, week: date) -> dict[date, frozenset[str]]:
    """The players of each day of the week, by its Monday. Raises NotPermitted for whoever reads no logs."""
    require_keeper(desk.reader)
    with club_file(desk.folder) as connection:
        return stored.here_between(connection, week, week + timedelta(days=6))
