"""A served club while somebody who is signed in tries to stop it: `uv run python -m tests.torture.attack`.

Floods on websockets, uploads where nothing is to be uploaded, syncs of taps without a pause, and connections that ask
nothing, all at once, beside honest people who look at pages and think for some seconds between them.
"""

import argparse
import itertools
import socket
import sys
import tempfile
import threading
import time
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from contextlib import ExitStack, suppress
from dataclasses import dataclass
from pathlib import Path
from urllib.parse import urlsplit

import httpx2
from streamlit.proto.BackMsg_pb2 import BackMsg
from streamlit.proto.ClientState_pb2 import ClientState
from websockets.exceptions import ConnectionClosed, InvalidHandshake

from models.permits import Role
from tests.tabs import PAGES, Visitor, visitor
from tests.torture.soak import Served, served
from tests.torture.watching import settled, watched

SECONDS, HONEST, THINKING_S = 60.0, 20, 3.0
GOAL_P95_S, GOAL_MEMORY_MB, GOAL_LOG_MB = 2.0, 200.0, 1.0

IDLE_FROM, IDLE_EACH, IDLE_HELD_S = range(2, 12), 110, 5.0
"""Neighbours by their addresses, the connections of each, and for how long they are held."""

RERUN = BackMsg(rerun_script=ClientState(page_name="my_training")).SerializeToString()

STOPPED = (OSError, ConnectionClosed, InvalidHandshake, TimeoutError, httpx2.HTTPError)
"""What an attacker meets who is stopped, and goes on."""


@dataclass(frozen=True)
class Withstood:
    """What honest people met meanwhile, and what grew."""

    took_s: list[float]
    faults: list[str]
    memory_mb: float
    log_mb: float

    @property
    def p95_s(self) -> float:
        """Of the pages that honest people opened; 19 of 20 took less."""
        return sorted(self.took_s)[int(0.95 * len(self.took_s))]

    @property
    def summary(self) -> str:
        """All of it beside the goals."""
        return (
            f"honest pages: {len(self.took_s)}, faults: {self.faults[:3] or 'none'}\n"
            f"p95 {self.p95_s:.2f} s (goal {GOAL_P95_S}), memory +{self.memory_mb:.0f} MB (goal {GOAL_MEMORY_MB:.0f}), "
            f"log +{self.log_mb:.2f} MB (goal {GOAL_LOG_MB})"
        )

    @property
    def is_as_wanted(self) -> bool:
        """Every goal is met."""
        grew = self.memory_mb < GOAL_MEMORY_MB and self.log_mb < GOAL_LOG_MB
        return not self.faults and grew and self.p95_s < GOAL_P95_S


def attack(club: Served, seconds: float, honest: int = HONEST) -> Withstood:
    """Let everybody at it for so long."""
    people = [_coach(club, number) for number in range(honest)]
    for person in people[:2]:
        person.draw("board")  # What the server takes in only once, it has before.
    before, logged, over = settled(club.server), club.log.stat().st_size, threading.Event()
    took: list[float] = []
    faults: list[str] = []
    attackers = (_floods, _uploads, _syncs, _idles)
    with watched(club.server) as looks, ThreadPoolExecutor(honest + len(attackers)) as hands:
        doing = [hands.submit(_until, over, one, club) for one in attackers]
        doing += [hands.submit(_looks, over, person, took, faults) for person in people]
        time.sleep(seconds)
        over.set()
        for one in doing:
            one.result()
    grown = max(look.memory for look in looks) - before.memory
    return Withstood(took, faults, grown / 1e6, (club.log.stat().st_size - logged) / 1e6)


def _coach(club: Served, number: int) -> Visitor:
    return visitor(club.club.folder, club.url, f"Coach {number}", Role.COACH, groups=["*"])


def _looks(over: threading.Event, person: Visitor, took: list[float], faults: list[str]) -> None:
    with person.tab() as tab:
        for page in itertools.cycle(PAGES[Role.COACH]):
            begun = time.monotonic()
            drawn = tab.go(page)
            took.append(time.monotonic() - begun)
            faults.extend(drawn.faults)
            if over.wait(THINKING_S):
                return


def _until(over: threading.Event, do: Callable[[Served, Visitor], None], club: Served) -> None:
    child = club.club.people[Role.PLAYER]
    while not over.is_set():
        with suppress(*STOPPED):
            do(club, child)


def _floods(_: Served, child: Visitor) -> None:
    with child.tab() as tab:
        for _ in range(300):
            tab.connection.send(RERUN)
        tab.connection.recv(timeout=1)


def _uploads(_: Served, child: Visitor) -> None:
    message = BackMsg()
    message.file_urls_request.request_id = "1"
    message.file_urls_request.file_names.append("a.csv")
    with child.tab() as tab:
        tab.connection.send(message.SerializeToString())
    with httpx2.Client(base_url=child.url, cookies=child.cookie, trust_env=False, timeout=30) as browser:
        browser.put("/_stcore/upload_file/made/up", headers={"Origin": child.url}, content=b"x" * 9_000_000)


def _syncs(_: Served, child: Visitor) -> None:
    events = [{"id": f"{number:032x}", "block": "0" * 32, "kind": "ball", "place": 1} for number in range(200)]
    child.post("/table/taps", {"account": child.account, "events": events})


def _idles(club: Served, _: Visitor) -> None:
    at = urlsplit(club.url)
    with ExitStack() as held:
        for neighbour, _ in itertools.product(IDLE_FROM, range(IDLE_EACH)):
            source = (f"127.0.0.{neighbour}", 0)
            held.enter_context(socket.create_connection((at.hostname, at.port), 5, source_address=source))
        time.sleep(IDLE_HELD_S)


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--seconds", type=float, default=SECONDS)
    asked = parser.parse_args()
    with tempfile.TemporaryDirectory() as place, served(Path(place)) as club:
        withstood = attack(club, asked.seconds)
    print(withstood.summary)
    sys.exit(not withstood.is_as_wanted)


if __name__ == "__main__":
    main()
