"""Slowing down whoever guesses: a lock for the name, a growing delay for the address."""

from datetime import UTC, datetime, timedelta
from hashlib import sha256

from dashboard.door.accounts import name_key
from sql.club_file import ClubConnection, all_or_nothing, at, now_utc

REMEMBERED_FOR = timedelta(minutes=15)
MOST_FAILURES_OF_NAME = 10
"""So many failures within the time remembered lock a name until the oldest is forgotten."""
FREE_FAILURES_OF_ADDRESS = 5
"""After so many an address waits: 2 s, then twice as long each time."""
LONGEST_DELAY_S = 300


def begin_try(connection: ClubConnection, name: str, address: str) -> int:
    """Seconds to wait; 0 where somebody may try now.

    A try that may be made counts as failed until `forgive`: a hundred at once get no further than one by one.
    """
    now = datetime.now(UTC)
    with all_or_nothing(connection):
        connection.execute("delete from failures where happened_at < ?", [at(now - REMEMBERED_FOR)])
        wait_s = max(_locked_s(connection, _of_name(name), now), _delayed_s(connection, _of_address(address), now))
        if wait_s == 0:
            tries = [(_of_name(name), now_utc()), (_of_address(address), now_utc())]
            connection.executemany("insert into failures values (?, ?)", tries)
    return wait_s


def forgive(connection: ClubConnection, name: str, address: str) -> None:
    """The try succeeded: the name's failures are forgotten, and the address has one less.

    Not all of the address's: else whoever has one account could guess for ever, signing in now and then.
    """
    connection.execute("delete from failures where of_sha256 = ?", [_of_name(name)])
    connection.execute(
        "delete from failures where rowid in"
        " (select rowid from failures where of_sha256 = ? order by happened_at desc limit 1)",
        [_of_address(address)],
    )


def _locked_s(connection: ClubConnection, key: str, now: datetime) -> int:
    happened = _failures(connection, key)
    return (
        _left_s(happened[-MOST_FAILURES_OF_NAME] + REMEMBERED_FOR, now) if len(happened) >= MOST_FAILURES_OF_NAME else 0
    )


def _delayed_s(connection: ClubConnection, key: str, now: datetime) -> int:
    happened = _failures(connection, key)
    beyond = len(happened) - FREE_FAILURES_OF_ADDRESS
    if beyond < 0:
        return 0
    return _left_s(happened[-1] + timedelta(seconds=min(2.0 ** min(beyond + 1, 20), LONGEST_DELAY_S)), now)


def _failures(connection: ClubConnection, key: str) -> list[datetime]:
    rows = connection.execute("select happened_at from failures where of_sha256 = ? order by happened_at", [key])
    return [datetime.fromisoformat(happened_at) for (happened_at,) in rows]


def _left_s(until: datetime, now: datetime) -> int:
    left_s = (until - now).total_seconds()
    return max(0, int(left_s) + (left_s > 0))


def _of_name(name: str) -> str:
    return sha256(f"name {name_key(name)}".encode()).hexdigest()


def _of_address(address: str) -> str:
    return sha256(f"address {address}".encode()).hexdigest()
