"""The limits of websockets, with a clock of the test's own."""

import asyncio
from collections import deque
from collections.abc import Coroutine
from concurrent.futures import ThreadPoolExecutor
from typing import Any

import pytest
from streamlit.proto.BackMsg_pb2 import BackMsg
from streamlit.proto.ForwardMsg_pb2 import ForwardMsg

from dashboard.door.handed_out import HandedOut
from dashboard.door.sockets import UPLOADS_KEPT_S, Socket, SocketLimits, Sockets, Whose

ADA, BEN = Whose(session=1, account=1), Whose(session=2, account=2)
RERUN = BackMsg(rerun_script={}).SerializeToString()  # type: ignore[arg-type]


def beside(work: Coroutine[Any, Any, Any]) -> Any:
    """What comes of it in a thread of its own: a browser that other tests have opened holds the loop of this one."""
    with ThreadPoolExecutor(1) as thread:
        return thread.submit(asyncio.run, work).result()


class Clock:
    now_s = 1000.0

    def __call__(self) -> float:
        return self.now_s


class Wire:
    """One end of a socket: what the browser has sent, what it got, and what was noted."""

    def __init__(self, sockets: Sockets, whose: Whose, *sent: bytes | None) -> None:
        self.coming = deque(sent)
        self.got: list[dict[str, Any]] = []
        self.noted: list[str] = []
        self.socket = Socket(sockets, whose, self._receive, self._send, self._note)

    async def _receive(self) -> dict[str, Any]:
        if self.coming:
            return {"type": "websocket.receive", "bytes": self.coming.popleft()}
        return {"type": "websocket.disconnect", "code": 1005}

    async def _send(self, message: Any) -> None:
        self.got.append(message)

    async def _note(self, why: str) -> None:
        self.noted.append(why)


@pytest.fixture
def clock() -> Clock:
    return Clock()


@pytest.fixture
def sockets(clock: Clock) -> Sockets:
    return Sockets(SocketLimits(), HandedOut(), clock)


def test_a_browser_and_an_account_have_so_many_tabs(sockets: Sockets) -> None:
    limits = sockets.limits
    for _ in range(limits.of_session):
        assert sockets.refusal(ADA) is None
        sockets.opened(ADA)

    assert "tabs of one browser" in str(sockets.refusal(ADA))
    assert sockets.refusal(BEN) is None
    phone = Whose(session=3, account=ADA.account)
    for _ in range(limits.of_account - limits.of_session):
        sockets.opened(phone)
    assert "tabs of this account" in str(sockets.refusal(Whose(session=4, account=ADA.account)))
    sockets.closed(ADA)
    assert sockets.refusal(ADA) is None


def test_tabs_opened_too_fast_are_refused_until_some_time_has_passed(sockets: Sockets, clock: Clock) -> None:
    opened = [sockets.refusal(ADA) for _ in range(40)]

    assert opened.count(None) == sockets.limits.opened.burst
    assert "too fast" in str(opened[-1])
    clock.now_s += 5
    assert sockets.refusal(ADA) is None


def test_a_flood_of_messages_ends_its_socket_with_a_sentence_and_a_note(sockets: Sockets) -> None:
    wire = Wire(sockets, ADA, *[RERUN] * 300)

    async def flooded() -> int:
        for taken in range(300):
            if (await wire.socket.receive())["type"] == "websocket.disconnect":
                return taken
        return 300

    assert beside(flooded()) == sockets.limits.asked.burst, "what waits is never served"
    assert wire.got == [{"type": "websocket.close", "code": 1008, "reason": wire.noted[0]}]
    assert "Too much is asked at once" in wire.noted[0]
    assert len(wire.noted[0].encode()) <= 123  # RFC 6455, 5.5: the body of a close frame


def test_many_sockets_of_one_account_are_served_no_more_than_one(sockets: Sockets) -> None:
    wires = [Wire(sockets, ADA, *[RERUN] * 20) for _ in range(100)]

    async def served(wire: Wire) -> int:
        for taken in range(20):
            if (await wire.socket.receive())["type"] == "websocket.disconnect":
                return taken
        return 20

    async def flooded() -> int:
        return sum([await served(wire) for wire in wires])

    assert beside(flooded()) == sockets.limits.asked.burst
    assert beside(served(Wire(sockets, BEN, *[RERUN] * 20))) == 20


def test_whoever_has_left_is_no_longer_served(sockets: Sockets) -> None:
    limits = sockets.limits
    wire = Wire(sockets, ADA, *[RERUN] * (int(limits.asked.burst) + limits.most_waiting))

    async def served() -> int:
        for taken in range(100):
            if (await wire.socket.receive())["type"] == "websocket.disconnect":
                return taken
        return 100

    assert beside(served()) == limits.asked.burst, "what waited goes with its browser"
    assert wire.noted == []


@pytest.mark.parametrize("sent", [None, b"\xff\xff nonsense"], ids=["words", "nonsense"])
def test_what_no_page_of_ours_sends_ends_the_socket_before_the_framework_sees_it(
    sockets: Sockets, sent: bytes | None
) -> None:
    wire = Wire(sockets, ADA, sent)

    async def received() -> str:
        return str((await wire.socket.receive())["type"])

    assert beside(received()) == "websocket.disconnect"
    assert wire.noted == ["No page of ours sends this."]


def test_somebody_who_works_quickly_is_not_stopped(sockets: Sockets, clock: Clock) -> None:
    wire = Wire(sockets, ADA, *[RERUN] * 600)

    async def worked() -> bool:
        for number in range(600):
            clock.now_s += 0.25 if number % 60 else 30
            if (await wire.socket.receive())["type"] != "websocket.receive":
                return False
        return True

    assert beside(worked())
    assert wire.noted == []


def upload(names: int) -> bytes:
    message = BackMsg()
    message.file_urls_request.file_names.extend(["a.csv"] * names)
    return message.SerializeToString()


def shows_uploader() -> dict[str, Any]:
    message = ForwardMsg()
    message.delta.new_element.file_uploader.label = "Files"
    return {"type": "websocket.send", "bytes": message.SerializeToString()}


def next_page() -> dict[str, Any]:
    message = ForwardMsg()
    message.new_session.name = "another"
    return {"type": "websocket.send", "bytes": message.SerializeToString()}


@pytest.mark.parametrize(
    ("shown", "names", "is_let_through"),
    [
        ([], 1, False),
        ([shows_uploader()], 3, True),
        ([shows_uploader(), next_page()], 1, False),
        ([shows_uploader()], 21, False),
    ],
    ids=["a page without", "a page with one", "the page after", "too many at once"],
)
def test_only_where_an_uploader_is_shown_something_can_be_uploaded(
    sockets: Sockets, shown: list[dict[str, Any]], names: int, is_let_through: bool
) -> None:
    wire = Wire(sockets, ADA, upload(names))

    async def asked() -> str:
        for message in shown:
            await wire.socket.send(message)
        return str((await wire.socket.receive())["type"])

    assert beside(asked()) == ("websocket.receive" if is_let_through else "websocket.disconnect")
    assert bool(wire.noted) != is_let_through


def test_what_a_browser_may_upload_grows_again_when_its_sockets_are_closed(sockets: Sockets, clock: Clock) -> None:
    sockets.opened(ADA)
    most = sockets.limits.upload_bytes

    assert sockets.may_upload(ADA.session, most)
    assert not sockets.may_upload(ADA.session, 1)
    assert sockets.may_upload(BEN.session, most)
    sockets.closed(ADA)
    assert not sockets.may_upload(ADA.session, 1)
    clock.now_s += UPLOADS_KEPT_S + 1
    assert sockets.may_upload(ADA.session, most)
