"""Who is here, and plans of the hall that are kept: by those who train, for the players whom they may see."""

from collections.abc import Iterable
from dataclasses import replace
from datetime import date

from dashboard import questions
from dashboard.questions import Desk, require_open
from dashboard.rows.halls import HallSession
from dashboard.services.halls import NoHallPlan
from models.hall.kept import KeptHall
from models.permits import require_planner
from sql.club import halls as stored
from sql.club.file import club_file


def who_is_here(desk: Desk, day: date) -> frozenset[str]:
    """The players noted as here; none where nobody was asked."""
    require_planner(desk.reader)
    with club_file(desk.folder) as connection:
        return stored.who_is_here(connection, day)


def note_here(desk: Desk, day: date, of: Iterable[str], here: Iterable[str]) -> None:
    """Of these players, who are shown together, those are here; what is noted of others stays."""
    require_planner(desk.reader)
    shown, now = set(of), set(here)
    for player in now:
        require_open(desk, player)
    with club_file(desk.folder) as connection:
        others = stored.who_is_here(connection, day) - shown
        stored.note_here(connection, day, sorted(others | now), desk.reader.account)


def keep(desk: Desk, session: HallSession, today: date) -> None:
    """Keep it for its day, each child's own plan with it. Raises NoHallPlan where a child is in another one then."""
    require_planner(desk.reader)
    begins_at = f"{session.begins_at:%H:%M}"
    for player in session.plan.children:
        require_open(desk, player)
    with club_file(desk.folder) as connection:
        kept = stored.halls_of(connection, session.on, lambda _: ())
        others = [hall for hall in kept if hall.begins_at != begins_at]
        for hall in others:
            double = sorted({turn.player for turn in hall.turns} & set(session.plan.children))
            if double:
                raise NoHallPlan(
                    f"{session.names[double[0]]} is in the hall plan of {hall.begins_at} on the same day already. Take "
                    "that plan back, or leave the player out of this one."
                )
        stored.keep_hall(connection, session.plan, session.on, begins_at, maker=desk.reader.account, today=today)


def drop(desk: Desk, kept: KeptHall) -> None:
    """Take a plan of the hall back, and the plans of those in it."""
    require_planner(desk.reader)
    for player in {turn.player for turn in kept.turns}:
        require_open(desk, player)
    with club_file(desk.folder) as connection:
        stored.drop_hall(connection, kept.meant_for, kept.begins_at)


def days_before(desk: Desk, today: date) -> tuple[date, ...]:
    """The past days that have a plan of the hall, the latest first."""
    require_planner(desk.reader)
    with club_file(desk.folder) as connection:
        return stored.days_before(connection, today)


def halls_of(desk: Desk, day: date) -> tuple[KeptHall, ...]:
    """The plans of the hall for a day, as far as their players are open to the reader; empty ones are left out."""
    seen = {player.player_id for player in questions.players(desk)}
    with club_file(desk.folder) as connection:
        halls = stored.halls_of(
            connection, day, lambda player: questions.fed_on(desk, player, day) if player in seen else ()
        )
    own = [replace(hall, turns=tuple(turn for turn in hall.turns if turn.player in seen)) for hall in halls]
    return tuple(hall for hall in own if hall.turns)
