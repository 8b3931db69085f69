"""Browsers that are signed in. They stand in the club file: a line less there is signed out everywhere at once."""

import secrets
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta

from models.permits import Reader, Role
from sql.club import accounts
from sql.club.file import ClubConnection, ClubRow, at, now_utc
from sql.club.tokens import new_token, token_hash

UNSEEN_FOR = timedelta(days=14)
"""A browser that does not come back for so long is signed out."""
AT_MOST = timedelta(days=90)
"""After so long one signs in anew in any case."""
COORDINATOR_UNSEEN_FOR, COORDINATOR_AT_MOST = timedelta(days=1), timedelta(days=7)
"""The same for a coordinator, to whom everything is open."""
NOTED_EVERY = timedelta(hours=1)
"""How exactly it is known when a browser was last seen."""

WAY_PASSWORD, WAY_INVITATION, WAY_PROVIDER = "password", "invitation", "provider"


@dataclass(frozen=True)
class SignedIn:
    """A signed-in browser, and on whose behalf it asks."""

    session: int
    reader: Reader


def begin(connection: ClubConnection, account: int, way: str, old_token: str | None = None) -> str:
    """Sign a browser in; its token. Always a new one: what an attacker may have planted before is worth nothing."""
    if old_token:
        connection.execute("delete from web_sessions where token_sha256 = ?", [token_hash(old_token)])
    connection.execute("delete from web_sessions where seen_at < ? or made_at < ?", _limits())
    token, now = new_token(), now_utc()
    connection.execute(
        "insert into web_sessions values (?, ?, ?, ?, ?, ?)",
        [token_hash(token), secrets.randbits(62), account, now, now, way],
    )
    return token


def by_token(connection: ClubConnection, token: str) -> SignedIn | None:
    """The browser that holds this token, as long as its session lasts. Notes that it was seen."""
    row = connection.execute("select * from web_sessions where token_sha256 = ?", [token_hash(token)]).fetchone()
    signed_in = _lasting(connection, row)
    if signed_in and row["seen_at"] < at(datetime.now(UTC) - NOTED_EVERY):
        connection.execute("update web_sessions set seen_at = ? where session = ?", [now_utc(), row["session"]])
    return signed_in


def by_number(connection: ClubConnection, session: int, account: int) -> SignedIn | None:
    """The browser of this session, as long as the session lasts and is still this account's."""
    row = connection.execute(
        "select * from web_sessions where session = ? and account = ?", [session, account]
    ).fetchone()
    return _lasting(connection, row)


def _lasting(connection: ClubConnection, row: ClubRow | None) -> SignedIn | None:
    account = accounts.by_number(connection, row["account"]) if row else None
    if row is None or account is None:
        return None
    unseen_since, made_since = _limits(account.role)
    lasts = row["seen_at"] >= unseen_since and row["made_at"] >= made_since
    return SignedIn(row["session"], account.reader) if lasts else None


def _limits(role: Role | None = None) -> tuple[str, str]:
    now = datetime.now(UTC)
    if role is Role.COORDINATOR:
        return at(now - COORDINATOR_UNSEEN_FOR), at(now - COORDINATOR_AT_MOST)
    return at(now - UNSEEN_FOR), at(now - AT_MOST)


def end(connection: ClubConnection, session: int) -> None:
    """Sign one browser out."""
    connection.execute("delete from web_sessions where session = ?", [session])


def end_all(connection: ClubConnection, account: int, but: int | None = None) -> int:
    """Sign an account out everywhere, but for one session; how many browsers that were."""
    return connection.execute(
        "delete from web_sessions where account = ? and session is not ?", [account, but]
    ).rowcount


def open_sessions(connection: ClubConnection, account: int) -> int:
    """How many browsers an account is signed in with."""
    found = connection.execute("select * from web_sessions where account = ?", [account]).fetchall()
    return sum(_lasting(connection, row) is not None for row in found)
