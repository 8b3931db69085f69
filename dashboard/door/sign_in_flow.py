"""What happens at the door: each visit checks, changes and notes. Slow: never on the server's own thread."""

from dataclasses import dataclass

from dashboard.door import passwords
from dashboard.words.devices import UNKNOWN
from sql.club import account_news, accounts, audit_trail, failures, invitations, known_browsers, passkeys, web_sessions
from sql.club.account_news import What
from sql.club.accounts import Account
from sql.club.audit_trail import Event
from sql.club.file import ClubConnection, all_or_nothing, club_file
from sql.club.tokens import token_hash
from sql.club.web_sessions import WAY_INVITATION, WAY_PASSWORD, WAY_PROVIDER
from sql.folder import DataFolder


@dataclass(frozen=True)
class Visit:
    """From where somebody knocks, and what their browser keeps."""

    address: str
    token: str | None = None
    """Of the session until now, if there is one."""
    browsers: tuple[str, ...] = ()
    """Those by which the people who were signed in with this browser know it."""
    device: str = UNKNOWN
    """The browser and its device, in words."""


@dataclass(frozen=True)
class LetIn:
    """What the browser of somebody who is in keeps: the session's token, and the one by which it is known again."""

    token: str
    browser: str


@dataclass(frozen=True)
class Denied:
    """Why somebody stays outside, in words for them, with the status of HTTP."""

    why: str
    status: int
    wait_s: int = 0


@dataclass(frozen=True)
class PasskeyToo:
    """The password was right, and is not enough for this account."""

    account: int


WRONG = "The name or the password is not right."


def by_password(folder: DataFolder, name: str, password: str, visit: Visit) -> LetIn | PasskeyToo | Denied:
    """Sign in by name and password."""
    address = visit.address
    with club_file(folder) as connection:
        if wait_s := failures.begin_attempt(connection, name, address, visit.browsers):
            return Denied(wait_in_words(wait_s), 429, wait_s)
        account = accounts.by_name(connection, name)
        stored_hash = accounts.password_hash(connection, account.account) if account else None
        if not passwords.matches(stored_hash, password) or account is None:
            whose = f"as {account.name}" if account else "with a name that no account has"
            audit_trail.record(connection, Event.REFUSAL, f"sign-in {whose}: not the password", address=address)
            return Denied(WRONG, 403)
        failures.forgive(connection, name, address, visit.browsers)
        if passkeys.are_required(connection, account.account):
            return PasskeyToo(account.account)
        return begin_session(connection, account, WAY_PASSWORD, visit)


def begin_session(
    connection: ClubConnection, account: Account, way: str, visit: Visit, news: What | None = None
) -> LetIn:
    """Sign a browser in, and tell the account's other browsers where it is one that was not known."""
    number, device = account.account, visit.device
    if known_browsers.knows_only_others(connection, number, visit.browsers):
        news = What.NEW_BROWSER
    browser = known_browsers.remember(connection, number, visit.browsers)
    token = web_sessions.begin(connection, number, way, visit.token, device=device, browser=browser)
    if news:
        account_news.tell(connection, number, news, device, token_hash(browser))
    audit_trail.record(connection, Event.SIGN_IN, f"by {way}", reader=account.reader, address=visit.address)
    return LetIn(token, browser)


def invited(folder: DataFolder, token: str) -> Account | None:
    """Whom a link invites, as long as it is good."""
    with club_file(folder) as connection:
        return invitations.invited(connection, token)


def by_invitation(folder: DataFolder, token: str, new: tuple[str, str], visit: Visit) -> LetIn | Denied:
    """Use a link up: the password that was chosen is the account's from now on."""
    with club_file(folder) as connection:
        account = invitations.invited(connection, token)
        if account is None:
            return Denied("This link is no longer good.", 410)
        if fault := fault_of(folder, new, account.name):
            return Denied(fault, 422)
        stored_hash = passwords.hashed(new[0])
        with all_or_nothing(connection):
            if invitations.redeem(connection, token) != account.account:
                return Denied("This link is no longer good.", 410)
            accounts.keep_password_hash(connection, account.account, stored_hash)
            web_sessions.end_all(connection, account.account)
            known_browsers.forget(connection, account.account)
            news = What.PASSWORD_BY_LINK if account.is_redeemed else None
            return begin_session(connection, account, WAY_INVITATION, visit, news)


def by_provider(folder: DataFolder, person: tuple[str, str], invitation: str | None, visit: Visit) -> LetIn | None:
    """Sign in whom a provider vouches for, by issuer and subject; None for somebody whom no account knows.

    Raises AccountProblem where a link is to tie to one account who is another's already.
    Only a link of ours ties somebody to an account, never what the provider says of their name or role.
    """
    with club_file(folder) as connection, all_or_nothing(connection):
        if invitation and (number := invitations.redeem(connection, invitation)):
            accounts.vouch(connection, number, *person)
        account = accounts.by_provider(connection, *person)
        if account is None:
            audit_trail.record(connection, Event.REFUSAL, "sign-in by provider: nobody we know", address=visit.address)
            return None
        return begin_session(connection, account, WAY_PROVIDER, visit)


def fault_of(folder: DataFolder, new: tuple[str, str], name: str) -> str | None:
    """What is wrong with a new password, typed twice, for somebody of this name; None where nothing is."""
    if new[0] != new[1]:
        return "The two passwords are not the same."
    try:
        passwords.require_strong(new[0], [name, folder.settings().club_name, folder.settings().club_id])
    except passwords.WeakPassword as weak:
        return f"The password: {weak}"
    return None


def wait_in_words(wait_s: int) -> str:
    """Why and how long to wait."""
    minutes = -(-wait_s // 60)
    duration = f"{wait_s} seconds" if wait_s < 90 else f"{minutes} minutes"
    return f"There were too many wrong tries. Wait {duration}, then try again."
