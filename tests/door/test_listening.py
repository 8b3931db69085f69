"""Connections that are silent, slow or too many, against a real server on loopback."""

import logging
import socket
import threading
import time
from collections.abc import Iterator
from contextlib import ExitStack

import pytest
import uvicorn
from starlette.applications import Starlette
from starlette.requests import Request
from starlette.responses import PlainTextResponse
from starlette.routing import Route

from dashboard.door.listening import Connections, Patience, Seldom, patient
from dashboard.door.rates import Rate

SHORT = Patience(head_s=0.5, body_s=0.5, body_bytes_per_s=1000, most=40, most_of_one=20)
WAIT_S = 30
ASKED = b"GET / HTTP/1.1\r\nHost: here\r\n\r\n"


async def _answer(request: Request) -> PlainTextResponse:
    return PlainTextResponse(f"{len(await request.body())} bytes")


@pytest.fixture(scope="module")
def port() -> Iterator[int]:
    with socket.create_server(("127.0.0.1", 0)) as listening:
        app = Starlette(routes=[Route("/", _answer, methods=["GET", "POST"])])
        server = uvicorn.Server(uvicorn.Config(app, http=patient(SHORT), log_config=None, timeout_keep_alive=1))
        thread = threading.Thread(target=server.run, kwargs={"sockets": [listening]}, daemon=True)
        thread.start()
        yield listening.getsockname()[1]
        server.should_exit = True
        thread.join(WAIT_S)


def connected(port: int) -> socket.socket:
    return socket.create_connection(("127.0.0.1", port), timeout=WAIT_S)


def is_closed(connection: socket.socket) -> bool:
    """Whether the server ends the connection without an answer; waits for it."""
    try:
        return connection.recv(1000) == b""
    except ConnectionResetError:
        return True


def answer(connection: socket.socket) -> bytes:
    """The whole of a short answer."""
    got = b""
    while not got.endswith(b" bytes"):
        more = connection.recv(1000)
        if not more:
            break
        got += more
    return got


def test_one_that_asks_is_answered_and_may_ask_again(port: int) -> None:
    with connected(port) as connection:
        for _ in range(2):
            connection.sendall(ASKED)
            assert answer(connection).endswith(b"0 bytes")


@pytest.mark.parametrize("begun", [b"", b"GET / HTT", b"POST / HTTP/1.1\r\nHost: here\r\nContent-Length: 9\r\n\r\nabc"])
def test_one_that_never_ends_its_request_is_closed(port: int, begun: bytes) -> None:
    with connected(port) as connection:
        connection.sendall(begun)

        assert is_closed(connection)


def test_one_that_stops_within_the_head_of_a_second_request_is_closed(port: int) -> None:
    with connected(port) as connection:
        connection.sendall(ASKED)
        assert answer(connection).endswith(b"0 bytes")
        connection.sendall(b"GET / HTTP")

        assert is_closed(connection)


def test_one_that_drips_its_body_is_closed(port: int) -> None:
    with connected(port) as connection:
        connection.sendall(b"POST / HTTP/1.1\r\nHost: here\r\nContent-Length: 1000\r\n\r\n")
        connection.settimeout(0.1)
        end = time.monotonic() + WAIT_S
        while time.monotonic() < end:
            try:
                connection.sendall(b"x")
                if connection.recv(10) == b"":
                    return
            except TimeoutError:
                continue
            except OSError:
                return
        pytest.fail("it was let drip")


def test_a_slow_line_may_take_its_time(port: int) -> None:
    with connected(port) as connection:
        connection.sendall(b"POST / HTTP/1.1\r\nHost: here\r\nContent-Length: 3000\r\n\r\n")
        for _ in range(6):
            time.sleep(0.15)
            connection.sendall(b"x" * 500)

        assert answer(connection).endswith(b"3000 bytes")


def test_of_more_connections_than_one_may_have_the_last_are_closed_and_then_it_goes_on(port: int) -> None:
    with ExitStack() as held:
        many = [held.enter_context(connected(port)) for _ in range(30)]

        assert sum(is_closed(connection) for connection in many) == 30  # Ten at once, the others by the deadline.
    with connected(port) as connection:
        connection.sendall(ASKED)
        assert answer(connection).endswith(b"0 bytes")


def test_connections_are_counted_by_address_and_in_all() -> None:
    open_now = Connections(Patience(most=5, most_of_one=3))

    assert [open_now.admit("a", 0) for _ in range(4)] == [True, True, True, False]
    assert [open_now.admit(other, 0) for other in "bcd"] == [True, True, False]
    open_now.release("a")
    assert open_now.admit("d", 0)


def test_behind_a_proxy_all_may_come_from_one_address() -> None:
    open_now = Connections(Patience(most=50, most_of_one=None))

    assert all(open_now.admit("127.0.0.1", 0) for _ in range(50))
    assert not open_now.admit("127.0.0.1", 0)


def test_turned_away_connections_fill_no_log(caplog: pytest.LogCaptureFixture) -> None:
    open_now = Connections(Patience(most=0))
    for knock in range(100_000):
        open_now.admit("a", knock / 1000)

    assert 1 <= len(caplog.records) <= 5
    assert "too many are open" in caplog.text


def test_connections_that_come_too_fast_are_closed_and_others_are_taken() -> None:
    connections = Connections(Patience(new_of_one=Rate(burst=3, per_s=1)))

    def comes(address: str, now_s: float) -> bool:
        taken = connections.admit(address, now_s)
        if taken:
            connections.release(address)
        return taken

    assert [comes("1", 100.0) for _ in range(5)] == [True, True, True, False, False]
    assert comes("2", 100.0)
    assert comes("1", 101.0)


def test_lines_about_nonsense_are_few_and_faults_are_always_written() -> None:
    seldom = Seldom()

    def written(level: int) -> int:
        record = logging.LogRecord("uvicorn.error", level, "", 0, "Invalid HTTP request received.", (), None)
        return sum(seldom.filter(record) for _ in range(100))

    assert written(logging.WARNING) == 5
    assert written(logging.ERROR) == 100
