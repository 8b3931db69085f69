"""Passkeys (WebAuthn): keys that stay on a device, by which a coordinator or a coach signs in. Their public halves."""

from dataclasses import dataclass
from datetime import datetime

from models.permits import Role
from models.refusal import Refused
from sql.club.file import ClubConnection, ClubRow, all_or_nothing, now_utc

LONGEST_NAME = 40
MOST = 10
"""Of one account: nobody carries more keys, and a list without end could fill the disk."""
FOR_ROLES = (Role.COORDINATOR, Role.COACH)
"""Those who see more than one person's data."""


class PasskeyProblem(Refused):
    """A passkey that cannot be kept or removed as asked; the text says why and what to do."""


@dataclass(frozen=True)
class Passkey:
    """One key of one account."""

    passkey: int
    account: int
    name: str
    credential_id: str
    """As the device names it, base64url."""
    public_key: bytes
    sign_count: int
    """How often it was used, as far as the device counts; a smaller number afterwards means a copy."""
    made_at: datetime
    used_at: datetime | None


def keep(
    connection: ClubConnection, account: int, name: str, credential_id: str, public_key: bytes, sign_count: int
) -> None:
    """Keep a new key. Raises PasskeyProblem."""
    called = " ".join(name.split())
    if not called or len(called) > LONGEST_NAME or not called.isprintable():
        raise PasskeyProblem(f"saw the name {called[:60]!r}, expected 1 to {LONGEST_NAME} printable characters.")
    with all_or_nothing(connection):
        own = of_account(connection, account)
        if len(own) >= MOST:
            raise PasskeyProblem(f"you have {MOST} passkeys already. Remove one first.")
        if any(key.name.casefold() == called.casefold() for key in own):
            raise PasskeyProblem(f"you have a passkey that is called {called} already. Give this one another name.")
        if by_credential(connection, credential_id):
            raise PasskeyProblem("this passkey is kept here already.")
        connection.execute(
            "insert into passkeys (account, name, credential_id, public_key, sign_count, made_at)"
            " values (?, ?, ?, ?, ?, ?)",
            [account, called, credential_id, public_key, sign_count, now_utc()],
        )


def of_account(connection: ClubConnection, account: int) -> list[Passkey]:
    """The keys of an account, the first one first."""
    rows = connection.execute("select * from passkeys where account = ? order by passkey", [account]).fetchall()
    return [_passkey(row) for row in rows]


def by_credential(connection: ClubConnection, credential_id: str) -> Passkey | None:
    """The key that a device names so."""
    row = connection.execute("select * from passkeys where credential_id = ?", [credential_id]).fetchone()
    return _passkey(row) if row else None


def was_used(connection: ClubConnection, passkey: int, sign_count: int) -> None:
    """Note that a key was used, and how often the device says it was."""
    connection.execute(
        "update passkeys set used_at = ?, sign_count = ? where passkey = ?", [now_utc(), sign_count, passkey]
    )


def remove(connection: ClubConnection, account: int, passkey: int) -> str | None:
    """Remove a key of this account; what it was called. With the last one the password alone is enough again."""
    with all_or_nothing(connection):
        row = connection.execute(
            "delete from passkeys where passkey = ? and account = ? returning name", [passkey, account]
        ).fetchone()
        if not of_account(connection, account):
            require_them(connection, account, is_required=False)
    return str(row["name"]) if row else None


def remove_all(connection: ClubConnection, account: int) -> int:
    """Remove every key of an account, as when a device is lost; how many there were."""
    count = connection.execute("delete from passkeys where account = ?", [account]).rowcount
    require_them(connection, account, is_required=False)
    return count


def require_them(connection: ClubConnection, account: int, *, is_required: bool) -> None:
    """Whether the password alone lets in. Raises PasskeyProblem where there is no passkey to ask for."""
    if is_required and not of_account(connection, account):
        raise PasskeyProblem("you have no passkey yet. Make one first.")
    connection.execute("update accounts set needs_passkey = ? where account = ?", [int(is_required), account])


def are_required(connection: ClubConnection, account: int) -> bool:
    """The password of this account alone lets nobody in; a backup that was given back has no keys to ask for."""
    row = connection.execute(
        "select 1 from accounts as a join passkeys as p on a.account = p.account"
        " where a.account = ? and a.needs_passkey = 1",
        [account],
    ).fetchone()
    return row is not None


def _passkey(row: ClubRow) -> Passkey:
    return Passkey(
        row["passkey"],
        row["account"],
        row["name"],
        row["credential_id"],
        row["public_key"],
        row["sign_count"],
        datetime.fromisoformat(row["made_at"]),
        datetime.fromisoformat(row["used_at"]) if row["used_at"] else None,
    )
