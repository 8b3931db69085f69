"""Browsers that are signed in already, without the way through the sign-in page."""

from dashboard.door.settings import read_door
from sql.club import web_sessions
from sql.club.file import club_file
from sql.folder import DataFolder


def cookie(folder: DataFolder, account: int) -> tuple[str, str]:
    """Name and value of the cookie of a browser that has just signed in."""
    with club_file(folder) as connection:
        return read_door(folder).cookie_name, web_sessions.begin(connection, account, web_sessions.WAY_PASSWORD)


def sign_out_everywhere(folder: DataFolder, account: int) -> None:
    """Sign every browser of the account out."""
    with club_file(folder) as connection:
        web_sessions.end_all(connection, account)
