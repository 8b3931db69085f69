"""People who look at pages at once, each with some seconds of thinking: `uv run python -m tests.torture.crowd`.

`--data FOLDER` takes a club that is there (a copy of it is served); else the demo club is made. It prints how long the
pages took, the processor time of one, and how busy the machine was.
"""

import argparse
import os
import shutil
import sys
import tempfile
import threading
import time
from collections import defaultdict
from collections.abc import Iterator, Sequence
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager
from dataclasses import dataclass, field
from itertools import cycle, islice
from pathlib import Path
from random import Random

from dashboard.commands.demo import prepare_demo
from dashboard.questions import owners_desk, players
from dashboard.serving import free_port
from ingest.club_day import today
from models.permits import Role
from sql.folder import DataFolder
from tests.door.served import running, wait_until_answered
from tests.tabs import CHOOSING, PAGES, Visitor, visitor
from tests.torture.watching import processor_s

PEOPLE, SECONDS, THINKING_S = 20, 60.0, 3.0

WHO = (Role.COACH, Role.PLAYER, Role.COACH, Role.GUARDIAN, Role.COORDINATOR)
"""Who looks, again and again."""


@dataclass
class Looked:
    """What honest people met: seconds of each page, by its name, and what went wrong."""

    took_s: dict[str, list[float]] = field(default_factory=lambda: defaultdict(list))
    faults: list[str] = field(default_factory=list)

    @property
    def all_s(self) -> list[float]:
        """The seconds of all pages, the quickest first."""
        return sorted(seconds for page in self.took_s.values() for seconds in page)

    @property
    def p95_s(self) -> float:
        """19 of 20 pages took less."""
        return share_of(self.all_s, 0.95)


def share_of(ordered: Sequence[float], share: float) -> float:
    """So great a share of the values is less."""
    return ordered[min(int(share * len(ordered)), len(ordered) - 1)]


@dataclass(frozen=True)
class Person:
    """Somebody who looks at pages, one after another."""

    visitor: Visitor
    pages: Sequence[str]
    chosen: Sequence[str]
    """The players among whom they choose, on the pages of one; empty for who has no choice."""

    def look(self, over: threading.Event, looked: Looked, begin: int) -> None:
        """Until it is over. `begin`: people do not all begin with the same page."""
        chance = Random(begin)
        if over.wait(chance.random() * THINKING_S):
            return
        with self.visitor.tab() as tab:
            for page in islice(cycle(self.pages), begin % len(self.pages), None):
                query = f"player={chance.choice(self.chosen)}" if self.chosen else ""
                begun = time.monotonic()
                drawn = tab.go(page, query)
                looked.took_s[page].append(time.monotonic() - begun)
                looked.faults.extend(drawn.faults)
                if over.wait(chance.uniform(0.5, 1.5) * THINKING_S):
                    return


def crowd(folder: DataFolder, url: str, count: int) -> list[Person]:
    """So many people with accounts of their own."""
    codes = [player.player_id for player in players(owners_desk(folder))]
    return [_person(folder, url, number, role, codes) for number, role in enumerate(islice(cycle(WHO), count))]


def _person(folder: DataFolder, url: str, number: int, role: Role, codes: Sequence[str]) -> Person:
    own = [codes[number % len(codes)]] if role in (Role.PLAYER, Role.GUARDIAN) else []
    groups = ["*"] if role is Role.COACH else []
    who = visitor(folder, url, f"{role.value.title()} {number}", role, players=own, groups=groups)
    return Person(who, PAGES[role], codes if role in CHOOSING else [])


@contextmanager
def looking(people: Sequence[Person]) -> Iterator[Looked]:
    """All of them look at pages until the end."""
    looked, over = Looked(), threading.Event()
    with ThreadPoolExecutor(len(people)) as hands:
        doing = [hands.submit(person.look, over, looked, number) for number, person in enumerate(people)]
        try:
            yield looked
        finally:
            over.set()
        for one in doing:
            one.result()


@dataclass(frozen=True)
class ServedFolder:
    """A club that is served now; the number of the serving process, and what it says."""

    folder: DataFolder
    url: str
    server: int
    log: Path


@contextmanager
def served_folder(folder: DataFolder, log: Path) -> Iterator[ServedFolder]:
    """Serve a club that is there."""
    port = free_port("127.0.0.1")
    url = f"http://127.0.0.1:{port}"
    command = [sys.executable, "-m", "dashboard.command_line", "serve", "--data", str(folder.path), "--no-open"]
    with running([*command, "--port", str(port)], log) as server:
        wait_until_answered(f"{url}/_stcore/health", lambda: server.poll() is None, log)
        yield ServedFolder(folder, url, server.pid, log)


def look_before(people: Sequence[Person]) -> None:
    """What the server takes in only once, it has after this: one of each kind has looked at all of their pages."""
    for person in people[: len(WHO)]:
        with person.visitor.tab() as tab:
            for page in person.pages:
                tab.go(page, f"player={person.chosen[0]}" if person.chosen else "")


def a_club(place: Path, data: Path | None) -> DataFolder:
    """A copy of a club; the demo club where there is none."""
    folder = DataFolder(place / "club")
    if data:
        shutil.copytree(data, folder.path)
    else:
        prepare_demo(folder, today=today(), say=print, progress=lambda *_: None)
    return folder


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--people", type=int, default=PEOPLE)
    parser.add_argument("--seconds", type=float, default=SECONDS)
    parser.add_argument("--data", type=Path)
    asked = parser.parse_args()
    with tempfile.TemporaryDirectory() as place:
        folder = a_club(Path(place), asked.data)
        with served_folder(folder, Path(place) / "server.log") as club:
            print(_measured(club, asked.people, asked.seconds))


def _measured(club: ServedFolder, count: int, seconds: float) -> str:
    people = crowd(club.folder, club.url, count)
    look_before(people)
    before = processor_s(club.server)
    with looking(people) as looked:
        time.sleep(seconds)
        spent_s = processor_s(club.server) - before
    return told(looked, spent_s, seconds)


def told(looked: Looked, spent_s: float, seconds: float) -> str:
    """The figures in lines."""
    all_s = looked.all_s
    pages = sorted(looked.took_s.items(), key=lambda page: -share_of(sorted(page[1]), 0.5))
    slow = ", ".join(f"{name} {share_of(sorted(took), 0.5):.2f}" for name, took in pages[:5])
    return "\n".join(
        [
            f"{len(all_s)} pages, faults: {looked.faults[:3] or 'none'}",
            f"half of them took less than {share_of(all_s, 0.5):.2f} s, 19 of 20 less than {looked.p95_s:.2f} s, "
            f"the slowest {all_s[-1]:.2f} s; medians: {slow}",
            f"{1000 * spent_s / len(all_s):.0f} ms of processor for a page, {spent_s / seconds:.0%} of one core; "
            f"load of the machine's {os.cpu_count()} cores meanwhile: {os.getloadavg()[0]:.1f}",
        ]
    )


if __name__ == "__main__":
    main()
