"""`halflong`, with every address written down that its process asks for: python -m tests.door.overheard FILE serve ...

What a page does happens in threads of the serving process, so it is heard too. Only what Python itself opens is heard.
"""

import os
import sys
from pathlib import Path

ASKS_FOR = {
    "socket.connect": 1,
    "socket.sendto": 1,
    "socket.sendmsg": 1,
    "socket.getaddrinfo": 0,
    "socket.gethostbyname": 0,
    "socket.gethostbyaddr": 0,
}
"""Python's audit events of whoever turns to an address, and at which place of its arguments the address stands."""

STARTS = ("subprocess.Popen", "os.system", "os.exec", "os.posix_spawn", "os.fork")
"""Audit events of another process, in which nobody would listen."""


def listen(file: Path) -> None:
    """Write down from now on what this process asks for, one address or started process a line."""
    out = os.open(file, os.O_WRONLY | os.O_CREAT | os.O_APPEND)

    def hear(event: str, arguments: tuple[object, ...]) -> None:
        if event in ASKS_FOR:
            os.write(out, f"{event}\t{_host(arguments[ASKS_FOR[event]])}\n".encode())
        elif event in STARTS:
            os.write(out, f"{event}\t{arguments!r}\n".encode())

    sys.addaudithook(hear)


def _host(address: object) -> str:
    """The name or number in an address; a path of this machine is said as such, and so is none at all."""
    host = address[0] if isinstance(address, tuple) else address
    return host.decode(errors="replace") if isinstance(host, bytes) else str(host)


def main() -> None:
    listen(Path(sys.argv[1]))
    from dashboard import command_line

    sys.argv = ["halflong", *sys.argv[2:]]
    command_line.main()


if __name__ == "__main__":
    main()
