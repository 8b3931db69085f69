"""Browsers in which somebody was signed in before: what others try with that person's name does not hold them up.

A browser keeps a token for each of its people; here stands the hash.
"""

from collections.abc import Iterable
from datetime import UTC, datetime, timedelta

from sql.club.file import ClubConnection, at, now_utc
from sql.club.tokens import new_token, token_hash

KEPT_FOR = timedelta(days=400)
"""As long as browsers keep a cookie at most (RFC 6265bis, 5.5)."""


def known_to(connection: ClubConnection, account: int, tokens: Iterable[str]) -> str | None:
    """The token, out of those that a browser presents, by which this account knows it."""
    for token in tokens:
        found = connection.execute(
            "select 1 from known_browsers where token_sha256 = ? and account = ?", [token_hash(token), account]
        )
        if found.fetchone():
            return token
    return None


def knows_only_others(connection: ClubConnection, account: int, tokens: Iterable[str]) -> bool:
    """The account knows browsers, and none that presents one of these tokens."""
    if known_to(connection, account, tokens):
        return False
    return connection.execute("select 1 from known_browsers where account = ?", [account]).fetchone() is not None


def remember(connection: ClubConnection, account: int, tokens: Iterable[str]) -> str:
    """The token by which the account knows this browser from now on: the one until now, or a new one."""
    token = known_to(connection, account, tokens) or new_token()
    connection.execute("delete from known_browsers where seen_at < ?", [at(datetime.now(UTC) - KEPT_FOR)])
    connection.execute(
        "insert into known_browsers (token_sha256, account, made_at, seen_at) values (?, ?, ?, ?)"
        " on conflict (token_sha256) do update set seen_at = excluded.seen_at",
        [token_hash(token), account, now_utc(), now_utc()],
    )
    return token


def forget(connection: ClubConnection, account: int, but: Iterable[str] = ()) -> None:
    """The account knows no browser any more, but those of these tokens."""
    spared = [token_hash(token) for token in but]
    marks = ", ".join("?" * len(spared))
    connection.execute(
        f"delete from known_browsers where account = ? and token_sha256 not in ({marks})",
        [account, *spared],
    )
