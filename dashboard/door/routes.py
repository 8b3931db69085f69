"""What the plain pages of the door do for whoever stands before it: sign in, come in by a link."""

from collections.abc import Callable, Mapping
from datetime import timedelta
from functools import partial
from pathlib import Path
from typing import ParamSpec, TypeVar
from urllib.parse import parse_qsl

from anyio import CapacityLimiter
from anyio.to_thread import run_sync
from starlette.requests import Request
from starlette.responses import FileResponse, HTMLResponse, RedirectResponse, Response
from starlette.routing import Route

from dashboard import questions
from dashboard.door import pages, passkeys, sign_in_flow
from dashboard.door.checks import SIGN_IN, safe_next
from dashboard.door.guard import client_address, presented_token, signed_in
from dashboard.door.headers import OWN_PAGES
from dashboard.door.pages import Club
from dashboard.door.passkeys import Asked
from dashboard.door.settings import Door
from dashboard.door.sign_in_flow import Denied, LetIn, PasskeyToo, Visit
from dashboard.questions import Desk
from dashboard.services.accounts import INVITATION_PATH
from dashboard.words.devices import device_in_words
from models.permits import Reader
from sql.club.known_browsers import KEPT_FOR
from sql.club.passkey_challenges import GOOD_FOR, Purpose
from sql.club.web_sessions import AT_MOST, SignedIn

STYLE = Path(__file__).parent / "style.css"
PASSKEY = Path(__file__).parent / "passkey.js"
LEAVING = Path(__file__).parent / "leaving.js"
TAB_PICTURE = Path(__file__).parents[1] / "drawings" / "tab.svg"

MOST_FIELDS = 10
MOST_PEOPLE_OF_BROWSER = 5
"""By so many it is known again: a family may share one."""
# Each password costs 64 MiB while it is looked at: two at once, the others wait their turn.
_PASSWORDS_AT_ONCE = 2

P = ParamSpec("P")
T = TypeVar("T")


class DoorRoutes:
    """The handlers, with the door they stand at."""

    def __init__(self, door: Door) -> None:
        self._door = door
        self._passwords = CapacityLimiter(_PASSWORDS_AT_ONCE)

    def routes(self) -> list[Route]:
        """All of them, by address."""
        return [
            Route(SIGN_IN, self.ask_to_sign_in),
            Route(SIGN_IN, self.sign_in, methods=["POST"]),
            Route(INVITATION_PATH + "{token}", self.ask_to_come_in),
            Route(INVITATION_PATH + "{token}", self.come_in, methods=["POST"]),
            Route("/account/style.css", partial(_file, STYLE, "text/css")),
            Route("/account/leaving.js", partial(_file, LEAVING, "text/javascript")),
            Route("/account/passkey.js", partial(_file, PASSKEY, "text/javascript")),
            Route("/account/tab.svg", partial(_file, TAB_PICTURE, "image/svg+xml")),
        ]

    async def ask_to_sign_in(self, request: Request) -> Response:
        """The sign-in; whoever is signed in goes on to where they wanted."""
        wanted = safe_next(request.query_params.get("next", "/"))
        if signed_in(request.scope):
            return RedirectResponse(wanted, 303)
        done = "You are signed out." if "out" in request.query_params else ""
        return shown(pages.sign_in(await self.club(), wanted, done=done))

    async def sign_in(self, request: Request) -> Response:
        """Name and password; a browser that was signed in as somebody else is no longer."""
        form = await fields(request)
        name, wanted = form.get("name", ""), safe_next(form.get("next", "/"))
        came = await self.slowly(
            sign_in_flow.by_password,
            self._door.folder,
            name,
            form.get("password", ""),
            self.visit(request),
        )
        if isinstance(came, Denied):
            answer = shown(pages.sign_in(await self.club(), wanted, name=name, wrong=came.why), came.status)
            if came.wait_s:
                answer.headers["retry-after"] = str(came.wait_s)
            return answer
        if isinstance(came, PasskeyToo):
            return await self._ask_for_passkey(request, came, wanted)
        return self.let_in(request, came, wanted)

    async def _ask_for_passkey(self, request: Request, came: PasskeyToo, wanted: str) -> Response:
        """The password was right: now the passkey of the same account, in this browser."""
        place = passkeys.here(self._door, request.headers.get("host", ""))
        if place is None:
            return shown(pages.sign_in(await self.club(), wanted, wrong=pages.NO_PASSKEY_HERE), 403)
        about = (self._door.folder, place, Purpose.SECOND, came.account)
        asked = await run_sync(passkeys.ask_to_sign, *about)
        return with_challenge(self._door, shown(pages.passkey_too(await self.club(), wanted, asked.options)), asked)

    async def ask_to_come_in(self, request: Request) -> Response:
        """Whom the link invites. Only a press of the button uses it up."""
        token = request.path_params["token"]
        account = await run_sync(sign_in_flow.invited, self._door.folder, token)
        if account is None:
            return shown(pages.no_invitation(await self.club()), 410)
        return shown(pages.invitation(await self.club(), account, await self.names(account.reader), token))

    async def come_in(self, request: Request) -> Response:
        """Choose a password, and be in."""
        token, form = request.path_params["token"], await fields(request)
        came = await self.slowly(
            sign_in_flow.by_invitation,
            self._door.folder,
            token,
            (form.get("new", ""), form.get("again", "")),
            self.visit(request),
        )
        if not isinstance(came, Denied):
            return self.let_in(request, came, "/")
        account = await run_sync(sign_in_flow.invited, self._door.folder, token)
        if account is None:
            return shown(pages.no_invitation(await self.club()), 410)
        return shown(
            pages.invitation(await self.club(), account, await self.names(account.reader), token, wrong=came.why),
            came.status,
        )

    async def names(self, reader: Reader) -> Mapping[str, str]:
        """The names of the players whom somebody may see, by code."""
        return await run_sync(questions.names_by_code, Desk(self._door.folder, reader))

    def visit(self, request: Request) -> Visit:
        """From where somebody knocks, and what their browser keeps."""
        known_by = request.cookies.get(self._known_cookie, "").split(".")[:MOST_PEOPLE_OF_BROWSER]
        return Visit(
            client_address(request.scope),
            presented_token(request.scope),
            tuple(filter(None, known_by)),
            device_in_words(request.headers.get("user-agent", "")),
        )

    def let_in(self, request: Request, came: LetIn, wanted: str) -> Response:
        """Give the browser its cookies and send it where it wanted."""
        answer = RedirectResponse(wanted, 303)
        self.keep_in(request, answer, came)
        return answer

    def keep_in(self, request: Request, answer: Response, came: LetIn) -> None:
        """Give the browser its cookies."""
        self._keep_in(answer, self._door.cookie_name, came.token, AT_MOST)
        known_by = dict.fromkeys([came.browser, *self.visit(request).browsers])
        self._keep_in(answer, self._known_cookie, ".".join([*known_by][:MOST_PEOPLE_OF_BROWSER]), KEPT_FOR)

    @property
    def _known_cookie(self) -> str:
        return f"{self._door.cookie_name}-known"

    def _keep_in(self, answer: Response, name: str, value: str, kept_for: timedelta) -> None:
        answer.set_cookie(
            name,
            value,
            max_age=int(kept_for.total_seconds()),
            path="/",
            secure=self._door.is_secure,
            httponly=True,
            samesite="lax",
        )

    def let_out(self) -> Response:
        """To the sign-in, without the session's cookie."""
        answer = RedirectResponse(f"{SIGN_IN}?out", 303)
        answer.delete_cookie(
            self._door.cookie_name, path="/", secure=self._door.is_secure, httponly=True, samesite="lax"
        )
        # Not "storage": taps that wait on this phone would be lost. The page of the sign-in takes out the rest.
        answer.headers["clear-site-data"] = '"cache"'
        return answer

    async def club(self) -> Club:
        """What the pages say of the club."""
        settings = await run_sync(self._door.folder.settings)
        provider = self._door.settings.provider
        return Club(settings.club_name, provider.name if provider else None, settings.club_colour)

    async def slowly(self, work: Callable[P, T], *args: P.args, **kwargs: P.kwargs) -> T:
        """Work with passwords, off the server's own thread and never much of it at once."""
        return await run_sync(partial(work, *args, **kwargs), limiter=self._passwords)


def with_challenge(door: Door, answer: Response, asked: Asked) -> Response:
    """Give the browser what its answer is known by."""
    answer.set_cookie(
        challenge_cookie(door),
        asked.token,
        max_age=int(GOOD_FOR.total_seconds()),
        path="/",
        secure=door.is_secure,
        httponly=True,
        samesite="strict",
    )
    return answer


def challenge_cookie(door: Door) -> str:
    """The name under which a browser keeps it."""
    return f"{door.cookie_name}-passkey"


def shown(page: str, status: int = 200) -> Response:
    """A plain page, under the strict policy."""
    return HTMLResponse(page, status, {"content-security-policy": OWN_PAGES})


async def fields(request: Request) -> dict[str, str]:
    """The fields of a form; none where it is not one."""
    try:
        return dict(parse_qsl((await request.body()).decode(), keep_blank_values=True, max_num_fields=MOST_FIELDS))
    except ValueError:
        return {}


def known(request: Request) -> SignedIn:
    """Who asks; the guard lets nobody else get here."""
    who = signed_in(request.scope)
    assert who is not None  # noqa: S101 - the guard's promise
    return who


async def _file(path: Path, kind: str, _request: Request) -> Response:
    return FileResponse(path, media_type=kind, headers={"cache-control": "public, max-age=3600"})
