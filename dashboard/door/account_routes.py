"""The pages of one's own account: where one is signed in, another password, saying again who one is, signing out."""

from datetime import UTC, datetime

from anyio.to_thread import run_sync
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response
from starlette.routing import Route

from dashboard.door import own_account, pages, passkeys
from dashboard.door.checks import CONFIRM, safe_next
from dashboard.door.guard import client_address
from dashboard.door.own_account import OwnAccount
from dashboard.door.routes import DoorRoutes, fields, known, shown
from dashboard.door.settings import Door
from dashboard.words.own_account import key_in_words, news_in_words, session_in_words


class AccountRoutes:
    """The handlers; everybody who gets here is signed in."""

    def __init__(self, door: Door, handlers: DoorRoutes) -> None:
        self._door = door
        self._handlers = handlers

    def routes(self) -> list[Route]:
        """All of them, by address."""
        return [
            Route("/account", self.account),
            Route("/account/news", self.read_news, methods=["POST"]),
            Route("/account/sign-out", self.sign_out, methods=["POST"]),
            Route("/account/sign-out-there", self.sign_out_there, methods=["POST"]),
            Route("/account/sign-out-everywhere", self.sign_out_everywhere, methods=["POST"]),
            Route("/account/password", self.change_password, methods=["POST"]),
            Route(CONFIRM, self.ask_to_confirm),
            Route(CONFIRM, self.confirm, methods=["POST"]),
        ]

    async def account(self, request: Request) -> Response:
        """One's own account."""
        return await self._account(request)

    async def _account(self, request: Request, status: int = 200, *, wrong: str = "", done: str = "") -> Response:
        who = known(request)
        own = await run_sync(own_account.own_account, self._door.folder, who)
        local, now = self._door.folder.settings().local, datetime.now(UTC)
        browsers = [
            pages.Browser(one.session, one.device, session_in_words(one, now, local), one.session == who.session)
            for one in own.sessions
        ]
        told = pages.account(
            await self._handlers.club(),
            (who.reader, await self._handlers.names(who.reader)),
            sorted(browsers, key=lambda one: not one.is_this),
            [(one.news, news_in_words(one, local)) for one in own.news],
            has_password=own.has_password,
            own_keys=self._own_keys(request, own),
            wrong=wrong,
            done=done,
        )
        return shown(told, status)

    def _own_keys(self, request: Request, own: OwnAccount) -> pages.OwnKeys | None:
        if own.passkeys is None:
            return None
        local = self._door.folder.settings().local
        place = passkeys.here(self._door, request.headers.get("host", ""))
        keys = [(key.passkey, key.name, key_in_words(key, local)) for key in own.passkeys]
        return pages.OwnKeys(keys, own.needs_passkey, work_here=place is not None)

    async def read_news(self, request: Request) -> Response:
        """What was told need not be told again in this browser."""
        who, up_to = known(request), (await fields(request)).get("up_to", "")
        if up_to.isdecimal() and len(up_to) < 19:
            await run_sync(own_account.read_news, self._door.folder, who, int(up_to))
        return RedirectResponse("/account", 303)

    async def change_password(self, request: Request) -> Response:
        """Another password, and signed out everywhere else."""
        who, form = known(request), await fields(request)
        new = (form.get("new", ""), form.get("again", ""))
        about = (who, form.get("password", ""), new, self._handlers.visit(request))
        if refused := await self._handlers.slowly(own_account.change_password, self._door.folder, *about):
            return await self._account(request, refused.status, wrong=refused.why)
        return await self._account(request, done="The password is changed. You are signed out everywhere else.")

    async def ask_to_confirm(self, request: Request) -> Response:
        """Ask again who one is; whoever said it just now goes on."""
        wanted = safe_next(request.query_params.get("next", "/"))
        if known(request).reader.is_confirmed:
            return RedirectResponse(wanted, 303)
        return await self._confirmation(request, wanted)

    async def _confirmation(self, request: Request, wanted: str, status: int = 200, wrong: str = "") -> Response:
        who, host = known(request), request.headers.get("host", "")
        own = await run_sync(own_account.own_account, self._door.folder, who)
        asked = pages.confirmation(
            await self._handlers.club(),
            who.reader.name,
            wanted,
            has_password=own.has_password,
            has_provider=own.has_provider,
            has_passkey=bool(own.passkeys) and passkeys.here(self._door, host) is not None,
            wrong=wrong,
        )
        return shown(asked, status)

    async def confirm(self, request: Request) -> Response:
        """Say again who one is, by the password."""
        who, form = known(request), await fields(request)
        wanted = safe_next(form.get("next", "/"))
        about = (who, form.get("password", ""), self._handlers.visit(request))
        if refused := await self._handlers.slowly(own_account.confirm, self._door.folder, *about):
            return await self._confirmation(request, wanted, refused.status, refused.why)
        return RedirectResponse(wanted, 303)

    async def sign_out(self, request: Request) -> Response:
        """Sign this browser out."""
        await run_sync(own_account.sign_out, self._door.folder, known(request), client_address(request.scope))
        return self._handlers.let_out()

    async def sign_out_there(self, request: Request) -> Response:
        """Sign one of one's browsers out."""
        who, session = known(request), (await fields(request)).get("session", "")
        if not session.isdecimal() or len(session) > 19:
            return await self._account(request, 422, wrong="Choose one of these browsers.")
        if int(session) == who.session:
            return await self.sign_out(request)
        ending = (self._door.folder, who, int(session), client_address(request.scope))
        device = await run_sync(own_account.sign_out_there, *ending)
        done = f"You are signed out there: {device}." if device else "You were signed out there before."
        return await self._account(request, done=done)

    async def sign_out_everywhere(self, request: Request) -> Response:
        """Sign every browser of the account out."""
        leaving = (self._door.folder, known(request), client_address(request.scope))
        await run_sync(own_account.sign_out_everywhere, *leaving)
        return self._handlers.let_out()
