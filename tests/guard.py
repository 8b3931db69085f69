"""What no test may do, whatever it is about: turn to another machine, or touch a club that is not its own.

Only what Python itself opens is seen. DuckDB is no exception for clubs: its files are found by way of files that are.
"""

import ipaddress
import os
import socket
import sys
from pathlib import Path

ASKS_FOR = {
    "socket.connect": 1,
    "socket.bind": 1,
    "socket.sendto": 1,
    "socket.sendmsg": 1,
    "socket.getaddrinfo": 0,
    "socket.gethostbyname": 0,
    "socket.gethostbyaddr": 0,
}
"""Python's audit events of whoever turns to an address, and at which place of its arguments the address stands."""

OF_A_CLUB = frozenset({"warehouse.lock", "warehouse.holder", "warehouse.duckdb", "club.sqlite", "CURRENT"})
"""Files by which every way into a club's data folder leads."""

TOUCHES = frozenset({"open", "sqlite3.connect"})

CLUB_VARIABLE = "HALFLONG_DATA"

_own: list[Path] = []
_caught: list[str] = []


class NotAllowed(BaseException):
    """A test did what none may do. No `except Exception` on the way takes it for something else."""


def watch(*own: Path) -> None:
    """Watch from now on what this process does; clubs may lie in these folders only."""
    if not _own:
        sys.addaudithook(_hear)
    _own.extend(folder.resolve() for folder in own)
    os.environ.pop(CLUB_VARIABLE, None)


def own_folders() -> list[Path]:
    """Where clubs may lie."""
    return list(_own)


def caught() -> list[str]:
    """What was tried since this was asked last, in a thread or where nobody looked, too."""
    tried = list(_caught)
    _caught.clear()
    return tried


def host_of(address: object) -> str:
    """The name or number in an address; a path of this machine is said as such, and so is none at all."""
    host = address[0] if isinstance(address, tuple) else address
    return host.decode(errors="replace") if isinstance(host, bytes) else str(host)


def is_of_this_machine(host: str) -> bool:
    try:
        return ipaddress.ip_address(host).is_loopback
    except ValueError:
        return host in ("None", "localhost", "")


def _hear(event: str, arguments: tuple[object, ...]) -> None:
    if event in ASKS_FOR and _is_of_the_internet(arguments[0]):
        host = host_of(arguments[ASKS_FOR[event]])
        if not is_of_this_machine(host) or (event == "socket.bind" and not host):
            _refuse(f"{event} {host or 'any'}: tests turn to loopback only")
    elif event in TOUCHES and isinstance(arguments[0], str | os.PathLike):
        path = os.fspath(arguments[0])
        if isinstance(path, str) and path.rpartition("/")[2] in OF_A_CLUB and not _is_own(path):
            _refuse(f"{event} {path}: the clubs of tests lie in folders of their own")


def _is_of_the_internet(asker: object) -> bool:
    return not isinstance(asker, socket.socket) or asker.family in (socket.AF_INET, socket.AF_INET6)


def _is_own(path: str) -> bool:
    whole = Path(path).resolve()
    return any(whole.is_relative_to(folder) for folder in _own)


def _refuse(told: str) -> None:
    _caught.append(told)
    raise NotAllowed(told)
