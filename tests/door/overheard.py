"""`halflong`, with every address written down that its process asks for: python -m tests.door.overheard FILE serve ...

What a page does happens in threads of the serving process, so it is heard too. Only what Python itself opens is heard.
"""

import os
import sys
from pathlib import Path

from tests.guard import ASKS_FOR, host_of

STARTS = ("subprocess.Popen", "os.system", "os.exec", "os.posix_spawn", "os.fork")
"""Audit events of another process, in which nobody would listen."""


def listen(file: Path) -> None:
    """Write down from now on what this process asks for, one address or started process a line."""
    out = os.open(file, os.O_WRONLY | os.O_CREAT | os.O_APPEND)

    def hear(event: str, arguments: tuple[object, ...]) -> None:
        if event in ASKS_FOR:
            os.write(out, f"{event}\t{host_of(arguments[ASKS_FOR[event]])}\n".encode())
        elif event in STARTS:
            os.write(out, f"{event}\t{arguments!r}\n".encode())

    sys.addaudithook(hear)


def main() -> None:
    listen(Path(sys.argv[1]))
    from dashboard import command_line

    sys.argv = ["halflong", *sys.argv[2:]]
    command_line.main()


if __name__ == "__main__":
    main()
