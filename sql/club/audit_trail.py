"""The audit trail: what was done, when, by whom. It is added to, and refusals are counted; what is old goes."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date, datetime
from enum import StrEnum
from typing import Any

from models.permits import Reader, require_keeper
from sql.club.file import ClubConnection, all_or_nothing, club_file, now_utc, within_one
from sql.club.seals import broken_seals, seal_all, seal_from
from sql.folder import DataFolder

LONGEST_ABOUT = 300
COUNTED_WITHIN = 50
"""A refusal is counted with one of its kind among so many latest entries; further back it would not be seen."""


MOST_OF_A_KIND = 5
"""So many refusals about different players stand by themselves; then they are counted, whomever they are about."""


class Event(StrEnum):
    """What kind of thing was done."""

    SIGN_IN = "sign-in"
    SIGN_OUT = "sign-out"
    REFUSAL = "refusal"
    LOAD = "load"
    WITHDRAWAL = "withdrawal"
    ACCEPTANCE = "acceptance"
    SETTINGS = "settings"
    EXPORT = "export"
    ERASURE = "erasure"
    INVITATION = "invitation"
    ACCOUNT = "account"


@dataclass(frozen=True)
class Entry:
    """One line of the trail."""

    entry: int
    happened_at: datetime
    name: str | None
    event: Event
    player: str | None
    about: str
    address: str | None
    times: int
    """How often it happened: refusals of one kind, by one person from one address, are counted in one entry."""
    last_at: datetime | None
    """When it happened last, where that was more than once."""
    seal: str | None
    """Hash of this entry and of the seal before it."""

    def on_the_wall(self, local: Callable[[datetime], datetime]) -> dict[str, Any]:
        """What a reader is shown of it, with times by the clock that `local` reads."""
        values = {name: value for name, value in vars(self).items() if name not in ("entry", "seal")}
        return values | {
            "happened_at": local(self.happened_at),
            "last_at": local(self.last_at) if self.last_at else None,
        }


def record(
    connection: ClubConnection,
    event: Event,
    about: str,
    *,
    reader: Reader | None = None,
    player: str | None = None,
    address: str | None = None,
    kind: str | None = None,
) -> None:
    """Add a line. Nothing that was typed as a secret may stand in `about`.

    A refusal of the same kind (`kind`, else what it is about) as one of the latest is counted there: nobody buries
    what others did under their own.
    """
    account, name = (reader.account, reader.name) if reader else (None, None)
    kind = (kind or about)[:LONGEST_ABOUT] if event is Event.REFUSAL else None
    with within_one(connection):
        if kind and (entry := _of_same_kind(connection, kind, account, player, address)):
            connection.execute("update trail set times = times + 1, last_at = ? where entry = ?", [now_utc(), entry])
        else:
            entry = connection.execute(
                "insert into trail (happened_at, account, name, event, player, about, address, kind)"
                " values (?, ?, ?, ?, ?, ?, ?, ?) returning entry",
                [now_utc(), account, name, event, player, about[:LONGEST_ABOUT], address, kind],
            ).fetchone()[0]
        seal_from(connection, entry)


def _of_same_kind(
    connection: ClubConnection, kind: str, account: int | None, player: str | None, address: str | None
) -> int | None:
    rows = connection.execute(
        "select entry, player from trail where entry > (select max(entry) from trail) - ?"
        " and kind = ? and account is ? and address is ? order by entry desc",
        [COUNTED_WITHIN, kind, account, address],
    ).fetchall()
    about_same = [row["entry"] for row in rows if row["player"] == player]
    about_others = [row["entry"] for row in rows][MOST_OF_A_KIND - 1 :]
    return next(iter(about_same + about_others), None)


def record_in(folder: DataFolder, event: Event, about: str, *, reader: Reader, player: str | None = None) -> None:
    """Add a line on its own."""
    with club_file(folder) as connection:
        record(connection, event, about, reader=reader, player=player)


def entries(connection: ClubConnection, reader: Reader, limit: int, event: Event | None = None) -> list[Entry]:
    """The latest lines, the newest first; of one kind only, if it is given. Raises NotPermitted."""
    require_keeper(reader)
    rows = connection.execute(
        "select * from trail where ? is null or event = ? order by entry desc limit ?",
        [event, event, limit],
    ).fetchall()
    return [
        Entry(
            row["entry"],
            datetime.fromisoformat(row["happened_at"]),
            row["name"],
            Event(row["event"]),
            row["player"],
            row["about"],
            row["address"],
            row["times"],
            datetime.fromisoformat(row["last_at"]) if row["last_at"] else None,
            row["seal"],
        )
        for row in rows
    ]


def drop_older(folder: DataFolder, first_kept: date | None) -> int:
    """Remove entries from before this day, and note that; how many they were. No day: all are kept."""
    if first_kept is None or not folder.club_file.exists():
        return 0
    with club_file(folder) as connection, all_or_nothing(connection):
        is_whole = not any(broken_seals(connection))
        # Text order is time order, and a day alone sorts before every instant of that day.
        dropped = connection.execute("delete from trail where happened_at < ?", [first_kept.isoformat()]).rowcount
        if dropped:
            if is_whole:  # A break that is there already is for `verify` to tell, and must not be sealed over.
                seal_all(connection)
            record(connection, Event.ERASURE, f"the audit trail before {first_kept}: entries {dropped}")
    return dropped
