"""The audit trail: what was done, when, by whom. It is added to, never changed; what is old goes."""

from dataclasses import dataclass
from datetime import date, datetime
from enum import StrEnum

from models.permits import Reader, require_keeper
from sql.club.file import ClubConnection, all_or_nothing, club_file, now_utc
from sql.folder import DataFolder

LONGEST_ABOUT = 300


class Event(StrEnum):
    """What kind of thing was done."""

    SIGN_IN = "sign-in"
    SIGN_OUT = "sign-out"
    REFUSAL = "refusal"
    LOAD = "load"
    WITHDRAWAL = "withdrawal"
    EXPORT = "export"
    ERASURE = "erasure"
    INVITATION = "invitation"
    ACCOUNT = "account"


@dataclass(frozen=True)
class Entry:
    """One line of the trail."""

    happened_at: datetime
    name: str | None
    event: Event
    player: str | None
    about: str
    address: str | None


def record(
    connection: ClubConnection,
    event: Event,
    about: str,
    *,
    reader: Reader | None = None,
    player: str | None = None,
    address: str | None = None,
) -> None:
    """Add a line. Nothing that was typed as a secret may stand in `about`."""
    account, name = (reader.account, reader.name) if reader else (None, None)
    connection.execute(
        "insert into trail (happened_at, account, name, event, player, about, address) values (?, ?, ?, ?, ?, ?, ?)",
        [now_utc(), account, name, event, player, about[:LONGEST_ABOUT], address],
    )


def record_in(folder: DataFolder, event: Event, about: str, *, reader: Reader, player: str | None = None) -> None:
    """Add a line on its own."""
    with club_file(folder) as connection:
        record(connection, event, about, reader=reader, player=player)


def entries(connection: ClubConnection, reader: Reader, limit: int, event: Event | None = None) -> list[Entry]:
    """The latest lines, the newest first; of one kind only, if it is given. Raises NotPermitted."""
    require_keeper(reader)
    rows = connection.execute(
        "select happened_at, name, event, player, about, address from trail"
        " where ? is null or event = ? order by entry desc limit ?",
        [event, event, limit],
    ).fetchall()
    return [
        Entry(datetime.fromisoformat(when), name, Event(kind), player, about, address)
        for when, name, kind, player, about, address in rows
    ]


def drop_older(folder: DataFolder, first_kept: date | None) -> int:
    """Remove entries from before this day, and note that; how many they were. No day: all are kept."""
    if first_kept is None or not folder.club_file.exists():
        return 0
    with club_file(folder) as connection, all_or_nothing(connection):
        # Text order is time order, and a day alone sorts before every instant of that day.
        dropped = connection.execute("delete from trail where happened_at < ?", [first_kept.isoformat()]).rowcount
        if dropped:
            record(connection, Event.ERASURE, f"the audit trail before {first_kept}: entries {dropped}")
    return dropped
