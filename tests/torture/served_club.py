"""A served club in which much happens at once, and what those who did it were told is done."""

import re
import threading
from collections import Counter
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from datetime import date, timedelta
from itertools import count, cycle
from pathlib import Path

from models.permits import Role
from sql.folder import DataFolder
from tests.at_table.blocks import PhoneBlock
from tests.tabs import CHOOSING, PAGES, Drawn, Tab, Visitor, visitor
from tests.torture.children import run
from tests.torture.commands import halflong_in_full

BASICS = {
    "players.csv": (
        "player,name,handedness,group\nP1,Ada Lind,right,Juniors\nP2,Bo Ek,left,Juniors\nP3,Cy Oda,right,Seniors\n"
    ),
    "setups.csv": "setup,x_cm,y_cm\nB,-20,0\nM,60,50\nN,105,0\n",
    "targets.csv": (
        "target,applies_to,dimension,value,share\nall,*,depth,back,1\nall,*,depth,middle,1\nall,*,depth,near,1\n"
        "all,*,spin_family,backspin,1\nall,*,spin_family,topspin,1\n"
    ),
}
HEADER = "session_date,session,player,block,setup,spin,length,balls,good\n"
LINES = 12
FIRST_DAY, DAYS = date(2026, 7, 1), 112
OLD_LOGS = 12
"""So many logs are there from the beginning. As many as come later are withdrawn, so that the club stays of a size."""

TAPS, TAPS_AT_ONCE = 12, 5

ADDRESSES = ("/", "/table", "/table/start", "/table/offers?player=P1", "/account")


@dataclass
class Ledger:
    """What was acknowledged, what went wrong, and how often each thing was done."""

    balls: dict[str, int] = field(default_factory=dict)
    """Balls of each session that is in the log."""
    gone: set[str] = field(default_factory=set)
    """Sessions that were taken out of the log again."""
    errors: list[str] = field(default_factory=list)
    done: Counter[str] = field(default_factory=Counter)


class ServedClub:
    """The club. `place` is an empty folder of its own; `serve` it, then let people in."""

    def __init__(self, place: Path) -> None:
        self.place, self.folder, self.ledger = place, DataFolder(place / "club"), Ledger()
        for name, text in BASICS.items():
            (place / name).write_text(text, encoding="utf-8")
        old = [self.log_of(f"OLD{number}", day_of(9 * number)) for number in range(OLD_LOGS)]
        CommandLine(self, "first").give("load", *(str(place / name) for name in BASICS), *map(str, old))
        for number in range(OLD_LOGS):
            self.ledger.balls[f"{day_of(9 * number)}/OLD{number}"] = balls_on(day_of(9 * number))
        self.people: dict[Role, Visitor] = {}

    def let_in(self, url: str) -> None:
        """One person of every kind has come in at this address."""
        self.people = {
            Role.COORDINATOR: visitor(self.folder, url, "Nora Quill", Role.COORDINATOR),
            Role.COACH: visitor(self.folder, url, "M. Roe", Role.COACH, groups=["*"]),
            Role.PLAYER: visitor(self.folder, url, "Ada Lind", Role.PLAYER, players=["P1"]),
            Role.GUARDIAN: visitor(self.folder, url, "Otto Ek", Role.GUARDIAN, players=["P2"]),
        }

    @contextmanager
    def tab(self, role: Role) -> Iterator[Tab]:
        """A tab of one of them."""
        self.ledger.done["tabs"] += 1
        with self.people[role].tab() as tab:
            yield tab

    def draw(self, role: Role, page: str) -> Drawn:
        """A page in a tab of its own."""
        with self.tab(role) as tab:
            return tab.go(page)

    def workers(self) -> "list[Worker]":
        """All who work in it at once, from now on."""
        return [Office(self), Keeper(self), Hall(self), Onlooker(self, 0), Onlooker(self, 1)]

    def log_of(self, session: str, day: date, players: tuple[str, ...] = ("P1", "P2", "P3")) -> Path:
        """A log of one session that is in no other file."""
        lines = (
            f"{day},{session},{players[block % len(players)]},{block},{'BMN'[block % 3]},"
            f"{('backspin', 'topspin')[block % 2]},long,{balls_of(day, block)},1\n"
            for block in range(1, LINES + 1)
        )
        file = self.place / f"{session}.csv"
        file.write_text(HEADER + "".join(lines), encoding="utf-8")
        return file


def day_of(number: int) -> date:
    """The day of the log, or of the block, of that number."""
    return FIRST_DAY + timedelta(days=number % DAYS)


def balls_of(day: date, block: int) -> int:
    """Balls of a line: from 1 to 20, so that a line that is missing or stands there twice shows in the sum."""
    return 1 + (day.toordinal() + 7 * block) % 20


def balls_on(day: date) -> int:
    """Balls of a whole log."""
    return sum(balls_of(day, block) for block in range(1, LINES + 1))


class CommandLine:
    """Somebody who types commands of `halflong`."""

    def __init__(self, club: ServedClub, name: str) -> None:
        self.club, self._said = club, club.place / f"{name}.txt"

    def give(self, *arguments: str) -> str | None:
        """Give a command; what it said, or None where it failed, which is noted."""
        ended = run(halflong_in_full, *arguments, "--data", str(self.club.folder.path), said=self._said)
        done = self.club.ledger
        done.done["commands that had to wait"] += "busy, waiting" in ended.said
        if ended.code or "Traceback" in ended.said:
            done.errors.append(f"halflong {arguments[0]}: exit code {ended.code}: {ended.said[-600:]}")
            return None
        return ended.said


class Worker:
    """Somebody who does one thing after another."""

    pause_s = 0.5
    at_least = 1
    """So many things are done though the time is over."""

    def __init__(self, club: ServedClub) -> None:
        self.club, self.ledger = club, club.ledger

    def step(self) -> None:
        """The next thing."""
        raise NotImplementedError


class Office(Worker):
    """Loads logs, withdraws them again, and forgets a guest."""

    at_least = 3

    def __init__(self, club: ServedClub) -> None:
        super().__init__(club)
        self._line, self._numbers = CommandLine(club, "office"), count(1)
        self._batches: dict[str, str] = {}
        self._turns = cycle(
            [self._load_one, self._withdraw_one, self._forget_a_guest, *[self._load_one] * 2, self._withdraw_one]
        )

    def step(self) -> None:
        next(self._turns)()

    def _load_one(self) -> None:
        number = next(self._numbers)
        self.load(f"L{number}", day_of(number))

    def _withdraw_one(self) -> None:
        self.withdraw(next(iter(self._batches)))

    def load(self, session: str, day: date) -> None:
        """Load a log of this session."""
        said = self._line.give("load", str(self.club.log_of(session, day)))
        if said and (batch := re.search(r"Stored as batch (\d+)", said)):
            name = f"{day}/{session}"
            self._batches[name] = batch[1]
            self.ledger.balls[name] = balls_on(day)
            self.ledger.done["loads"] += 1

    def withdraw(self, name: str) -> None:
        """Withdraw the log of this session."""
        if self._line.give("withdraw", self._batches.pop(name)):
            del self.ledger.balls[name]
            self.ledger.gone.add(name)
            self.ledger.done["withdrawals"] += 1

    def _forget_a_guest(self) -> None:
        number = next(self._numbers)
        guest = f"GUEST{number}"
        people = self.club.place / f"list{number}.csv"  # The erasure would take the guest's code out of a file's name.
        people.write_text(f"player,name,handedness\n{guest},Guest {number},right\n", encoding="utf-8")
        log = self.club.log_of(f"G{number}", day_of(number), (guest,))
        if self._line.give("load", str(people), str(log)):
            self.ledger.done["loads"] += 2
        if self._line.give("forget", guest, "--delete-lines", "--yes"):
            self.ledger.gone.add(f"{day_of(number)}/G{number}")
            self.ledger.done["erasures"] += 1


class Keeper(Worker):
    """Builds, and makes backups."""

    pause_s = 2
    at_least = 2

    def __init__(self, club: ServedClub) -> None:
        super().__init__(club)
        self._line = CommandLine(club, "keeper")
        self._turns = cycle([("build",), ("backup", str(club.place / "club.zip"), "--replace")])

    def step(self) -> None:
        command = next(self._turns)
        if self._line.give(*command) is not None:
            self.ledger.done[f"{command[0]}s"] += 1


class Hall(Worker):
    """Counts balls at the table, as a phone does; every second block is the coach's, the others the player's own."""

    pause_s = 2

    def __init__(self, club: ServedClub) -> None:
        super().__init__(club)
        self._numbers = count(1)

    def step(self) -> None:
        number = next(self._numbers)
        who = self.club.people[(Role.COACH, Role.PLAYER)[number % 2]]
        day, session = day_of(number).isoformat(), f"T{number}"
        phone = PhoneBlock("P1", day)
        begin = phone.begin({"setup": "N", "spin": "backspin", "length": "short"})
        begin["values"]["session"] = session
        events = [begin, *phone.balls(*["good"] * TAPS), phone.done()]
        saved: set[str] = set()
        for first in range(0, len(events), TAPS_AT_ONCE):
            said = {"account": who.account, "events": events[first : first + TAPS_AT_ONCE]}
            answer = who.post("/table/taps", said)
            if answer.status_code != 200 or answer.json()["held"]:
                self.ledger.errors.append(f"taps: {answer.status_code}: {answer.text[:600]}")
                continue
            saved |= set(answer.json()["saved"])
        taps = sum(event["id"] in saved for event in events if event["kind"] == "ball")
        self.ledger.balls[f"{day}/{session}"] = taps
        self.ledger.done["taps"] += taps


class Onlooker(Worker):
    """Opens a tab, looks at three pages in it, closes it, and asks for an address or two besides."""

    pause_s = 0.2

    def __init__(self, club: ServedClub, place: int) -> None:
        super().__init__(club)
        visits = [(role, page) for role, pages in PAGES.items() for page in pages]
        self._visits = cycle(visits[place::2] + visits[1 - place :: 2])
        self._addresses = cycle(ADDRESSES)

    def step(self) -> None:
        role, page = next(self._visits)
        with self.club.tab(role) as tab:
            for shown in (page, PAGES[role][0], page):
                self._see(shown, tab.go(shown, "player=P1" if role in CHOOSING else ""))
        address = next(self._addresses)
        answer = self.club.people[Role.COACH].get(address)
        self.ledger.done["addresses"] += 1
        if answer.status_code != 200:
            self.ledger.errors.append(f"{address}: {answer.status_code}: {answer.text[:300]}")

    def _see(self, page: str, drawn: Drawn) -> None:
        self.ledger.done["pages"] += 1
        if drawn.faults or not drawn.title:
            self.ledger.errors.append(f"{page}: {drawn.faults or 'nothing was drawn'}")


@contextmanager
def at_work(workers: list[Worker]) -> Iterator[None]:
    """All of them work, each in a thread, until the end; each finishes what it has begun."""
    is_over = threading.Event()
    threads = [threading.Thread(target=_work, args=(worker, is_over.wait)) for worker in workers]
    for thread in threads:
        thread.start()
    try:
        yield
    finally:
        is_over.set()
        for thread in threads:
            thread.join()


def _work(worker: Worker, is_over: Callable[[float], bool]) -> None:
    done = 0
    while not is_over(worker.pause_s) or done < worker.at_least:
        try:
            worker.step()
        except Exception as error:  # Whatever it was, somebody saw it.
            worker.ledger.errors.append(f"{type(worker).__name__}: {error!r}")
        done += 1
