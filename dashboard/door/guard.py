"""The guard: every request and every websocket passes it, before any page or route of ours or of Streamlit's."""

import logging
from functools import partial
from pathlib import Path
from time import monotonic

from anyio import CapacityLimiter
from anyio.to_thread import run_sync
from starlette.datastructures import Headers, MutableHeaders
from starlette.requests import ClientDisconnect, cookie_parser
from starlette.responses import PlainTextResponse, Response
from starlette.types import ASGIApp, Message, Receive, Scope, Send
from starlette.websockets import WebSocketDisconnected

from dashboard.door.checks import HEALTH, READING, STREAM, UPLOADS, from_elsewhere, not_served, stranger, wrong_host
from dashboard.door.ended_sessions import EndedSessions
from dashboard.door.handed_out import HandedOut
from dashboard.door.headers import inline_scripts, screens_policy, with_headers
from dashboard.door.rates import Allowances, Rate
from dashboard.door.screens_page import screens_page
from dashboard.door.settings import Door
from dashboard.door.sockets import CLOSED_BY_RULE, Socket, SocketLimits, Sockets, Whose
from dashboard.door.statuses import NotAnswered, status_of
from dashboard.door.stream_messages import address_of
from models.refusal import Refused
from sql.club import audit_trail, web_sessions
from sql.club.file import club_file
from sql.club.web_sessions import SignedIn

ACCOUNT_HEADER, SESSION_HEADER = "x-halflong-account", "x-halflong-session"
TRUSTED_HEADERS = {ACCOUNT_HEADER: "sub", SESSION_HEADER: "sid"}
"""How Streamlit learns who is there (server.trustedUserHeaders). Sent from outside, these are cut off."""

UPLOAD_LIMIT_MB = 10
MOST_BYTES = 1_000_000
"""Of a request that is not an upload. Streamlit itself caps the uploads."""

ASKED_FROM, ASKED_WITH = Rate(burst=2000, per_s=60), Rate(burst=600, per_s=12)
"""Requests of one address, and with one cookie beside the forty files of a page that is opened first: a club's hall may
stand behind one address, and behind a proxy that nobody told us of all come from one."""
NOTED = Rate(burst=20, per_s=0.2)
"""Refusals of one kind and account that are noted: a flood is told by its beginning, and may not keep the disk busy."""
_LOOKED_UP_AT_ONCE = 8
"""Threads of its own for who somebody is, so that nobody waits for it behind what others have asked for."""

_SIGNED_IN, _COOKIE = "halflong.signed_in", "halflong.cookie"

log = logging.getLogger(__name__)


def signed_in(scope: Scope) -> SignedIn | None:
    """Who asks, for the routes behind the guard. None only where anybody may come: on the pages of the sign-in."""
    found: SignedIn | None = scope.get(_SIGNED_IN)
    return found


def presented_token(scope: Scope) -> str | None:
    """The token that the browser presented, whether it is good or not."""
    found: str | None = scope.get(_COOKIE)
    return found


def client_address(scope: Scope) -> str:
    """From where it came, as far as it is known."""
    client = scope.get("client")
    return str(client[0]) if client else "unknown"


class TooLarge(NotAnswered):
    """A request that is larger than anything we take."""

    def __init__(self, what: str) -> None:
        super().__init__(413, what)


class Guard:
    """ASGI middleware: knows a browser by its cookie, or leads it to the sign-in."""

    def __init__(self, app: ASGIApp, door: Door, streamlit_page: Path) -> None:
        self._app = app
        self._door = door
        self._inline = inline_scripts(screens_page(streamlit_page))
        self._handed_out = HandedOut()
        self._sockets = Sockets(SocketLimits(), self._handed_out)
        self._ended = EndedSessions(door.folder)
        self._asked_from, self._asked_with = Allowances(ASKED_FROM), Allowances(ASKED_WITH)
        self._noted = Allowances(NOTED)
        self._looking_up = CapacityLimiter(_LOOKED_UP_AT_ONCE)

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Let through or refuse."""
        if scope["type"] == "http":
            await self._http(scope, receive, send)
        elif scope["type"] == "websocket":
            await self._websocket(scope, receive, send)
        else:
            await self._app(scope, receive, send)

    async def _http(self, scope: Scope, receive: Receive, send: Send) -> None:
        policy = screens_policy(Headers(scope=scope).get("host", ""), self._inline)
        answered = _Answered(with_headers(send, scope, policy, is_secure=self._door.is_secure))
        try:
            refusal = self._unasked(scope)
            if refusal is None:
                scope = await self._identified(scope)
                refusal = await self._refusal(scope)
            if refusal and scope["method"] not in READING:
                refusal.headers["connection"] = "close"  # Whatever it goes on to send is not read.
            await (refusal or self._app)(scope, self._capped(scope, receive), answered)
        except Refused as refused:
            status = status_of(refused)
            if status >= 500:
                log.warning("%s", refused)
            await answered.or_else(PlainTextResponse(refused.sentence, status), scope, receive)
        except ClientDisconnect:
            pass  # Nobody is there to be answered.
        except Exception:
            await answered.or_else(PlainTextResponse("Something went wrong here; it is noted.", 500), scope, receive)
            raise

    async def _websocket(self, scope: Scope, receive: Receive, send: Send) -> None:
        is_ours = (
            scope["path"] == STREAM and not wrong_host(scope, self._door) and not from_elsewhere(scope, self._door)
        )
        if not is_ours or not self._has_turn(scope):
            await _turned_away(receive, send)
            return
        scope = await self._identified(scope)
        who = signed_in(scope)
        if who is None:
            await _turned_away(receive, send)
            return
        whose = Whose(who.session, who.reader.account or 0)
        if refusal := self._sockets.refusal(whose):
            await self._note(scope, who, refusal)
            await _turned_away(receive, send)
            return
        socket = Socket(self._sockets, whose, receive, send, partial(self._note, scope, who))
        self._sockets.opened(whose)
        try:
            with self._ended.closing(who.session, socket):
                await self._app(scope, socket.receive, socket.send)
        except WebSocketDisconnected:
            pass  # What was drawn for somebody who has left in the meantime: no fault, and no page of the log.
        finally:
            socket.left()
            self._sockets.closed(whose)

    async def _identified(self, scope: Scope) -> Scope:
        """The same request with its sender, as the club file knows them, and with no other word about who that is."""
        token = self._token(scope)
        who = None
        if token and scope["path"] != HEALTH:
            who = await run_sync(self._known, token, limiter=self._looking_up)
        trusted = MutableHeaders(
            raw=[(n, v) for n, v in scope["headers"] if n.decode("latin-1").lower() not in TRUSTED_HEADERS]
        )
        if who:
            trusted[ACCOUNT_HEADER] = str(who.reader.account)
            trusted[SESSION_HEADER] = str(who.session)
        return {**scope, "headers": trusted.raw, _SIGNED_IN: who, _COOKIE: token}

    def _known(self, token: str) -> SignedIn | None:
        with club_file(self._door.folder) as connection:
            return web_sessions.by_token(connection, token, web_sessions.coordinators_stay(self._door.folder))

    def _unasked(self, scope: Scope) -> Response | None:
        """What is refused before it is asked who sends it."""
        if not self._has_turn(scope):
            return PlainTextResponse("Too much is asked at once. Wait a moment.", 429)
        return not_served(scope) or wrong_host(scope, self._door)

    def _has_turn(self, scope: Scope) -> bool:
        """Before any thread or file is needed: who floods costs no more than this."""
        now_s, token = monotonic(), self._token(scope)
        asked = [self._asked_from.of(client_address(scope), now_s)]
        if token and not scope["path"].startswith("/static/"):
            asked.append(self._asked_with.of(token, now_s))
        return all(one.take_if_there(now_s) for one in asked)

    def _token(self, scope: Scope) -> str | None:
        return cookie_parser(Headers(scope=scope).get("cookie", "")).get(self._door.cookie_name)

    async def _refusal(self, scope: Scope) -> Response | None:
        who = signed_in(scope)
        if refusal := from_elsewhere(scope, self._door):
            await self._note(scope, who, "sent from another site")
            return refusal
        if who is None:
            return stranger(scope)
        if scope["path"].startswith(("/media/", UPLOADS)) and not self._handed_out.has(
            who.session, address_of(scope["path"])
        ):
            await self._note(scope, who, "a file that was never shown to this browser")
            return PlainTextResponse("This file was not shown to you.", 403)
        return None

    def _capped(self, scope: Scope, receive: Receive) -> Receive:
        """Receive no more than a request may hold, and of uploads no more than the browser may keep here."""
        is_upload = scope["path"].startswith(UPLOADS)
        who = signed_in(scope)
        most = UPLOAD_LIMIT_MB * 2**20 + MOST_BYTES if is_upload else MOST_BYTES
        got = 0

        async def receiving() -> Message:
            nonlocal got
            message = await receive()
            size = len(message.get("body", b""))
            got += size
            if got > most:
                raise TooLarge(f"saw more than {most} bytes, expected less. Nothing of it was kept.")
            if is_upload and who and not self._sockets.may_upload(who.session, size):
                raise TooLarge("This browser has uploaded as much as is kept. Load the page again in two minutes.")
            return message

        return receiving

    async def _note(self, scope: Scope, who: SignedIn | None, why: str) -> None:
        """A refusal goes into the trail where it is known whom it concerned: else strangers could fill the disk."""
        if who and self._noted.of((who.reader.account, why), monotonic()).take_if_there(monotonic()):
            about = f"{scope.get('method', 'websocket')} {scope['path']}: {why}"
            await run_sync(self._write, who, about, why, client_address(scope))

    def _write(self, who: SignedIn, about: str, why: str, address: str) -> None:
        refusal = audit_trail.Event.REFUSAL
        with club_file(self._door.folder) as connection:
            audit_trail.record(connection, refusal, about, reader=who.reader, address=address, kind=why)


class _Answered:
    """Sends, and remembers whether an answer has begun."""

    def __init__(self, send: Send) -> None:
        self._send = send
        self._has_begun = False

    async def __call__(self, message: Message) -> None:
        self._has_begun = True
        await self._send(message)

    async def or_else(self, answer: Response, scope: Scope, receive: Receive) -> None:
        """Send this if nothing was sent yet."""
        if not self._has_begun:
            await answer(scope, receive, self)


async def _turned_away(receive: Receive, send: Send) -> None:
    await receive()
    await send({"type": "websocket.close", "code": CLOSED_BY_RULE})  # Before it is accepted: the browser sees a 403.
