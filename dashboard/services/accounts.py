"""What is done to accounts, by a coordinator on the screen or by whoever holds the folder: each step is noted.

Everything here raises NotPermitted for anybody else, and NotConfirmed for a coordinator who opens a door, or closes one
for good, without having said just now who they are.
"""

from collections.abc import Collection
from dataclasses import dataclass

from dashboard import questions
from dashboard.questions import Desk
from dashboard.words.people import role_in_words
from models.permits import ACCOUNT_ROLES, EVERY_GROUP, Reader, Role, require_confirmed, require_keeper
from sql.club import accounts, audit_trail, invitations, known_browsers, passkeys, web_sessions
from sql.club.accounts import Account, AccountProblem
from sql.club.audit_trail import Event
from sql.club.file import ClubConnection, club_file
from sql.federation.served import served_federation
from sql.folder import DataFolder
from sql.warehouse import NothingPublished

FIRST_COORDINATOR = "coordinator"

INVITATION_PATH = "/account/invitation/"
"""Where the person of a link comes in; the token follows."""


@dataclass(frozen=True)
class Person:
    """An account, and how it stands."""

    account: Account
    browsers: int
    is_invited: bool
    passkeys: int

    @property
    def state(self) -> str:
        """Whether its person has come in, in words."""
        if self.is_invited:
            return "has a link that is not used yet"
        return "has come in" if self.account.is_redeemed else "needs a new link"


def people(folder: DataFolder, by: Reader) -> list[Person]:
    """All accounts, by role and name."""
    require_keeper(by)
    stay = web_sessions.coordinators_stay(folder)
    with club_file(folder) as connection:
        return [
            Person(
                one,
                len(web_sessions.open_sessions(connection, one.account, stay)),
                invitations.is_open(connection, one.account),
                len(passkeys.of_account(connection, one.account)),
            )
            for one in accounts.everyone(connection)
        ]


def invite(desk: Desk, name: str, role: Role, *, players: Collection[str] = (), groups: Collection[str] = ()) -> str:
    """Make an account; the path of its link. Raises AccountProblem."""
    require_keeper(desk.reader)
    require_confirmed(desk.reader)
    require_offered(desk.folder, role)
    require_known(desk, players, groups)
    with club_file(desk.folder) as connection:
        number = accounts.add(connection, name, role, players=players, groups=groups)
        return _link(connection, _existing(connection, number), desk.reader)


def new_link(folder: DataFolder, account: Account, by: Reader) -> str:
    """Another link for an account; the path of it. Its person sets a new password with it."""
    require_keeper(by)
    require_confirmed(by)
    with club_file(folder) as connection:
        return _link(connection, account, by)


def with_open_links(folder: DataFolder, by: Reader) -> frozenset[int]:
    """The accounts with a link that waits to be used."""
    require_keeper(by)
    with club_file(folder) as connection:
        return frozenset(
            one.account for one in accounts.everyone(connection) if invitations.is_open(connection, one.account)
        )


def take_link_back(folder: DataFolder, account: Account, by: Reader) -> None:
    """The open link of an account is worth nothing from now on."""
    require_keeper(by)
    with club_file(folder) as connection:
        invitations.take_back(connection, account.account)
        audit_trail.record(connection, Event.INVITATION, f"{account.name}: the link taken back", reader=by)


def _link(connection: ClubConnection, account: Account, by: Reader) -> str:
    token = invitations.invite(connection, account.account)
    audit_trail.record(connection, Event.INVITATION, f"{account.name}, {role_in_words(account.reader)}", reader=by)
    return INVITATION_PATH + token


def sign_out_everywhere(folder: DataFolder, account: Account, by: Reader) -> int:
    """Sign an account out everywhere, and take its link back; how many browsers that were."""
    require_keeper(by)
    with club_file(folder) as connection:
        ended = web_sessions.end_all(connection, account.account)
        known_browsers.forget(connection, account.account)
        invitations.take_back(connection, account.account)
        audit_trail.record(connection, Event.SIGN_OUT, f"{account.name} everywhere: {ended}", reader=by)
    return ended


def remove_passkeys(folder: DataFolder, account: Account, by: Reader) -> int:
    """Remove every passkey of an account, as when a device is lost; how many there were."""
    require_keeper(by)
    require_confirmed(by)
    with club_file(folder) as connection:
        removed = passkeys.remove_all(connection, account.account)
        audit_trail.record(connection, Event.ACCOUNT, f"{account.name}: passkeys removed, {removed}", reader=by)
    return removed


def change_role(
    desk: Desk, account: Account, role: Role, *, players: Collection[str] = (), groups: Collection[str] = ()
) -> None:
    """Give an account another role, or other players or groups. Raises AccountProblem."""
    require_keeper(desk.reader)
    require_confirmed(desk.reader)
    require_offered(desk.folder, role)
    require_known(desk, players, groups)
    with club_file(desk.folder) as connection:
        accounts.change_role(connection, account, role, players=players, groups=groups)
        now = _existing(connection, account.account)
        about = f"{account.name}: {role_in_words(account.reader)}, from now on {role_in_words(now.reader)}"
        audit_trail.record(connection, Event.ACCOUNT, about, reader=desk.reader)


def remove(folder: DataFolder, account: Account, by: Reader) -> None:
    """Remove an account; it is signed out everywhere. Raises AccountProblem."""
    require_keeper(by)
    require_confirmed(by)
    with club_file(folder) as connection:
        accounts.remove(connection, account)
        audit_trail.record(
            connection, Event.ACCOUNT, f"{account.name}, {role_in_words(account.reader)}: removed", reader=by
        )


def first_coordinators_link(folder: DataFolder, by: Reader) -> str | None:
    """The path of a link for the first coordinator, as long as no coordinator has come in; else None."""
    with club_file(folder) as connection:
        coordinators = [one for one in accounts.everyone(connection) if one.role is Role.COORDINATOR]
        if any(one.is_redeemed for one in coordinators):
            return None
        if not coordinators:
            number = accounts.add(connection, FIRST_COORDINATOR, Role.COORDINATOR)
            coordinators = [_existing(connection, number)]
        return _link(connection, coordinators[0], by)


def roles_offered(folder: DataFolder) -> tuple[Role, ...]:
    """What an account may be here: in the folder of a body, which has no players, nobody trains or is trained."""
    return ACCOUNT_ROLES if served_federation(folder) is None else (Role.COORDINATOR,)


def require_offered(folder: DataFolder, role: Role) -> None:
    """Raises AccountProblem for a role that nobody has here."""
    offered = roles_offered(folder)
    if role in ACCOUNT_ROLES and role not in offered:
        raise AccountProblem(
            f"saw the role {role}, expected {', '.join(offered)}: this folder serves a federation, whose clubs keep "
            "their players, and whose people see no person."
        )


def require_known(desk: Desk, players: Collection[str], groups: Collection[str]) -> None:
    """Raises AccountProblem for a player or a group that the club does not have."""
    if not players and not groups:
        return
    try:
        known = questions.players(desk)
    except NothingPublished:
        raise AccountProblem("the club has no players yet. Load the list of players first.") from None
    codes = {player.player_id for player in known}
    trained = {player.group_name for player in known if player.group_name} | {EVERY_GROUP}
    for kind, seen, expected in (("player", players, codes), ("group", groups, trained)):
        if unknown := sorted(set(seen) - expected):
            raise AccountProblem(
                f"saw the {kind} {', '.join(unknown)}, expected an active {kind} of the club: "
                f"{', '.join(sorted(expected)[:60])}."
            )


def _existing(connection: ClubConnection, number: int) -> Account:
    account = accounts.by_number(connection, number)
    if account is None:
        raise AccountProblem("this account was removed in the meantime.")
    return account
