"""The websockets that are open: how many, how fast they ask, and what they may upload."""

from asyncio import Future, ensure_future, wait
from collections import Counter, deque
from collections.abc import Awaitable, Callable
from dataclasses import dataclass
from time import monotonic

from starlette.types import Message, Receive, Send

from dashboard.door.handed_out import HandedOut
from dashboard.door.rates import Allowance, Allowances, Rate
from dashboard.door.stream_messages import MOST_FILES_AT_ONCE, asks_to_upload, read_outgoing

CLOSED_BY_RULE = 1008
"""Policy violation (RFC 6455, 7.4.1)."""

UPLOADS_KEPT_S = 130
"""Streamlit lets go of a tab, and of what it uploaded, two minutes after its socket is closed."""


OPENED = Rate(burst=20, per_s=1)
ASKED = Rate(burst=25, per_s=3)


@dataclass(frozen=True)
class SocketLimits:
    """What one browser and one account may have. All are settings: no published figure says them.

    `asked`: messages of one account; what comes faster waits. `most_waiting`: more of one account than so many that
    wait are no longer somebody's hand. `upload_bytes`: of one browser, until its sockets are closed.
    """

    of_session: int = 12
    of_account: int = 24
    opened: Rate = OPENED
    asked: Rate = ASKED
    most_waiting: int = 25
    upload_bytes: int = 50 * 2**20


Note = Callable[[str], Awaitable[None]]
"""Writes a line into the trail."""


@dataclass(frozen=True)
class Whose:
    """Whose socket it is."""

    session: int
    account: int


class Sockets:
    """All sockets of the server."""

    def __init__(self, limits: SocketLimits, handed_out: HandedOut, now_s: Callable[[], float] = monotonic) -> None:
        self.limits = limits
        self.handed_out = handed_out
        self.now_s = now_s
        self._open: Counter[tuple[str, int]] = Counter()
        self._opened = Allowances(limits.opened)
        self.asked = Allowances(limits.asked)
        self._uploaded: Counter[int] = Counter()
        self._left_at_s: dict[int, float] = {}

    def refusal(self, whose: Whose) -> str | None:
        """Why this person may open no further socket now; None if they may."""
        if self._open["session", whose.session] >= self.limits.of_session:
            return f"{self.limits.of_session} tabs of one browser are open. Close one first."
        if self._open["account", whose.account] >= self.limits.of_account:
            return f"{self.limits.of_account} tabs of this account are open. Close one first."
        if not self._opened.of(whose.account, self.now_s()).take_if_there(self.now_s()):
            return "Pages are opened too fast. Wait a minute."
        return None

    def opened(self, whose: Whose) -> None:
        """One more."""
        self._open.update([("session", whose.session), ("account", whose.account)])
        self._left_at_s.pop(whose.session, None)

    def closed(self, whose: Whose) -> None:
        """One less."""
        self._open.subtract([("session", whose.session), ("account", whose.account)])
        self._open = +self._open
        if not self._open["session", whose.session]:
            self._left_at_s[whose.session] = self.now_s()

    def may_upload(self, session: int, size: int) -> bool:
        """Whether so many bytes more may be uploaded; they are counted at once."""
        for left, at_s in list(self._left_at_s.items()):
            if self.now_s() - at_s > UPLOADS_KEPT_S:
                self._uploaded.pop(left, None)
                del self._left_at_s[left]
        self._uploaded[session] += size
        return self._uploaded[session] <= self.limits.upload_bytes


class Socket:
    """One socket: what comes over it, and what goes out."""

    def __init__(self, sockets: Sockets, whose: Whose, receive: Receive, send: Send, note: Note) -> None:
        self._sockets = sockets
        self._whose = whose
        self._receive = receive
        self._send = send
        self._note = note
        self._reading: Future[Message] | None = None
        self._read: deque[tuple[Message, float]] = deque()  # Each with the moment when its turn comes.
        self._is_over = False
        self._has_uploader = False

    async def receive(self) -> Message:
        """The next message, not sooner than its turn comes; one that asks too much ends the socket.

        What comes while one waits is read: whoever floods is told at once, and whoever leaves is no longer served.
        """
        while not self._read or (wait_s := self._read[0][1] - self._sockets.now_s()) > 0:
            await self._read_on(wait_s if self._read else None)
        message, _ = self._read.popleft()
        if message["type"] != "websocket.receive" or self._is_over:
            return message
        files = asks_to_upload(message.get("bytes"))
        if files is None:
            return await self._end("No page of ours sends this.")
        if files > MOST_FILES_AT_ONCE:
            return await self._end(f"{MOST_FILES_AT_ONCE} files at most are taken at once.")
        if files and not self._has_uploader:
            return await self._end("Nothing can be uploaded on this page.")
        return message

    async def _read_on(self, patience_s: float | None) -> None:
        """Read one message more, if one comes in this time."""
        self._reading = self._reading or ensure_future(self._receive())
        await wait([self._reading], timeout=patience_s)
        if not self._reading.done():
            return
        message, self._reading = self._reading.result(), None
        wait_s = self._turn.take(self._sockets.now_s()) if message["type"] == "websocket.receive" else 0.0
        if wait_s * self._sockets.limits.asked.per_s > self._sockets.limits.most_waiting:
            self._turn.give_back(1)
            message = await self._end("Too much is asked at once. Load the page again in a minute.")
        if message["type"] == "websocket.disconnect":
            self._turn.give_back(len(self._read))  # What is never served is not owed.
            self._read.clear()
            wait_s = 0.0
        self._read.append((message, self._sockets.now_s() + wait_s))

    @property
    def _turn(self) -> Allowance:
        return self._sockets.asked.of(self._whose.account, self._sockets.now_s())

    def left(self) -> None:
        """Nobody waits for what comes over it any more."""
        if self._reading:
            self._reading.cancel()

    async def send(self, message: Message) -> None:
        """Send a message on; what it tells is remembered."""
        if self._is_over:
            return
        if message["type"] == "websocket.send" and message.get("bytes"):
            about = read_outgoing(message["bytes"])
            self._sockets.handed_out.remember(self._whose.session, about.addresses)
            self._has_uploader = about.shows_uploader or (self._has_uploader and not about.begins_page)
            message = {**message, "bytes": about.bytes}
        await self._send(message)

    async def _end(self, why: str) -> Message:
        self._is_over = True
        await self._note(why)
        await self._send({"type": "websocket.close", "code": CLOSED_BY_RULE, "reason": why})
        return {"type": "websocket.disconnect", "code": CLOSED_BY_RULE}

    async def close(self, why: str) -> None:
        """Close it from this side, whatever the browser does; nothing goes out over it any more."""
        if not self._is_over:
            self._is_over = True
            await self._send({"type": "websocket.close", "code": CLOSED_BY_RULE, "reason": why})
