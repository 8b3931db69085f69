"""A page on paper for somebody who asked for it: permitted, set in type, and noted in the trail."""

from dataclasses import dataclass
from datetime import date

from dashboard.paper.club_week import club_week
from dashboard.paper.hall_plan import hall_plan
from dashboard.paper.plan_sheet import SIZES, Size, plan_sheet
from dashboard.paper.player_page import player_page
from dashboard.paper.session_sheet import BLOCKS, session_sheet
from dashboard.paper.sheets import NotOnPaper
from dashboard.paper.typesetting import typeset
from dashboard.questions import Desk
from ingest.club_day import today
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


def hall_plan_made(
    desk: Desk, asked: str, address: str | None = None, *, club_address: str | None = None, size: str = "a4"
) -> Made:
    """The kept plan of the hall for a day and begin such as 2026-03-05/1800. Raises NotPermitted, NotOnPaper."""
    paper = _paper(size)
    day, _, begin = asked.partition("/")
    try:
        meant_for = date.fromisoformat(day)
    except ValueError as problem:
        raise NotOnPaper("Expected the day and the begin of a hall plan, such as 2026-03-05/1800.") from problem
    plan = hall_plan(desk, meant_for, f"{begin[:2]}:{begin[2:]}", club_address, paper)
    made = Made(typeset(plan), f"hall-{meant_for}")
    _note(desk, f"the hall plan of {meant_for} on paper", address)
    return made


def plan_sheet_made(
    desk: Desk, player: str, address: str | None = None, *, club_address: str | None = None, size: str = "a4"
) -> Made:
    """The kept plan of a player, with codes for the phone where the club's address is known.

    Raises NotPermitted, which is noted, NothingPublished, NotOnPaper.
    """
    made = plan_sheet(desk, player[: Code.longest + 1], today(), club_address, _paper(size))
    _note(desk, "the plan on paper", address, player)
    return Made(typeset(made), f"plan-{player}")


def session_sheet_made(desk: Desk, _asked: str = "", _address: str | None = None, *, players: int = 1) -> Made:
    """The session sheet for one player or six, on which no person stands. Raises NothingPublished, NotOnPaper."""
    if players not in BLOCKS:
        raise NotOnPaper(f"Saw a sheet for {players}, expected one for {' or '.join(map(str, BLOCKS))} players.")
    return Made(typeset(session_sheet(desk, players)), "session-sheet" if players == 1 else "group-sheet")


def _note(desk: Desk, what: str, address: str | None, player: str | None = None) -> None:
    with club_file(desk.folder) as connection:
        record(connection, Event.EXPORT, what, reader=desk.reader, player=player, address=address)


def _paper(size: str) -> Size:
    if size not in SIZES:
        raise NotOnPaper(f"Saw the paper {size[:20]!r}, expected one of {', '.join(SIZES)}.")
    return SIZES[size]
