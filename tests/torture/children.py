"""Commands of `halflong` as processes of their own, which can be killed at any moment.

A server with everything imported forks each of them, so that a process begins at once and many can be killed.
"""

import multiprocessing
import os
import random
import signal
import sys
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from multiprocessing.process import BaseProcess
from pathlib import Path
from types import ModuleType

from tests.guard import own_folders, watch

WRITING = frozenset({"os.rename", "os.remove", "os.mkdir", "os.rmdir", "os.truncate", "sqlite3.connect", "os.chmod"})
"""Python's audit events of work on files; `open` counts where it is for writing."""

PATIENCE_S = 300

ONE_AT_A_TIME = threading.Lock()
"""Threads of a test begin their processes one after the other."""

IMPORTED = ["altair", "pandas", "streamlit.starlette", "tests.torture.children", "tests.torture.commands"]


@dataclass(frozen=True)
class Ended:
    """How a command ended: its exit code (negative: the signal that killed it), what it said, and what it took."""

    code: int
    said: str
    seconds: float
    steps: int
    """Steps of work on files, as far as they were counted."""


def server() -> multiprocessing.context.ForkServerContext:
    """What forks the commands, with everything imported."""
    context = multiprocessing.get_context("forkserver")
    context.set_forkserver_preload(IMPORTED)
    return context


@contextmanager
def started(
    target: Callable[..., object], *arguments: object, said: Path, die_at_step: int = 0
) -> Iterator[BaseProcess]:
    """A process that runs `target`; whatever it says goes to the file `said`."""
    task = (target, arguments, said, die_at_step, own_folders())
    process = server().Process(target=_run, args=task)
    with _nothing_of_this_script():
        process.start()
    try:
        yield process
    finally:
        process.kill()
        process.join()


@contextmanager
def _nothing_of_this_script() -> Iterator[None]:
    """A child would first run the parent's script again; after a test of a page that is the page."""
    with ONE_AT_A_TIME:
        script = sys.modules["__main__"]
        sys.modules["__main__"] = ModuleType("__main__")
        try:
            yield
        finally:
            sys.modules["__main__"] = script


def run(
    target: Callable[..., object],
    *arguments: object,
    said: Path,
    die_after_s: float | None = None,
    die_at_step: int = 0,
) -> Ended:
    """Run a command to its end; or kill it after so many seconds, or at so many steps of work on files."""
    steps, begun = said.with_suffix(".steps"), time.monotonic()
    steps.unlink(missing_ok=True)
    with started(target, *arguments, said=said, die_at_step=die_at_step) as process:
        process.join(PATIENCE_S if die_after_s is None else die_after_s)
        if process.exitcode is None:
            process.kill()
            process.join()
            if die_after_s is None:
                raise AssertionError(f"still running after {PATIENCE_S} s: {arguments}")
        seconds = time.monotonic() - begun
    counted = int(steps.read_text()) if steps.exists() else 0
    return Ended(process.exitcode or 0, said.read_text(encoding="utf-8"), seconds, counted)


def _run(
    target: Callable[..., object], arguments: tuple[object, ...], said: Path, die_at_step: int, own: list[Path]
) -> None:
    with said.open("w", encoding="utf-8") as stream:
        os.dup2(stream.fileno(), 1)
        os.dup2(stream.fileno(), 2)
    if own:  # The torture in full is no test, and nobody watches it.
        watch(*own)
    counted = _count_steps(die_at_step)
    try:
        target(*arguments)
    finally:  # A command of halflong ends by SystemExit.
        sys.stdout.flush()
        said.with_suffix(".steps").write_text(str(counted[0]))


def _count_steps(die_at_step: int) -> list[int]:
    """Count this process's work on files from now on, and let it kill itself at that step; 0 is never."""
    counted = [0]

    def count(event: str, arguments: tuple[object, ...]) -> None:
        if event in WRITING or (event == "open" and isinstance(arguments[2], int) and arguments[2] & os.O_ACCMODE):
            counted[0] += 1
            if counted[0] == die_at_step:
                os.kill(os.getpid(), signal.SIGKILL)

    sys.addaudithook(count)
    return counted


@dataclass
class Moments:
    """Random moments within a command, drawn from what it took when it was left alone."""

    chance: random.Random
    whole: dict[str, Ended]

    def draw(self, name: str) -> dict[str, float | int]:
        """Half of them by the clock, half just before a step of work on files: windows are small there."""
        ended = self.whole[name]
        if self.chance.random() < 0.5 and ended.steps:
            return {"die_at_step": self.chance.randint(1, ended.steps)}
        return {"die_after_s": self.chance.uniform(0, ended.seconds)}
