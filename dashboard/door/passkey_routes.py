"""What the script of the passkeys asks and says, as JSON; and the two forms on the page of one's account."""

from collections.abc import Awaitable, Callable
from typing import Any

from anyio.to_thread import run_sync
from pydantic import BaseModel, ConfigDict, Field, ValidationError
from starlette.requests import Request
from starlette.responses import JSONResponse, RedirectResponse, Response
from starlette.routing import Route

from dashboard.door import passkeys
from dashboard.door.checks import confirm_before, safe_next
from dashboard.door.guard import client_address
from dashboard.door.passkeys import Asked, Here
from dashboard.door.rates import Allowances, Rate
from dashboard.door.routes import DoorRoutes, challenge_cookie, fields, known, with_challenge
from dashboard.door.settings import Door
from dashboard.door.sign_in_flow import Denied
from dashboard.door.statuses import NotAnswered, status_of
from models.permits import require_confirmed
from models.refusal import Refused
from sql.club.passkey_challenges import Purpose

ASKED = Rate(burst=20, per_s=0.5)
"""Of one address: each question is a row until it is answered."""
NOT_HERE = "Passkeys work at the club's own address only."


class _Answer(BaseModel):
    """What the device said, and what for."""

    model_config = ConfigDict(extra="forbid", strict=True)

    answer: dict[str, Any]
    next: str = Field("/", max_length=500)
    name: str = Field("", max_length=200)
    second: bool = False


class PasskeyRoutes:
    """The handlers, with the door they stand at."""

    def __init__(self, door: Door, handlers: DoorRoutes, now_s: Callable[[], float]) -> None:
        self._door = door
        self._handlers = handlers
        self._now_s = now_s
        self._asked = Allowances(ASKED)

    def routes(self) -> list[Route]:
        """All of them, by address."""
        posted = {
            "ask": self.ask_to_sign_in,
            "sign-in": self.sign_in,
            "ask-again": self.ask_to_confirm,
            "confirm": self.confirm,
            "ask-new": self.ask_for_new,
            "keep": self.keep,
        }
        forms = {"remove": self.remove, "required": self.require_them}
        return [
            *(Route(f"/account/passkey/{name}", _told(handler), methods=["POST"]) for name, handler in posted.items()),
            *(Route(f"/account/passkey/{name}", handler, methods=["POST"]) for name, handler in forms.items()),
        ]

    async def ask_to_sign_in(self, request: Request) -> Response:
        """Whoever has a key may say so."""
        address = client_address(request.scope)
        if not self._asked.of(address, self._now_s()).take_if_there(self._now_s()):
            raise NotAnswered(429, "Too much is asked at once. Try again in a minute.")
        return self._asks(await run_sync(passkeys.ask_to_sign, self._door.folder, self._here(request), Purpose.SIGN_IN))

    async def sign_in(self, request: Request) -> Response:
        """Let in whose key signed it."""
        said = await _said(request)
        purpose = Purpose.SECOND if said.second else Purpose.SIGN_IN
        about = (
            self._door.folder,
            self._here(request),
            self._token(request),
            said.answer,
            self._handlers.visit(request),
        )
        came = await run_sync(lambda: passkeys.sign_in(*about, purpose=purpose))
        if isinstance(came, Denied):
            return _denied(came)
        answer = JSONResponse({"next": safe_next(said.next)})
        self._handlers.keep_in(request, answer, came)
        return answer

    async def ask_to_confirm(self, request: Request) -> Response:
        """Somebody who is signed in says again who they are, by one of their keys."""
        account = known(request).reader.account
        about = (self._door.folder, self._here(request), Purpose.CONFIRM, account)
        return self._asks(await run_sync(passkeys.ask_to_sign, *about))

    async def confirm(self, request: Request) -> Response:
        """It was their own key."""
        said, who = await _said(request), known(request)
        about = (self._here(request), who, self._token(request), said.answer, self._handlers.visit(request))
        denied = await run_sync(passkeys.confirm, self._door.folder, *about)
        return _denied(denied) if denied else JSONResponse({"next": safe_next(said.next)})

    async def ask_for_new(self, request: Request) -> Response:
        """A new key, for whoever has said just now who they are."""
        who = known(request)
        if not who.reader.is_confirmed:
            return JSONResponse({"wrong": "Say again who you are first.", "next": confirm_before("/account")}, 403)
        club = (await self._handlers.club()).name
        return self._asks(await run_sync(passkeys.ask_for_new, self._door.folder, self._here(request), club, who))

    async def keep(self, request: Request) -> Response:
        """Keep the new key."""
        said, who = await _said(request), known(request)
        require_confirmed(who.reader)
        about = (who, self._token(request), said.answer, said.name, client_address(request.scope))
        denied = await run_sync(passkeys.keep, self._door.folder, self._here(request), *about)
        return _denied(denied) if denied else JSONResponse({"next": "/account"})

    async def remove(self, request: Request) -> Response:
        """Remove a key of one's own."""
        who, passkey = known(request), (await fields(request)).get("passkey", "")
        if not who.reader.is_confirmed:
            return RedirectResponse(confirm_before("/account"), 303)
        if passkey.isdecimal() and len(passkey) < 19:
            await run_sync(passkeys.remove, self._door.folder, who, int(passkey), client_address(request.scope))
        return RedirectResponse("/account", 303)

    async def require_them(self, request: Request) -> Response:
        """Whether the password alone is enough."""
        who, wanted = known(request), (await fields(request)).get("is_required", "")
        if not who.reader.is_confirmed:
            return RedirectResponse(confirm_before("/account"), 303)
        about = (self._door.folder, who, client_address(request.scope))
        await run_sync(lambda: passkeys.require_them(*about, is_required=wanted == "yes"))
        return RedirectResponse("/account", 303)

    def _asks(self, asked: Asked) -> Response:
        return with_challenge(self._door, JSONResponse({"options": asked.options}), asked)

    def _token(self, request: Request) -> str:
        return request.cookies.get(challenge_cookie(self._door), "")

    def _here(self, request: Request) -> Here:
        place = passkeys.here(self._door, request.headers.get("host", ""))
        if place is None:
            raise NotAnswered(404, NOT_HERE)
        return place


async def _said(request: Request) -> _Answer:
    try:
        return _Answer.model_validate_json(await request.body())
    except ValidationError as error:
        raise NotAnswered(400, "This is not what a passkey says.") from error


def _denied(denied: Denied) -> Response:
    return JSONResponse({"wrong": denied.why}, denied.status)


def _told(handler: Callable[[Request], Awaitable[Response]]) -> Callable[[Request], Awaitable[Response]]:
    """The script reads JSON: a refusal too."""

    async def answer(request: Request) -> Response:
        try:
            return await handler(request)
        except Refused as refused:
            return JSONResponse({"wrong": refused.sentence}, status_of(refused))

    return answer
