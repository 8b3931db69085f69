"""How much memory and how many file handles a process takes, looked at again and again. Needs /proc."""

import os
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from pathlib import Path

EVERY_S = 0.25

AT_REST = 8
"""Looks in which no handle is closed."""

PROC = Path("/proc")


@dataclass(frozen=True)
class Look:
    """A process and its children at a moment: resident memory in bytes, open file handles."""

    at_s: float
    memory: int
    handles: int

    @property
    def sentence(self) -> str:
        """It in words."""
        return f"{self.at_s:.0f} s: {self.memory / 1e6:.0f} MB, {self.handles} handles"


def look_at(pid: int, begun: float) -> Look:
    """The process now; `begun` is the moment, on the steady clock, from which seconds are counted."""
    family = list(_family(pid))
    return Look(time.monotonic() - begun, sum(map(_memory, family)), sum(map(_handles, family)))


def _family(pid: int) -> Iterator[int]:
    yield pid
    with suppress(OSError):  # A child may end while it is looked at.
        for task in (PROC / str(pid) / "task").iterdir():
            for child in (task / "children").read_text("ascii").split():
                yield from _family(int(child))


def _memory(pid: int) -> int:
    with suppress(OSError):
        return int((PROC / str(pid) / "statm").read_text("ascii").split()[1]) * os.sysconf("SC_PAGE_SIZE")
    return 0


def _handles(pid: int) -> int:
    with suppress(OSError):
        return len(os.listdir(PROC / str(pid) / "fd"))
    return 0


def processor_s(pid: int) -> float:
    """Seconds of processor that the process and its children have taken."""
    return sum(map(_ticks, _family(pid))) / os.sysconf("SC_CLK_TCK")


def _ticks(pid: int) -> int:
    with suppress(OSError):
        user, system = (PROC / str(pid) / "stat").read_text("ascii").rpartition(")")[2].split()[11:13]
        return int(user) + int(system)
    return 0


def settled(pid: int, patience_s: float = 30) -> Look:
    """The process at rest: as soon as it has closed nothing more for some seconds."""
    begun, seen = time.monotonic(), [look_at(pid, 0)]
    while time.monotonic() < begun + patience_s:
        time.sleep(EVERY_S)
        seen.append(look_at(pid, 0))
        if len(seen) > AT_REST and seen[-1].handles >= seen[-AT_REST].handles:
            break
    return min(seen, key=lambda look: look.handles)


@contextmanager
def watched(pid: int) -> Iterator[list[Look]]:
    """Look at the process until the end; the list grows."""
    begun, is_over = time.monotonic(), threading.Event()
    looks = [look_at(pid, begun)]

    def watch() -> None:
        while not is_over.wait(EVERY_S):
            looks.append(look_at(pid, begun))

    thread = threading.Thread(target=watch)
    thread.start()
    try:
        yield looks
    finally:
        is_over.set()
        thread.join()
