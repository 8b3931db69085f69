"""What a device has to sign: a challenge, kept here until it is answered, once, by the browser that it was given to."""

import secrets
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from enum import StrEnum

from sql.club.file import ClubConnection, at, now_utc
from sql.club.tokens import new_token, token_hash

GOOD_FOR = timedelta(minutes=5)
CHALLENGE_BYTES = 32
"""WebAuthn asks for 16 at least (Level 3, 13.4.3)."""
MOST_OPEN = 500
"""Open at once; the oldest goes first."""


class Purpose(StrEnum):
    """What a signed challenge is for; one that was given for something else is worth nothing here."""

    SIGN_IN = "sign in"
    SECOND = "second factor"
    CONFIRM = "confirm"
    REGISTER = "register"


@dataclass(frozen=True)
class Challenge:
    """A challenge that was answered in time by its browser; account None: whoever has the key."""

    challenge: bytes
    purpose: Purpose
    account: int | None


def ask(connection: ClubConnection, purpose: Purpose, account: int | None) -> tuple[str, bytes]:
    """A new challenge, and the token by which its browser is known."""
    token, challenge, now = new_token(), secrets.token_bytes(CHALLENGE_BYTES), datetime.now(UTC)
    connection.execute("delete from passkey_challenges where made_at < ? or made_at > ?", [at(now - GOOD_FOR), at(now)])
    connection.execute(
        "delete from passkey_challenges where rowid in"
        " (select rowid from passkey_challenges order by made_at desc limit -1 offset ?)",
        [MOST_OPEN - 1],
    )
    connection.execute(
        "insert into passkey_challenges values (?, ?, ?, ?, ?)",
        [token_hash(token), challenge, purpose, account, now_utc()],
    )
    return token, challenge


def answered(connection: ClubConnection, token: str, purpose: Purpose) -> Challenge | None:
    """Take the challenge of this browser away: it is answered once. None where it is too old, or for another end."""
    row = connection.execute(
        "delete from passkey_challenges where token_sha256 = ? returning challenge, purpose, account, made_at",
        [token_hash(token)],
    ).fetchone()
    if row is None or row["purpose"] != purpose or not at(datetime.now(UTC) - GOOD_FOR) <= row["made_at"] <= now_utc():
        return None
    return Challenge(row["challenge"], purpose, row["account"])
