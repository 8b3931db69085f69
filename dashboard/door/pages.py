"""The plain pages of the door: no framework, nothing from elsewhere, and one script, which empties the browser."""

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from jinja2 import Environment, FileSystemLoader, StrictUndefined

from dashboard.door.checks import CONFIRM
from dashboard.door.passwords import SHORTEST
from dashboard.drawings.icons import mark
from dashboard.drawings.signs import shown
from dashboard.look.stylesheet import LETTERS, address_of, address_of_sheet
from dashboard.services.accounts import INVITATION_PATH
from dashboard.words.own_account import WAS_IT_YOU
from dashboard.words.people import person_in_words
from models.permits import Reader
from models.settings import Settings
from sql.club.accounts import Account
from sql.club.passkeys import LONGEST_NAME

BROKEN_OFF = "The sign-in was broken off, or took too long. Nothing has happened. Try again."
NOT_ASKED_AGAIN = "Your sign-in there did not ask you anew who you are. Sign out there, then try again."
NO_PASSKEY_HERE = "This account needs its passkey, which works at the club's own address only. Open that one."
UNKNOWN = (
    "Your sign-in is valid, but nobody has opened this club's logs to it. Ask your coordinator for a link, open it, "
    "and choose this sign-in there."
)

_TEMPLATES = Environment(
    loader=FileSystemLoader(Path(__file__).parent / "templates"),
    autoescape=True,
    undefined=StrictUndefined,
    trim_blocks=True,
    lstrip_blocks=True,
)

_MARK = shown(mark(), 22)


@dataclass(frozen=True)
class Club:
    """What every page says of the club, and whether a provider vouches for its people; its colour."""

    name: str
    provider: str | None = None
    colour: str = Settings().club_colour


def _page(template: str, club: Club, **values: Any) -> str:
    look = {"sheet": address_of_sheet(club.colour), "letters": address_of(LETTERS), "mark": _MARK}
    return _TEMPLATES.get_template(template).render(club=club, **look, **values).lstrip()


def sign_in(club: Club, wanted: str, *, name: str = "", wrong: str = "", done: str = "") -> str:
    """Name and password; a provider's button where there is one."""
    return _page("sign_in.html", club, wanted=wanted, name=name, wrong=wrong, done=done)


def invitation(club: Club, account: Account, names: Mapping[str, str], token: str, *, wrong: str = "") -> str:
    """Whom the link invites, and the password that they choose."""
    return _page(
        "invitation.html",
        club,
        name=account.name,
        who=person_in_words(account.reader, names),
        address=INVITATION_PATH + token,
        token=token,
        shortest=SHORTEST,
        wrong=wrong,
    )


def no_invitation(club: Club) -> str:
    """A link that is worth nothing, without telling why."""
    return _page("no_invitation.html", club)


def nothing_here(club: Club) -> str:
    """An address at which there is nothing."""
    return _page("nothing_here.html", club)


def to_provider(club: Club, there: str) -> str:
    """On the way to the provider. A page: the policy lets no form of ours end up elsewhere, by redirection either."""
    return _page("to_provider.html", club, there=there)


def not_known_here(club: Club) -> str:
    """Somebody whom the provider knows, and we do not."""
    return _page("not_let_in.html", club, title="You have no account here", sorry=UNKNOWN)


def provider_failed(club: Club, sorry: str = BROKEN_OFF) -> str:
    """The way over the provider came to nothing."""
    return _page("not_let_in.html", club, title="Not signed in", sorry=sorry)


def passkey_too(club: Club, wanted: str, options: dict[str, Any]) -> str:
    """After the password, the passkey: what the device is to sign stands in the page, as text."""
    return _page("passkey_too.html", club, wanted=wanted, options=json.dumps(options))


@dataclass(frozen=True)
class OwnKeys:
    """One's passkeys, as the page names them, each with its number; whether the password alone is enough."""

    keys: Sequence[tuple[int, str, str]]
    are_required: bool
    work_here: bool


@dataclass(frozen=True)
class Browser:
    """One of the browsers in which somebody is signed in, as the page names it."""

    session: int
    device: str
    seen: str
    is_this: bool


def account(
    club: Club,
    who: tuple[Reader, Mapping[str, str]],
    browsers: Sequence[Browser],
    news: Sequence[tuple[int, str]],
    *,
    has_password: bool,
    own_keys: OwnKeys | None = None,
    wrong: str = "",
    done: str = "",
) -> str:
    """One's own account: who one is here, what happened to it, where one is signed in, and another password.

    `who`: with the names of players by code. `news`: each with its number. `own_keys`: None for whom they are not.
    """
    return _page(
        "account.html",
        club,
        who=person_in_words(*who),
        browsers=browsers,
        news=news,
        was_it_you=WAS_IT_YOU,
        has_password=has_password,
        own_keys=own_keys,
        longest_key_name=LONGEST_NAME,
        shortest=SHORTEST,
        wrong=wrong,
        done=done,
    )


def confirmation(
    club: Club,
    name: str,
    wanted: str,
    *,
    has_password: bool,
    has_provider: bool,
    has_passkey: bool = False,
    wrong: str = "",
) -> str:
    """Somebody who is signed in says again who they are."""
    by_provider = has_provider and club.provider is not None
    by_what = {"has_password": has_password, "has_provider": by_provider, "has_passkey": has_passkey}
    return _page("confirm.html", club, name=name, wanted=wanted, address=CONFIRM, wrong=wrong, **by_what)
