"""Browsers that are signed in. They stand in the club file: a line less there is signed out everywhere at once."""

import secrets
from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta

from models.permits import Reader, Role
from sql.club import accounts
from sql.club.file import ClubConnection, ClubRow, at, now_utc
from sql.club.tokens import new_token, token_hash
from sql.folder import DataFolder, FolderProblem

UNSEEN_FOR = timedelta(days=14)
"""A browser that does not come back for so long is signed out."""
AT_MOST = timedelta(days=90)
"""After so long one signs in anew in any case."""
NOTED_EVERY = timedelta(minutes=10)
"""How exactly it is known when a browser was last seen."""
CONFIRMED_FOR = timedelta(minutes=10)
"""For so long somebody who said who they are need not say it again before what cannot be taken back. A choice."""

WAY_PASSWORD, WAY_INVITATION, WAY_PROVIDER, WAY_PASSKEY = "password", "invitation", "provider", "passkey"


@dataclass(frozen=True)
class CoordinatorsStay:
    """The same for a coordinator, to whom everything is open: settings of the club, never longer than anybody's."""

    unseen_for: timedelta = timedelta(days=1)
    at_most: timedelta = timedelta(days=7)


AT_FIRST = CoordinatorsStay()


def coordinators_stay(folder: DataFolder) -> CoordinatorsStay:
    """As the club sets it; as it is to begin with where its settings cannot be read, of which the pages tell."""
    try:
        settings = folder.settings()
    except FolderProblem:
        return AT_FIRST
    return CoordinatorsStay(
        timedelta(hours=settings.coordinator_idle_hours), timedelta(days=settings.coordinator_most_days)
    )


@dataclass(frozen=True)
class SignedIn:
    """A signed-in browser, and on whose behalf it asks."""

    session: int
    reader: Reader


@dataclass(frozen=True)
class OpenSession:
    """A signed-in browser, as its person is shown it."""

    session: int
    device: str
    made_at: datetime
    seen_at: datetime


def begin(
    connection: ClubConnection,
    account: int,
    way: str,
    old_token: str | None = None,
    *,
    device: str = "a browser",
    browser: str | None = None,
) -> str:
    """Sign a browser in; its token. Always a new one: what an attacker may have planted before is worth nothing.

    `device` in words; `browser`: the token by which the account knows it again.
    """
    if old_token:
        connection.execute("delete from web_sessions where token_sha256 = ?", [token_hash(old_token)])
    connection.execute("delete from web_sessions where seen_at < ? or made_at < ?", _limits())
    token, now = new_token(), now_utc()
    connection.execute(
        "insert into web_sessions (token_sha256, session, account, made_at, seen_at, way, device, browser_sha256,"
        " confirmed_at) values (?, ?, ?, ?, ?, ?, ?, ?, ?)",
        [
            *(token_hash(token), secrets.randbits(62), account, now, now, way, device),
            *(token_hash(browser) if browser else None, now),
        ],
    )
    return token


def by_token(connection: ClubConnection, token: str, stay: CoordinatorsStay = AT_FIRST) -> SignedIn | None:
    """The browser that holds this token, as long as its session lasts. Notes that it was seen."""
    row = connection.execute("select * from web_sessions where token_sha256 = ?", [token_hash(token)]).fetchone()
    signed_in = _lasting(connection, row, stay)
    if signed_in and row["seen_at"] < at(datetime.now(UTC) - NOTED_EVERY):
        connection.execute("update web_sessions set seen_at = ? where session = ?", [now_utc(), row["session"]])
    return signed_in


def by_number(
    connection: ClubConnection, session: int, account: int, stay: CoordinatorsStay = AT_FIRST
) -> SignedIn | None:
    """The browser of this session, as long as the session lasts and is still this account's."""
    row = connection.execute(
        "select * from web_sessions where session = ? and account = ?", [session, account]
    ).fetchone()
    return _lasting(connection, row, stay)


def _lasting(connection: ClubConnection, row: ClubRow | None, stay: CoordinatorsStay) -> SignedIn | None:
    account = accounts.by_number(connection, row["account"]) if row else None
    if row is None or account is None:
        return None
    unseen_since, made_since = _limits(stay if account.role is Role.COORDINATOR else None)
    lasts = row["seen_at"] >= unseen_since and row["made_at"] >= made_since
    reader = replace(account.reader, is_confirmed=_is_confirmed(row["confirmed_at"]))
    return SignedIn(row["session"], reader) if lasts else None


def _is_confirmed(confirmed_at: str | None) -> bool:
    # A time that is yet to come was written before the clock was set back: it would count for too long.
    return confirmed_at is not None and at(datetime.now(UTC) - CONFIRMED_FOR) <= confirmed_at <= now_utc()


def _limits(stay: CoordinatorsStay | None = None) -> tuple[str, str]:
    now = datetime.now(UTC)
    if stay is not None:
        return at(now - stay.unseen_for), at(now - stay.at_most)
    return at(now - UNSEEN_FOR), at(now - AT_MOST)


def confirm(connection: ClubConnection, session: int) -> None:
    """The person of this session has said again who they are."""
    connection.execute("update web_sessions set confirmed_at = ? where session = ?", [now_utc(), session])


def end(connection: ClubConnection, session: int) -> None:
    """Sign one browser out."""
    connection.execute("delete from web_sessions where session = ?", [session])


def end_own(connection: ClubConnection, session: int, account: int) -> str | None:
    """Sign one browser of this account out; which device that was. None where the account has no such session."""
    ended = connection.execute(
        "delete from web_sessions where session = ? and account = ? returning device", [session, account]
    ).fetchone()
    return str(ended["device"]) if ended else None


def end_all(connection: ClubConnection, account: int, but: int | None = None) -> int:
    """Sign an account out everywhere, but for one session; how many browsers that were."""
    return connection.execute(
        "delete from web_sessions where account = ? and session is not ?", [account, but]
    ).rowcount


def open_sessions(connection: ClubConnection, account: int, stay: CoordinatorsStay = AT_FIRST) -> list[OpenSession]:
    """The browsers that an account is signed in with, the one seen last first."""
    found = connection.execute(
        "select * from web_sessions where account = ? order by seen_at desc, made_at desc", [account]
    ).fetchall()
    return [
        OpenSession(row["session"], row["device"], *map(datetime.fromisoformat, (row["made_at"], row["seen_at"])))
        for row in found
        if _lasting(connection, row, stay)
    ]


def still_open(connection: ClubConnection, sessions: frozenset[int]) -> frozenset[int]:
    """Those of these sessions that nobody has ended."""
    marks = ", ".join("?" * len(sessions))
    rows = connection.execute(f"select session from web_sessions where session in ({marks})", [*sessions]).fetchall()
    return frozenset(session for (session,) in rows)
