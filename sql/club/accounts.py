"""Accounts: a name, a role, and for whom. Every function takes the open club file."""

import unicodedata
from collections.abc import Collection, Iterable
from dataclasses import dataclass

from models.permits import ACCOUNT_ROLES, Reader, Role
from models.refusal import Refused
from sql.club.file import ClubConnection, ClubRow, all_or_nothing, now_utc

LONGEST_NAME = 60


class AccountProblem(Refused):
    """An account that cannot be made or changed as asked; the text says why and what to do."""


@dataclass(frozen=True)
class Account:
    """One account."""

    account: int
    name: str
    role: Role
    players: frozenset[str]
    groups: frozenset[str]
    has_password: bool
    has_provider: bool

    @property
    def reader(self) -> Reader:
        """On whose behalf its person asks."""
        return Reader(self.name, self.role, self.account, self.players, self.groups)

    @property
    def is_redeemed(self) -> bool:
        """Its person has come in at least once."""
        return self.has_password or self.has_provider


def name_key(name: str) -> str:
    """One form for all spellings of a name: compatibility characters, case and spaces do not tell people apart."""
    return " ".join(unicodedata.normalize("NFKC", name).casefold().split())


def add(
    connection: ClubConnection, name: str, role: Role, *, players: Collection[str] = (), groups: Collection[str] = ()
) -> int:
    """Make an account that nobody has come into yet; its number. Raises AccountProblem."""
    named = " ".join(name.split())
    if not named or len(named) > LONGEST_NAME or not named.isprintable():
        raise AccountProblem(f"saw the name {named[:80]!r}, expected 1 to {LONGEST_NAME} printable characters.")
    _require_sense(role, players, groups)
    if by_name(connection, named):
        raise AccountProblem(f"there is an account {named!r} already. Choose another name, or make a new link for it.")
    with all_or_nothing(connection):
        row = connection.execute(
            "insert into accounts (name, name_key, role, made_at) values (?, ?, ?, ?) returning account",
            [named, name_key(named), role, now_utc()],
        ).fetchone()
        _stand_for(connection, row["account"], players, groups)
    return int(row["account"])


def change_role(
    connection: ClubConnection,
    account: Account,
    role: Role,
    *,
    players: Collection[str] = (),
    groups: Collection[str] = (),
) -> None:
    """Give an account another role, or other players or groups. In force with its next click. Raises AccountProblem."""
    _require_sense(role, players, groups)
    with all_or_nothing(connection):
        if role is not Role.COORDINATOR:
            _keep_a_coordinator(connection, account)
        connection.execute("update accounts set role = ? where account = ?", [role, account.account])
        connection.execute("delete from account_players where account = ?", [account.account])
        connection.execute("delete from account_groups where account = ?", [account.account])
        _stand_for(connection, account.account, players, groups)


def _stand_for(connection: ClubConnection, account: int, players: Iterable[str], groups: Iterable[str]) -> None:
    own, trained = [(account, player) for player in set(players)], [(account, group) for group in set(groups)]
    connection.executemany("insert into account_players values (?, ?)", own)
    connection.executemany("insert into account_groups values (?, ?)", trained)


def _require_sense(role: Role, players: Collection[str], groups: Collection[str]) -> None:
    """A role stands for what it needs, and for nothing else."""
    if role not in ACCOUNT_ROLES:
        raise AccountProblem(f"saw the role {role}, expected one of {', '.join(ACCOUNT_ROLES)}.")
    fewest, most, to_do = _STANDS_FOR_PLAYERS.get(role, (0, 0, f"A {role}'s account names no player."))
    if not fewest <= len(players) <= most:
        raise AccountProblem(to_do)
    if (role is Role.COACH) != bool(groups):
        raise AccountProblem(
            "Choose the groups that the coach trains, or every group (*)."
            if role is Role.COACH
            else f"A {role}'s account names no group."
        )


_STANDS_FOR_PLAYERS = {
    Role.PLAYER: (1, 1, "Choose the one player whose account this is."),
    Role.GUARDIAN: (1, 20, "Choose the players whom the guardian looks after, at most 20."),
}
"""How many players an account of a role names at least and at most, and what to do where it does not."""


def remove(connection: ClubConnection, account: Account) -> None:
    """Remove an account with its sessions and invitations. Raises AccountProblem for the last coordinator."""
    with all_or_nothing(connection):
        _keep_a_coordinator(connection, account)
        connection.execute("delete from accounts where account = ?", [account.account])


def is_only_coordinator(connection: ClubConnection, account: int) -> bool:
    """There is no coordinator beside this account."""
    others = connection.execute(
        "select count(*) from accounts where role = 'coordinator' and account <> ?", [account]
    ).fetchone()[0]
    return not others


def _keep_a_coordinator(connection: ClubConnection, account: Account) -> None:
    if account.role is Role.COORDINATOR and is_only_coordinator(connection, account.account):
        raise AccountProblem(f"{account.name} is the only coordinator. Invite another one first.")


def everyone(connection: ClubConnection) -> list[Account]:
    """All accounts, by role and name."""
    rows = connection.execute("select * from accounts order by role, name_key").fetchall()
    return [_account(connection, row) for row in rows]


def by_number(connection: ClubConnection, account: int) -> Account | None:
    """The account of this number."""
    row = connection.execute("select * from accounts where account = ?", [account]).fetchone()
    return _account(connection, row) if row else None


def by_name(connection: ClubConnection, name: str) -> Account | None:
    """The account of this name, in whatever spelling."""
    row = connection.execute("select * from accounts where name_key = ?", [name_key(name)]).fetchone()
    return _account(connection, row) if row else None


def by_provider(connection: ClubConnection, issuer: str, subject: str) -> Account | None:
    """The account whose person an OpenID provider knows by this subject."""
    row = connection.execute("select * from accounts where issuer = ? and subject = ?", [issuer, subject]).fetchone()
    return _account(connection, row) if row else None


def _account(connection: ClubConnection, row: ClubRow) -> Account:
    number = row["account"]
    players = connection.execute("select player from account_players where account = ?", [number]).fetchall()
    groups = connection.execute("select group_name from account_groups where account = ?", [number]).fetchall()
    return Account(
        number,
        row["name"],
        Role(row["role"]),
        frozenset(player for (player,) in players),
        frozenset(group for (group,) in groups),
        row["password_hash"] is not None,
        row["issuer"] is not None,
    )


def password_hash(connection: ClubConnection, account: int) -> str | None:
    """What is kept of an account's password."""
    row = connection.execute("select password_hash from accounts where account = ?", [account]).fetchone()
    return row["password_hash"] if row else None


def keep_password_hash(connection: ClubConnection, account: int, stored_hash: str) -> None:
    """Keep this of an account's password from now on."""
    connection.execute("update accounts set password_hash = ? where account = ?", [stored_hash, account])


def vouch(connection: ClubConnection, account: int, issuer: str, subject: str) -> None:
    """From now on the person whom the provider knows by this subject is the account's. Raises AccountProblem."""
    other = by_provider(connection, issuer, subject)
    if other and other.account != account:
        raise AccountProblem("this sign-in belongs to another account already. Ask your coordinator.")
    connection.execute("update accounts set issuer = ?, subject = ? where account = ?", [issuer, subject, account])
