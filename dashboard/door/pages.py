"""The plain pages of the door: no framework, no script, nothing from elsewhere."""

from collections.abc import Mapping
from dataclasses import dataclass

from dashboard.door.passwords import SHORTEST
from dashboard.drawings.markup import Markup, element, joined
from dashboard.services.accounts import INVITATION_PATH
from dashboard.words.people import person_in_words
from models.permits import Reader
from sql.club.accounts import Account

NOTHING = Markup()


@dataclass(frozen=True)
class Club:
    """What every page says of the club, and whether a provider vouches for its people."""

    name: str
    provider: str | None = None


def page(club: Club, title: str, *inside: str, head: Markup = NOTHING) -> str:
    """A whole page."""
    whole_head = element(
        "head",
        Markup('<meta charset="utf-8"><meta name="viewport" content="width=device-width, initial-scale=1">'),
        element("title", f"{title} · {club.name}"),
        Markup('<link rel="icon" href="/account/tab.svg"><link rel="stylesheet" href="/account/style.css">'),
        head,
    )
    body = element("body", element("main", element("p", club.name, class_="club"), element("h1", title), *inside))
    return f"<!doctype html>{element('html', whole_head, body, lang='en')}"


def sign_in(club: Club, wanted: str, *, name: str = "", wrong: str = "", done: str = "") -> str:
    """Name and password; a provider's button where there is one."""
    form = element(
        "form",
        _hidden("next", wanted),
        _field("name", "Your name here", "text", "username", value=name),
        _field("password", "Password", "password", "current-password"),
        element("button", "Sign in"),
        method="post",
        action="/account/sign-in",
    )
    lost = "No account, or the password is lost? Ask your coordinator for a link."
    return page(
        club, "Sign in", _said(wrong, done), form, _by_provider(club, wanted), element("p", lost, class_="hint")
    )


def _by_provider(club: Club, wanted: str) -> Markup:
    if club.provider is None:
        return NOTHING
    button = element("button", f"Sign in with {club.provider}", class_="quiet")
    return element("form", _hidden("next", wanted), button, method="post", action="/account/provider")


def invitation(club: Club, account: Account, names: Mapping[str, str], token: str, *, wrong: str = "") -> str:
    """Whom the link invites, and the password that they choose."""
    greeting = f"This link lets you in as {person_in_words(account.reader, names)}. It works once."
    form = element(
        "form",
        _hidden("name", account.name, "username"),  # For password keepers, which note it beside the password.
        *_new_password(),
        element("button", "Come in"),
        method="post",
        action=f"{INVITATION_PATH}{token}",
    )
    return page(club, "Welcome", element("p", greeting), _said(wrong, ""), form, _vouched(club, token))


def _vouched(club: Club, token: str) -> Markup:
    if club.provider is None:
        return NOTHING
    button = element("button", f"Use {club.provider} instead", class_="quiet")
    return element("form", _hidden("invitation", token), button, method="post", action="/account/provider")


def no_invitation(club: Club) -> str:
    """A link that is worth nothing, without telling why."""
    sorry = (
        "This link was used already, was replaced by a newer one, or is too old. Ask your coordinator for a new one."
    )
    to_sign_in = element("p", element("a", "To the sign-in", href="/account/sign-in"))
    return page(club, "This link is no longer good", element("p", sorry), to_sign_in)


def to_provider(club: Club, there: str) -> str:
    """On the way to the provider. A page: the policy lets no form of ours end up elsewhere, by redirection either."""
    go = element("meta", http_equiv="refresh", content=f"0;url={there}").removesuffix("</meta>")
    link = element("a", f"Go on to {club.provider}", href=there, class_="act")
    return page(club, "One moment", element("p", link), head=Markup(go))


def not_known_here(club: Club) -> str:
    """Somebody whom the provider knows, and we do not."""
    sorry = (
        "Your sign-in is valid, but nobody has opened this club's logs to it. Ask your coordinator for a link, "
        "open it, and choose this sign-in there."
    )
    return page(club, "You have no account here", element("p", sorry, class_="wrong", role="alert"), _back())


BROKEN_OFF = "The sign-in was broken off, or took too long. Nothing has happened. Try again."


def provider_failed(club: Club, sorry: str = BROKEN_OFF) -> str:
    """The way over the provider came to nothing."""
    return page(club, "Not signed in", element("p", sorry, class_="wrong", role="alert"), _back())


def _back() -> Markup:
    return element("p", element("a", "To the sign-in", href="/account/sign-in"))


def account(
    club: Club,
    reader: Reader,
    names: Mapping[str, str],
    browsers: int,
    *,
    has_password: bool,
    wrong: str = "",
    done: str = "",
) -> str:
    """One's own account: who one is here, the ways out, and another password."""
    many = "this browser only" if browsers == 1 else f"{browsers} browsers, this one included"
    who = f"You are {person_in_words(reader, names)}. You are signed in with {many}."
    return page(
        club,
        "Your account",
        element("p", who),
        _said(wrong, done),
        _button("Sign out", "/account/sign-out"),
        _button("Sign out everywhere", "/account/sign-out-everywhere", "quiet"),
        _another_password() if has_password else NOTHING,
        element("p", element("a", "Back to the pages", href="/")),
    )


def _another_password() -> Markup:
    return joined(
        [
            element("h2", "Another password"),
            element(
                "form",
                _field("password", "Password until now", "password", "current-password"),
                *_new_password(),
                element("button", "Change it, and sign out everywhere else", class_="quiet"),
                method="post",
                action="/account/password",
            ),
        ]
    )


def _new_password() -> tuple[Markup, Markup]:
    hint = f"At least {SHORTEST} characters. Three or four words that have nothing to do together are good."
    return (
        _field("new", "New password", "password", "new-password", hint=hint),
        _field("again", "The same again", "password", "new-password"),
    )


def _button(words: str, action: str, look: str | None = None) -> Markup:
    return element("form", element("button", words, class_=look), method="post", action=action)


def _field(name: str, asked: str, kind: str, fills: str, *, value: str = "", hint: str = "") -> Markup:
    box = _input(
        id=name,
        name_=name,
        type=kind,
        autocomplete=fills,
        value=value or None,
        aria_describedby=f"{name}-hint" if hint else None,
        required="required",
    )
    told = element("p", hint, class_="hint", id=f"{name}-hint") if hint else NOTHING
    return joined([element("label", asked, for_=name), box, told])


def _hidden(name: str, value: str, fills: str | None = None) -> Markup:
    return _input(type="hidden", name_=name, value=value, autocomplete=fills)


def _input(**attributes: str | None) -> Markup:
    return Markup(element("input", **attributes).removesuffix("</input>"))


def _said(wrong: str, done: str) -> Markup:
    if wrong:
        return element("p", wrong, class_="wrong", role="alert")
    return element("p", done, class_="done", role="status") if done else NOTHING
