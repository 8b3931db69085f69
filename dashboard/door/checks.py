"""What the guard asks of every request before anything else. Pure: each check gives its refusal, or None."""

import ipaddress
from urllib.parse import quote, urlsplit

from starlette.datastructures import Headers
from starlette.responses import PlainTextResponse, RedirectResponse, Response
from starlette.types import Scope

from dashboard.door.screens import SCREENS
from dashboard.door.settings import Door

SIGN_IN = "/account/sign-in"
CONFIRM = "/account/confirm"
HEALTH = "/_stcore/health"
STREAM = "/_stcore/stream"
UPLOADS = "/_stcore/upload_file/"

OPEN = (
    HEALTH,
    SIGN_IN,
    "/account/invitation/",
    "/account/provider",
    "/account/style.css",
    "/account/leaving.js",
    "/account/passkey.js",
    "/account/passkey/ask",
    "/account/passkey/sign-in",
    "/account/tab.svg",
    "/look/",
)
NOT_SERVED = ("/_stcore/metrics", "/_stcore/agent", "/_stcore/script-health-check", "/auth/", "/oauth2callback")
"""Streamlit's own that nobody here needs: figures about the process, an interface for programs, another sign-in."""
NOT_PAGES = ("/_stcore/", "/media/", "/component/", "/static/", "/app/", "/api/", "/look/")
"""Below these nobody reads: a program asks, and is told by a status."""
READING = ("GET", "HEAD")
METHODS = (*READING, "POST", "PUT", "DELETE", "OPTIONS")
"""What anything here is asked by; TRACE and CONNECT, and whatever somebody makes up, are not."""
PAGE_ADDRESSES = frozenset({"/", "/table", "/account"} | {screen.address for screen in SCREENS})
"""Of our own pages, those of the door's forms aside."""


def is_open(path: str) -> bool:
    """Anybody may have this."""
    return any(path == one or (one.endswith("/") and path.startswith(one)) for one in OPEN) or path.startswith(
        "/account/provider/"
    )


def not_served(scope: Scope) -> Response | None:
    """Nothing that we do not serve, and in no other way."""
    if scope["method"] not in METHODS:
        return PlainTextResponse("Nothing here is asked in this way.", 405)
    if scope["path"].startswith(NOT_SERVED):
        return PlainTextResponse("There is nothing here.", 404)
    return None


def wrong_host(scope: Scope, door: Door) -> Response | None:
    """Only under our own names: a page elsewhere could give its own name our address and read what we answer.

    An address in figures cannot be taken in that way.
    """
    name = host_name(Headers(scope=scope).get("host", ""))
    if name in door.host_names or _is_address(name):
        return None
    what_to_do = "put it into club.toml, section [door]: public_url where a TLS proxy stands before, else hosts"
    return PlainTextResponse(f"This server is not called {name[:100]!r}. If that is its name, {what_to_do}.", 421)


def host_name(host: str) -> str:
    """The name in a Host header, without its port."""
    try:
        return (urlsplit(f"//{host}").hostname or "").lower()
    except ValueError:
        return ""


def _is_address(name: str) -> bool:
    try:
        ipaddress.ip_address(name)
    except ValueError:
        return False
    return True


def from_elsewhere(scope: Scope, door: Door) -> Response | None:
    """Nothing is changed, and no websocket opened, on behalf of a page that is not ours."""
    if scope["type"] == "http" and scope["method"] in READING:
        return None
    headers = Headers(scope=scope)
    origin, site = headers.get("origin"), headers.get("sec-fetch-site")
    if site in (None, "same-origin") and origin is not None and _is_ours(origin, headers.get("host", ""), door):
        return None
    sentence = "This was sent from another site, or by a browser that does not say from where."
    if door.settings.public_url is None and any(name.startswith("x-forwarded-") for name in headers):
        sentence += " If a TLS proxy stands before this server, set public_url in club.toml, section [door]."
    return PlainTextResponse(sentence, 403)


def _is_ours(origin: str, host: str, door: Door) -> bool:
    return origin in (f"http://{host}", f"https://{host}") or origin == door.settings.public_url


def stranger(scope: Scope) -> Response | None:
    """Nothing for whoever is not signed in; a reader is led to the sign-in, and from there to where they wanted."""
    path = scope["path"]
    if is_open(path):
        return None
    if scope["method"] in READING and not path.startswith(NOT_PAGES):
        query = scope["query_string"].decode("latin-1")
        wanted = path + (f"?{query}" if query else "")
        return RedirectResponse(f"{SIGN_IN}?next={quote(wanted, safe='')}" if wanted != "/" else SIGN_IN, 303)
    return PlainTextResponse("Sign in first.", 401)


def safe_next(wanted: str) -> str:
    """Where to go after the sign-in: a page of ours by its name, never an address that somebody wrote into a link."""
    path, _, query = wanted.partition("?")
    if path in PAGE_ADDRESSES and len(wanted) <= 500 and query.isprintable() and not set(query) & set("\\#"):
        return wanted
    return "/"


def confirm_before(wanted: str) -> str:
    """Where to say again who one is; from there on to a page of ours."""
    return f"{CONFIRM}?next={quote(wanted, safe='')}"
