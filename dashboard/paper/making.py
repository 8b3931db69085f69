"""A page on paper for somebody who asked for it: permitted, set in type, and noted in the trail."""

from dataclasses import dataclass
from datetime import date

from dashboard.paper.club_week import club_week
from dashboard.paper.player_page import player_page
from dashboard.paper.session_sheet import session_sheet
from dashboard.paper.sheets import NotOnPaper
from dashboard.paper.typesetting import typeset
from dashboard.questions import Desk
from models.shapes import Code
from sql.club.audit_trail import Event, record
from sql.club.file import club_file


@dataclass(frozen=True)
class Made:
    """A PDF, and what to call its file."""

    pdf: bytes
    file_name: str


def player_page_made(desk: Desk, player: str, address: str | None = None) -> Made:
    """The page of a player. Raises NotPermitted, which is noted, NothingPublished, NotOnPaper."""
    # One sign more than a code can have: it is nobody's, and does not fill the trail.
    made = Made(typeset(player_page(desk, player[: Code.longest + 1])), player)
    _note(desk, "the own page on paper", address, player)
    return made


def club_week_made(desk: Desk, monday: str, address: str | None = None) -> Made:
    """The week from a Monday such as 2026-03-02. Raises NotPermitted, which is noted, NothingPublished, NotOnPaper."""
    try:
        week = date.fromisoformat(monday)
    except ValueError as problem:
        raise NotOnPaper("Expected the Monday of a week, such as 2026-03-02.") from problem
    made = Made(typeset(club_week(desk, week)), f"week-{week}")
    _note(desk, f"the club's week from {week} on paper", address)
    return made


def session_sheet_made(desk: Desk, _asked: str = "", _address: str | None = None) -> Made:
    """The session sheet, on which no person stands. Raises NothingPublished."""
    return Made(typeset(session_sheet(desk)), "session-sheet")


def _note(desk: Desk, what: str, address: str | None, player: str | None = None) -> None:
    with club_file(desk.folder) as connection:
        record(connection, Event.EXPORT, what, reader=desk.reader, player=player, address=address)
