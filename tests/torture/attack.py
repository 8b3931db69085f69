"""A served club while somebody who is signed in tries to stop it: `uv run python -m tests.torture.attack`.

A child who is signed in, and neighbours on the network, do all that they can at once for a minute: floods on
websockets, uploads where nothing is to be uploaded, taps and syncs without end, connections that ask nothing or ask
slowly. Beside them 20 honest people look at pages and think for some seconds between them (`crowd.py`). It prints what
these met, and what grew: the goals are a p95 under 2 s, less than 200 MB of memory and less than 1 MB of log.

The attackers are a process of their own that sends prepared bytes (`thin.py`) and yields the cores to the others
(`YIELDS`), for in truth it would have a machine of its own; what it takes all the same is told beside the figures.
"""

import argparse
import itertools
import multiprocessing
import os
import sys
import tempfile
import time
from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import ThreadPoolExecutor
from contextlib import ExitStack, contextmanager, suppress
from dataclasses import dataclass, field
from multiprocessing.synchronize import Event
from pathlib import Path
from typing import Any

from streamlit.proto.BackMsg_pb2 import BackMsg
from streamlit.proto.ClientState_pb2 import ClientState

from dashboard.questions import owners_desk, players, setup_names
from ingest.club_day import today
from models.permits import Role
from sql.club.file import club_file
from tests.at_table.blocks import PhoneBlock
from tests.tabs import visitor
from tests.torture.crowd import PEOPLE, Looked, ServedFolder, a_club, crowd, look_before, looking, served_folder
from tests.torture.thin import Thin, frame
from tests.torture.watching import processor_s, settled, watched

SECONDS = 60.0
GOAL_P95_S, GOAL_MEMORY_MB, GOAL_LOG_MB = 2.0, 200.0, 1.0

MESSAGES, SOCKETS, MESSAGES_OF_EACH = 300, 100, 20
FILES_AT_ONCE, FILE_BYTES = 8, 9_000_000
OLD_BLOCKS, TAPS_OF_EACH = 50, 200
FULL_BLOCK_TAPS, BEGUN_BLOCKS, SYNCS_AT_ONCE = 2_400, 55, 40
LOADED_WITHIN_S = 300
IDLE_FROM, IDLE_EACH, IDLE_HELD_S = range(2, 12), 110, 5.0
"""Neighbours by their addresses, the connections of each, and for how long they are held."""

YIELDS = 10
"""By so much (nice) the attackers stand back behind everybody else on the cores."""

RERUN = frame(BackMsg(rerun_script=ClientState(page_name="my_training")).SerializeToString())


@dataclass(frozen=True)
class Withstood:
    """What honest people met meanwhile, what grew, and how often each attack was made."""

    looked: Looked
    memory_mb: float
    log_mb: float
    attacks: Counter[str] = field(default_factory=Counter)
    server_s: float = 0
    attackers_s: float = 0
    """Seconds of processor that the server and the attackers took."""

    @property
    def summary(self) -> str:
        """All of it beside the goals."""
        made = ", ".join(f"{count} {name}" for name, count in sorted(self.attacks.items()))
        return (
            f"attacks: {made}\n"
            f"honest pages: {len(self.looked.all_s)}, faults: {self.looked.faults[:3] or 'none'}\n"
            f"p95 {self.looked.p95_s:.2f} s (goal {GOAL_P95_S}), "
            f"memory +{self.memory_mb:.0f} MB (goal {GOAL_MEMORY_MB:.0f}), "
            f"log +{self.log_mb:.2f} MB (goal {GOAL_LOG_MB}); "
            f"load of the machine's {os.cpu_count()} cores meanwhile: {os.getloadavg()[0]:.1f}\n"
            f"processor: server {self.server_s:.0f} s, attackers {self.attackers_s:.0f} s"
        )

    @property
    def is_as_wanted(self) -> bool:
        """Every goal is met."""
        grew = self.memory_mb < GOAL_MEMORY_MB and self.log_mb < GOAL_LOG_MB
        return not self.looked.faults and grew and self.looked.p95_s < GOAL_P95_S


@dataclass(frozen=True)
class Child:
    """A player who is signed in and means harm, on a day of their own log."""

    at: Thin
    account: int
    player: str
    setup: str
    day: str

    def sync(self, events: Sequence[dict[str, object]] = ()) -> None:
        """What the page at the table would send."""
        self.at.post("/table/taps", {"account": self.account, "events": list(events)})

    def count(self, taps: int, *, is_done: bool) -> None:
        """A block of so many balls, sent as the phone sends it."""
        phone = PhoneBlock(self.player, self.day)
        self.sync([phone.begin({"setup": self.setup, "spin": "backspin", "length": "short"})])
        for _ in range(0, taps, TAPS_OF_EACH):
            self.sync(phone.balls(*["good"] * TAPS_OF_EACH))
        if is_done:
            self.sync([phone.done()])


Attack = Callable[[Child], None]


def attack(club: ServedFolder, seconds: float, honest: int = PEOPLE, old_blocks: int = OLD_BLOCKS) -> Withstood:
    """Let everybody at it for so long. `old_blocks`: so many were counted at the table before, honestly."""
    child = _child(club)
    for _ in range(old_blocks):
        child.count(TAPS_OF_EACH, is_done=True)
    _wait_until_in_the_log(club)
    people = crowd(club.folder, club.url, honest)
    look_before(people)
    before, logged, spent = settled(club.server), club.log.stat().st_size, processor_s(club.server)
    with watched(club.server) as looks, attacked(child) as attackers, looking(people) as looked:
        time.sleep(seconds)
    grown, spent = max(look.memory for look in looks) - before.memory, processor_s(club.server) - spent
    log_mb = (club.log.stat().st_size - logged) / 1e6
    return Withstood(looked, grown / 1e6, log_mb, attackers.made, spent, attackers.spent_s)


def _wait_until_in_the_log(club: ServedFolder) -> None:
    """What was counted before is loaded and built, so that neither is taken for the attackers' doing."""
    waiting, end = True, time.monotonic() + LOADED_WITHIN_S
    while waiting and time.monotonic() < end:
        time.sleep(1)
        with club_file(club.folder) as connection:
            waiting = bool(connection.execute("select 1 from table_blocks where state = 'done'").fetchone())


def _child(club: ServedFolder) -> Child:
    desk = owners_desk(club.folder)
    player, setup = players(desk)[0].player_id, next(iter(setup_names(desk)))
    who = visitor(club.folder, club.url, "Mallory Child", Role.PLAYER, players=[player])
    return Child(Thin(who.url, who.cookie), who.account, player, setup, today().isoformat())


@dataclass
class Attackers:
    """How often each attack was made, and the seconds of processor that this took. Known at the end."""

    made: Counter[str] = field(default_factory=Counter)
    spent_s: float = 0


@contextmanager
def attacked(child: Child) -> Iterator[Attackers]:
    """All attacks at once, in a process of their own, until the end."""
    processes = multiprocessing.get_context("fork")
    over, told, attackers = processes.Event(), processes.SimpleQueue(), Attackers()
    process = processes.Process(target=_attack, args=(child, over, told.put), daemon=True)
    process.start()
    try:
        yield attackers
    finally:
        over.set()
        attackers.made, attackers.spent_s = told.get()
        process.join()


def _attack(child: Child, over: Event, tell: Callable[[Any], None]) -> None:
    os.nice(YIELDS)
    made: Counter[str] = Counter()
    with ThreadPoolExecutor(len(ATTACKS)) as hands:
        for one in ATTACKS:
            hands.submit(_until, over, one, child, made)
    tell((made, time.process_time()))


def _until(over: Event, do: Attack, child: Child, made: Counter[str]) -> None:
    while not over.is_set():
        with suppress(OSError):  # They are stopped, and go on.
            do(child)
        made[do.__name__.strip("_").replace("_", " ")] += 1
        over.wait(0.05)


def _floods_of_one_socket(child: Child) -> None:
    with child.at.tab() as tab:
        for _ in range(MESSAGES):
            tab.sendall(RERUN)
        tab.settimeout(1)
        tab.recv(4096)


def _floods_of_many_sockets(child: Child) -> None:
    def flood(_: int) -> None:
        with suppress(OSError), child.at.tab() as tab:
            tab.sendall(RERUN * MESSAGES_OF_EACH)
            tab.settimeout(1)
            tab.recv(4096)

    with ThreadPoolExecutor(10) as hands:
        list(hands.map(flood, range(SOCKETS)))


def _uploads(child: Child) -> None:
    wish = BackMsg()
    wish.file_urls_request.request_id = "1"
    wish.file_urls_request.file_names.append("a.csv")
    with suppress(OSError), child.at.tab() as tab:
        tab.sendall(RERUN + frame(wish.SerializeToString()))
        tab.settimeout(1)
        tab.recv(4096)
    file = bytes(FILE_BYTES)
    requests = (child.at.request("PUT", f"/_stcore/upload_file/made/up{n}", file) for n in range(FILES_AT_ONCE))

    def put(request: bytes) -> None:
        with suppress(OSError):
            child.at.ask(request)

    with ThreadPoolExecutor(FILES_AT_ONCE) as hands:
        list(hands.map(put, requests))


def _blocks_without_end(child: Child) -> None:
    child.count(FULL_BLOCK_TAPS, is_done=False)
    child.sync([PhoneBlock(child.player, child.day).begin() for _ in range(BEGUN_BLOCKS)])


def _syncs_at_once(child: Child) -> None:
    with ThreadPoolExecutor(SYNCS_AT_ONCE) as hands:
        for _ in range(SYNCS_AT_ONCE):
            hands.submit(child.sync)


def _idle_connections(child: Child) -> None:
    with ExitStack() as held:
        for neighbour, _ in itertools.product(IDLE_FROM, range(IDLE_EACH)):
            held.enter_context(child.at.connected(neighbour))
        time.sleep(IDLE_HELD_S)


def _slow_requests(child: Child) -> None:
    """A head and a body that never end, a byte at a time, and lines that are no request."""
    begun = (
        b"GET / HTTP/1.1\r\nHost: 127.0.0.1\r\nX-Slow: ",
        b"POST /account/sign-in HTTP/1.1\r\nHost: localhost\r\nOrigin: http://localhost\r\nContent-Length: 900\r\n\r\n",
        b"\x16\x03\x01 no request at all\r\n\r\n",
    )
    with ExitStack() as held:
        connections = [held.enter_context(child.at.connected(neighbour)) for neighbour in (12, 13) for _ in range(50)]
        for number, connection in enumerate(connections):
            connection.sendall(begun[number % len(begun)])
        for _ in range(20):
            time.sleep(0.25)
            for connection in connections:
                with suppress(OSError):
                    connection.sendall(b"x")


ATTACKS: tuple[Attack, ...] = (
    _floods_of_one_socket,
    _floods_of_many_sockets,
    _uploads,
    _blocks_without_end,
    _syncs_at_once,
    _idle_connections,
    _slow_requests,
)


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--seconds", type=float, default=SECONDS)
    parser.add_argument("--data", type=Path, help="a club that is there, of which a copy is served; else the demo")
    asked = parser.parse_args()
    with tempfile.TemporaryDirectory() as place:
        folder = a_club(Path(place), asked.data)
        with served_folder(folder, Path(place) / "server.log") as club:
            withstood = attack(club, asked.seconds)
    print(withstood.summary)
    sys.exit(not withstood.is_as_wanted)


if __name__ == "__main__":
    main()
