"""Invitations: a link with which the person of an account comes in for the first time, or sets a new password. Once."""

from datetime import UTC, datetime, timedelta

from sql.club import accounts
from sql.club.accounts import Account
from sql.club.file import ClubConnection, all_or_nothing, at, now_utc
from sql.club.tokens import new_token, token_hash

GOOD_FOR = timedelta(days=7)


def invite(connection: ClubConnection, account: int) -> str:
    """A new link's token; an earlier link of the account is worth nothing from now on."""
    token = new_token()
    with all_or_nothing(connection):
        connection.execute("delete from invitations where account = ? or ends_at < ?", [account, now_utc()])
        connection.execute(
            "insert into invitations values (?, ?, ?, ?)",
            [token_hash(token), account, now_utc(), at(datetime.now(UTC) + GOOD_FOR)],
        )
    return token


def invited(connection: ClubConnection, token: str) -> Account | None:
    """Whom an open link invites. Looking does not use it up: programs that check mail open every link."""
    row = connection.execute(
        "select account from invitations where token_sha256 = ? and ends_at >= ?", [token_hash(token), now_utc()]
    ).fetchone()
    return accounts.by_number(connection, row["account"]) if row else None


def redeem(connection: ClubConnection, token: str) -> int | None:
    """Use a link up; the account's number, or None where somebody was quicker or it is too old."""
    row = connection.execute(
        "delete from invitations where token_sha256 = ? and ends_at >= ? returning account",
        [token_hash(token), now_utc()],
    ).fetchone()
    return int(row["account"]) if row else None


def is_open(connection: ClubConnection, account: int) -> bool:
    """A link of this account waits to be used."""
    rows = connection.execute(
        "select 1 from invitations where account = ? and ends_at >= ?", [account, now_utc()]
    ).fetchall()
    return bool(rows)


def take_back(connection: ClubConnection, account: int) -> None:
    """An open link of this account is worth nothing from now on."""
    connection.execute("delete from invitations where account = ?", [account])
