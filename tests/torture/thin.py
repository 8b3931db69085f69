"""An attacker as thin as one can be: bytes that were prepared, sent over plain sockets, hardly an answer read.

Who attacks has machines of their own. Here they share the cores with those who are attacked, so that whatever they
spend themselves would be counted against the club.
"""

import json
import socket
import struct
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from typing import Any
from urllib.parse import urlsplit

PATIENCE_S = 5.0


@dataclass(frozen=True)
class Thin:
    """Somebody who is signed in, at an address of their own (`127.0.0.neighbour`)."""

    url: str
    cookie: Mapping[str, str]
    neighbour: int = 14

    @contextmanager
    def connected(self, neighbour: int | None = None) -> Iterator[socket.socket]:
        """A connection on which nothing is said yet."""
        at = urlsplit(self.url)
        source = (f"127.0.0.{neighbour or self.neighbour}", 0)
        with socket.create_connection((at.hostname or "", at.port or 80), PATIENCE_S, source_address=source) as one:
            yield one

    def request(self, method: str, path: str, body: bytes = b"", kind: str = "application/json", **more: str) -> bytes:
        """The bytes of a request."""
        headers = {
            "Host": urlsplit(self.url).netloc,
            "Origin": self.url,
            "Cookie": "; ".join(f"{name}={value}" for name, value in self.cookie.items()),
            "Content-Type": kind,
            "Content-Length": str(len(body)),
            **more,
        }
        lines = "".join(f"{name}: {value}\r\n" for name, value in headers.items())
        return f"{method} {path} HTTP/1.1\r\n{lines}\r\n".encode() + body

    def ask(self, request: bytes) -> bytes:
        """Send a request; the beginning of what is answered."""
        with self.connected() as one:
            one.sendall(request)
            return one.recv(4096)

    def post(self, path: str, texts: Any) -> bytes:
        """Send something, as a page of ours would."""
        return self.ask(self.request("POST", path, json.dumps(texts).encode()))

    @contextmanager
    def tab(self) -> Iterator[socket.socket]:
        """An open tab, for frames of `frame`; what comes back is left unread."""
        upgrade = {
            "Connection": "Upgrade",
            "Upgrade": "websocket",
            "Sec-WebSocket-Version": "13",
            "Sec-WebSocket-Key": "AAAAAAAAAAAAAAAAAAAAAA==",
            "Sec-WebSocket-Protocol": "streamlit",
        }
        with self.connected() as one:
            one.sendall(self.request("GET", "/_stcore/stream", **upgrade))
            if not one.recv(4096).startswith(b"HTTP/1.1 101"):
                raise ConnectionRefusedError
            yield one


def frame(message: bytes) -> bytes:
    """A message on a websocket (RFC 6455, 5.2): binary, whole, under a mask that changes nothing."""
    size = len(message)
    length = bytes([0x80 | size]) if size < 126 else struct.pack("!BH", 0x80 | 126, size)
    return b"\x82" + length + bytes(4) + message
