"""How connections are taken: whoever is silent, slow or has too many is closed before a page is asked for anything.

The server itself would wait for ever for the first line of a request, and stops answering when no handle is left.
"""

import logging
import socket
from asyncio import BaseTransport, TimerHandle, Transport
from collections import Counter
from dataclasses import dataclass, replace
from typing import Any, ClassVar, cast

import h11
import uvicorn
from uvicorn.protocols.http.h11_impl import H11Protocol

from dashboard.door.rates import Allowance, Allowances, Rate

HANDLES_FOR_OURSELVES = 200
"""Files, databases and websockets need handles too; connections get what is left of the limit of the process."""

NEW_OF_ONE = Rate(burst=400, per_s=25)

log = logging.getLogger(__name__)


@dataclass(frozen=True)
class Patience:
    """How long is waited for a request, and how many connections are open at once.

    `head_s`: until its head is there. `body_s` and `body_bytes_per_s`: until its body is there, which may take as much
    longer as it is large. `most_of_one`: open connections of one address; None where a proxy speaks for everybody.
    `new_of_one`: how fast that address may open them; a browser opens six and keeps them, a hall may share an address.
    """

    head_s: float = 10
    body_s: float = 20
    body_bytes_per_s: float = 10_000
    most: int = 600
    most_of_one: int | None = 60
    new_of_one: Rate = NEW_OF_ONE


class Connections:
    """The connections that are open, by address."""

    def __init__(self, patience: Patience) -> None:
        self.patience = patience
        self._of: Counter[str] = Counter()
        self._silent: dict[PatientProtocol, None] = {}  # In the order in which they began to wait.
        self._new = Allowances(patience.new_of_one)
        self._lines = Allowance(Rate(burst=3, per_s=1 / 60), 0)
        self._closed = 0

    def admit(self, address: str, now_s: float) -> bool:
        """Whether one more of this address is taken; where all places are, one that asks nothing makes room."""
        most = self.patience.most_of_one
        is_too_many = most is not None and (
            self._of[address] >= most or not self._new.of(address, now_s).take_if_there(now_s)
        )
        if is_too_many or (self._of.total() >= self.patience.most and not self._has_made_room()):
            self._note(address, now_s)
            return False
        self._of[address] += 1
        return True

    def is_silent(self, connection: "PatientProtocol") -> None:
        """Nothing is asked on this connection now."""
        self._silent.pop(connection, None)
        self._silent[connection] = None

    def is_asking(self, connection: "PatientProtocol") -> None:
        """Something is asked on it, or it is closed."""
        self._silent.pop(connection, None)

    def _has_made_room(self) -> bool:
        for longest in self._silent:
            longest.give_way()
            return True
        return False

    def release(self, address: str) -> None:
        """One of this address is closed."""
        self._of[address] -= 1
        if self._of[address] <= 0:
            del self._of[address]

    def _note(self, address: str, now_s: float) -> None:
        """A few lines a minute at the most: whoever knocks without end may not fill the disk."""
        self._closed += 1
        if self._lines.take_if_there(now_s):
            why = "too many are open, or they come too fast"
            log.warning("%s connections closed, the last from %s: %s", self._closed, address, why)
            self._closed = 0


class PatientProtocol(H11Protocol):
    """A connection with deadlines. `connections` is set by `patient`."""

    connections_open: ClassVar[Connections]
    _deadline: TimerHandle | None = None
    _address: str | None = None
    _got = 0
    _begun_s = 0.0

    def connection_made(self, transport: BaseTransport) -> None:
        """Take it, or close it at once."""
        super().connection_made(cast(Transport, transport))
        address = self.client[0] if self.client else "unknown"
        if not self.connections_open.admit(address, self.loop.time()):
            self.transport.abort()
            return
        self._address = address
        self.connections_open.is_silent(self)
        self._wait(self.connections_open.patience.head_s)

    def connection_lost(self, exc: Exception | None) -> None:
        """It is closed."""
        self._released()
        super().connection_lost(exc)

    def give_way(self) -> None:
        """Close it at once, for another."""
        self.transport.abort()
        self._released()

    def data_received(self, data: bytes) -> None:
        """Something came: the rest of it has its own deadline."""
        was_idle = self.conn.their_state is h11.IDLE and not self._deadline
        super().data_received(data)
        if self.transport.is_closing() or self._address is None:
            return
        if self.conn.their_state is not h11.IDLE:
            self.connections_open.is_asking(self)
        if self.conn.their_state is h11.SEND_BODY:
            self._wait_for_body(len(data))
        elif self.conn.their_state is h11.IDLE:
            if was_idle:
                self._wait(self.connections_open.patience.head_s)
        else:
            self._stop_waiting()

    def handle_websocket_upgrade(self, event: h11.Request) -> None:
        """From here on the guard counts it, as a socket of somebody who is signed in."""
        self._released()
        super().handle_websocket_upgrade(event)

    def on_response_complete(self) -> None:
        """The next request begins."""
        self._stop_waiting()
        if self._address is not None:
            self.connections_open.is_silent(self)
        super().on_response_complete()

    def _wait_for_body(self, got: int) -> None:
        if not self._begun_s:
            self._begun_s, self._got = self.loop.time(), 0
        self._got += got
        patience = self.connections_open.patience
        end_s = self._begun_s + patience.body_s + self._got / patience.body_bytes_per_s
        self._wait(max(0.0, end_s - self.loop.time()))

    def _wait(self, seconds: float) -> None:
        if self._deadline:
            self._deadline.cancel()
        self._deadline = self.loop.call_later(seconds, self.transport.abort)

    def _stop_waiting(self) -> None:
        if self._deadline:
            self._deadline.cancel()
        self._deadline, self._begun_s = None, 0.0

    def _released(self) -> None:
        self._stop_waiting()
        self.connections_open.is_asking(self)
        if self._address is not None:
            self.connections_open.release(self._address)
            self._address = None


class Seldom(logging.Filter):
    """Warnings of the same words a few times a minute at the most: whoever sends nonsense may not fill the disk."""

    def __init__(self) -> None:
        super().__init__()
        self._lines = Allowances(Rate(burst=5, per_s=1 / 60))

    def filter(self, record: logging.LogRecord) -> bool:
        """Whether it is written. Faults of ours always are."""
        return record.levelno >= logging.ERROR or self._lines.of(record.msg, record.created).take_if_there(
            record.created
        )


def patient(patience: Patience) -> type[PatientProtocol]:
    """The protocol of one server: its connections are counted together."""
    return type("Patient", (PatientProtocol,), {"connections_open": Connections(patience)})


def listen(app: Any, address: str, port: int, patience: Patience, most_bytes: int) -> None:
    """Serve the application until stopped. `most_bytes`: of one message on a websocket."""
    most = _raise_limit_of_handles() - HANDLES_FOR_OURSELVES
    bounded = replace(patience, most=min(patience.most, most))
    config = uvicorn.Config(
        app,
        host=address,
        port=port,
        http=patient(bounded),
        ws="websockets-sansio",
        ws_max_size=most_bytes,
        use_colors=False,
        access_log=False,
        server_header=False,
    )
    logging.getLogger("uvicorn.error").addFilter(Seldom())
    family = socket.AF_INET6 if ":" in address else socket.AF_INET
    is_any = address == "::"
    with socket.create_server(
        (address, port), family=family, backlog=config.backlog, dualstack_ipv6=is_any
    ) as listening:
        uvicorn.Server(config).run(sockets=[listening])


def _raise_limit_of_handles() -> int:
    """As many as the machine allows this process, up to some thousands; what it is now."""
    try:
        import resource  # noqa: PLC0415 - not on every system
    except ImportError:
        return 8192
    soft, hard = resource.getrlimit(resource.RLIMIT_NOFILE)
    wanted = 8192 if hard == resource.RLIM_INFINITY else min(8192, hard)
    if soft < wanted:
        resource.setrlimit(resource.RLIMIT_NOFILE, (wanted, hard))
    return max(soft, wanted)
