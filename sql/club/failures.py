"""Sign-ins that failed, by name and by address, for as long as they slow down whoever guesses."""

from datetime import UTC, datetime
from hashlib import sha256

from models.throttling import REMEMBERED_FOR, delayed_s, locked_s
from sql.club.accounts import name_key
from sql.club.file import ClubConnection, all_or_nothing, at


def begin_attempt(connection: ClubConnection, name: str, address: str) -> int:
    """Seconds to wait; 0 where somebody may try now.

    An attempt that may be made counts as failed until `forgive`: a hundred at once get no further than one by one.
    """
    now = datetime.now(UTC)
    with all_or_nothing(connection):
        connection.execute("delete from failures where happened_at < ?", [at(now - REMEMBERED_FOR)])
        of_name, of_address = _failed_at(connection, _of_name(name)), _failed_at(connection, _of_address(address))
        wait_s = max(locked_s(of_name, now), delayed_s(of_address, now))
        if wait_s == 0:
            attempts = [(_of_name(name), at(now)), (_of_address(address), at(now))]
            connection.executemany("insert into failures (of_sha256, happened_at) values (?, ?)", attempts)
    return wait_s


def forgive(connection: ClubConnection, name: str, address: str) -> None:
    """The attempt succeeded: the name's failures are forgotten, and the address has one less.

    Not all of the address's: else whoever has one account could guess for ever, signing in now and then.
    """
    connection.execute("delete from failures where of_sha256 = ?", [_of_name(name)])
    connection.execute(
        "delete from failures where rowid in"
        " (select rowid from failures where of_sha256 = ? order by happened_at desc limit 1)",
        [_of_address(address)],
    )


def _failed_at(connection: ClubConnection, key: str) -> list[datetime]:
    rows = connection.execute("select happened_at from failures where of_sha256 = ? order by happened_at", [key])
    return [datetime.fromisoformat(happened_at) for (happened_at,) in rows]


def _of_name(name: str) -> str:
    return sha256(f"name {name_key(name)}".encode()).hexdigest()


def _of_address(address: str) -> str:
    return sha256(f"address {address}".encode()).hexdigest()
