"""What sources of files mean by columns and words, remembered and forgotten on a coordinator's behalf."""

from collections.abc import Iterable

from dashboard.questions import Desk
from dashboard.services.as_of_now import require_keeper_now
from models.permits import require_keeper
from sql.club import file_meanings
from sql.club.audit_trail import Event, record
from sql.club.file import club_file
from sql.club.file_meanings import Said

OVER = "What files mean is said by coordinators. Nothing was changed."


def remember(desk: Desk, said: Iterable[Said]) -> None:
    """Keep what was said of sources. Raises NotPermitted for whoever looks after no logs at this moment."""
    said = list(said)
    if not said:
        return
    with club_file(desk.folder) as connection:
        require_keeper_now(connection, desk.reader, OVER)
        file_meanings.remember(connection, said, desk.reader.account)
        record(connection, Event.LOAD, f"remembered of files: {_told(said)}", reader=desk.reader)


def forget(desk: Desk, one: Said) -> None:
    """Read files of the source as if nobody had said it. Raises NotPermitted in the same way."""
    with club_file(desk.folder) as connection:
        require_keeper_now(connection, desk.reader, OVER)
        file_meanings.forget(connection, one)
        record(connection, Event.LOAD, f"no longer remembered of files: {_told([one])}", reader=desk.reader)


def remembered(desk: Desk) -> tuple[Said, ...]:
    """All that is remembered. Raises NotPermitted for whoever looks after no logs."""
    require_keeper(desk.reader)
    with club_file(desk.folder) as connection:
        return file_meanings.all_said(connection)


def _told(said: Iterable[Said]) -> str:
    return ", ".join(f"{one.typed} is {one.meant}" for one in said)[:200]
