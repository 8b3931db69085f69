"""Sign-ins that failed, for as long as they slow down whoever guesses: by name and address, by each, and by browser.

Instants are those of the monotonic clock, which runs from the start of the machine: a clock that is set, forwards or
back, changes no wait. Those from before a restart lie ahead, and are forgotten.
"""

from collections.abc import Iterable
from hashlib import sha256
from time import monotonic

from models.permits import Role
from models.throttling import (
    OF_ADDRESS,
    OF_KNOWN_BROWSER,
    OF_NAME,
    OF_NAME_FROM_ADDRESS,
    OF_ONLY_COORDINATOR,
    REMEMBERED_FOR_S,
    Patience,
    wait_s,
)
from sql.club import accounts, known_browsers
from sql.club.accounts import name_key
from sql.club.file import ClubConnection, all_or_nothing


def begin_attempt(connection: ClubConnection, name: str, address: str, browsers: Iterable[str] = ()) -> int:
    """Seconds to wait; 0 where somebody may try now. `browsers`: the tokens by which the browser is known, if any.

    An attempt that may be made counts as failed until `forgive`: a hundred at once get no further than one by one.
    """
    now_s = monotonic()
    with all_or_nothing(connection):
        forgotten = [now_s - REMEMBERED_FOR_S, now_s]
        connection.execute("delete from failures where at_s < ? or at_s > ?", forgotten)
        held = _held_against(connection, name, address, browsers)
        wait = max(wait_s(_failed_at_s(connection, key), now_s, patience) for key, patience in held.items())
        if wait == 0:
            connection.executemany(
                "insert into failures (of_sha256, at_s) values (?, ?)", [(key, now_s) for key in held]
            )
    return wait


def forgive(connection: ClubConnection, name: str, address: str, browsers: Iterable[str] = ()) -> None:
    """The attempt succeeded: each key has one failure less, and the person's own from here are forgotten.

    Not all of the address's: else whoever has one account could guess for ever, signing in now and then.
    """
    for key in _held_against(connection, name, address, browsers):
        connection.execute(
            "delete from failures where rowid in"
            " (select rowid from failures where of_sha256 = ? order by at_s desc limit 1)",
            [key],
        )
    connection.execute("delete from failures where of_sha256 = ?", [_key("name", name_key(name), address)])


def _held_against(connection: ClubConnection, name: str, address: str, browsers: Iterable[str]) -> dict[str, Patience]:
    """What an attempt is counted under. A browser that the person was signed in with is held to its own tries alone."""
    account = accounts.by_name(connection, name)
    if account and (known := known_browsers.known_to(connection, account.account, browsers)):
        return {_key("browser", known, name_key(name)): OF_KNOWN_BROWSER}
    from_here = _key("name", name_key(name), address)
    if account and account.role is Role.COORDINATOR and accounts.is_only_coordinator(connection, account.account):
        return {from_here: OF_ONLY_COORDINATOR}
    return {
        from_here: OF_NAME_FROM_ADDRESS,
        _key("address", address): OF_ADDRESS,
        _key("name", name_key(name)): OF_NAME,
    }


def _failed_at_s(connection: ClubConnection, key: str) -> list[float]:
    return [
        at_s for (at_s,) in connection.execute("select at_s from failures where of_sha256 = ? order by at_s", [key])
    ]


def _key(*of: str) -> str:
    return sha256("\n".join(of).encode()).hexdigest()
