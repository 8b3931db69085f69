"""What somebody does with their own account: their browsers, another password, saying again who they are. Slow too."""

from dataclasses import dataclass

from dashboard.door import passwords
from dashboard.door.sign_in_flow import Denied, Visit, fault_of, wait_in_words
from sql.club import account_news, accounts, audit_trail, failures, known_browsers, passkeys, web_sessions
from sql.club.account_news import News, What
from sql.club.audit_trail import Event
from sql.club.file import ClubConnection, all_or_nothing, club_file
from sql.club.passkeys import Passkey
from sql.club.tokens import token_hash
from sql.club.web_sessions import OpenSession, SignedIn
from sql.folder import DataFolder


@dataclass(frozen=True)
class OwnAccount:
    """What somebody is shown of their account."""

    sessions: tuple[OpenSession, ...]
    news: tuple[News, ...]
    has_password: bool
    has_provider: bool
    passkeys: tuple[Passkey, ...] | None
    """None for whom there are none: players and guardians."""
    needs_passkey: bool


def own_account(folder: DataFolder, who: SignedIn) -> OwnAccount:
    """In which browsers somebody is signed in, what they are to be told, and by what they are known."""
    number = who.reader.account or 0
    with club_file(folder) as connection:
        account = accounts.by_number(connection, number)
        return OwnAccount(
            tuple(web_sessions.open_sessions(connection, number, web_sessions.coordinators_stay(folder))),
            tuple(account_news.untold(connection, who.session)),
            account is not None and account.has_password,
            account is not None and account.has_provider,
            tuple(passkeys.of_account(connection, number)) if who.reader.role in passkeys.FOR_ROLES else None,
            passkeys.are_required(connection, number),
        )


def read_news(folder: DataFolder, who: SignedIn, up_to: int) -> None:
    """Tell no more in this browser of what came up to this."""
    with club_file(folder) as connection:
        account_news.is_read(connection, who.session, up_to)


def confirm(folder: DataFolder, who: SignedIn, password: str, visit: Visit) -> Denied | None:
    """Say again who one is, by the password."""
    with club_file(folder) as connection:
        if denied := _not_the_password(connection, who, password, visit, "saying again who one is"):
            return denied
        web_sessions.confirm(connection, who.session)
        audit_trail.record(
            connection, Event.SIGN_IN, "said again by password", reader=who.reader, address=visit.address
        )
    return None


def change_password(
    folder: DataFolder, who: SignedIn, password: str, new: tuple[str, str], visit: Visit
) -> Denied | None:
    """Another password; signed out everywhere else, and no other browser is known any more."""
    with club_file(folder) as connection:
        if denied := _not_the_password(connection, who, password, visit, "another password"):
            return denied
        if fault := fault_of(folder, new, who.reader.name):
            return Denied(fault, 422)
        kept = passwords.hashed(new[0])
        with all_or_nothing(connection):
            _keep_password(connection, who, kept, visit)
    return None


def _keep_password(connection: ClubConnection, who: SignedIn, kept: str, visit: Visit) -> None:
    number = who.reader.account or 0
    accounts.keep_password_hash(connection, number, kept)
    web_sessions.end_all(connection, number, but=who.session)
    known_browsers.forget(connection, number, but=visit.browsers)
    browser = known_browsers.known_to(connection, number, visit.browsers) or ""
    account_news.tell(connection, number, What.ANOTHER_PASSWORD, visit.device, token_hash(browser))
    audit_trail.record(connection, Event.ACCOUNT, "another password", reader=who.reader, address=visit.address)


def _not_the_password(
    connection: ClubConnection, who: SignedIn, password: str, visit: Visit, what_for: str
) -> Denied | None:
    name, address = who.reader.name, visit.address
    if wait_s := failures.begin_attempt(connection, name, address, visit.browsers):
        return Denied(wait_in_words(wait_s), 429, wait_s)
    if not passwords.matches(accounts.password_hash(connection, who.reader.account or 0), password):
        audit_trail.record(connection, Event.REFUSAL, f"{what_for}: not the password", reader=who.reader)
        return Denied("The password until now is not right.", 403)
    failures.forgive(connection, name, address, visit.browsers)
    return None


def sign_out(folder: DataFolder, who: SignedIn, address: str) -> None:
    """Sign this browser out."""
    with club_file(folder) as connection:
        web_sessions.end(connection, who.session)
        audit_trail.record(connection, Event.SIGN_OUT, "", reader=who.reader, address=address)


def sign_out_there(folder: DataFolder, who: SignedIn, session: int, address: str) -> str | None:
    """Sign one of one's browsers out; which that was. None where it is not one's own, or was ended before."""
    with club_file(folder) as connection:
        device = web_sessions.end_own(connection, session, who.reader.account or 0)
        if device is not None:
            audit_trail.record(connection, Event.SIGN_OUT, f"there: {device}", reader=who.reader, address=address)
        return device


def sign_out_everywhere(folder: DataFolder, who: SignedIn, address: str) -> None:
    """Sign an account out everywhere."""
    with club_file(folder) as connection:
        ended = web_sessions.end_all(connection, who.reader.account or 0)
        known_browsers.forget(connection, who.reader.account or 0)
        audit_trail.record(connection, Event.SIGN_OUT, f"everywhere: {ended}", reader=who.reader, address=address)
