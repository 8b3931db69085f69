"""The served club for an hour, everything at once: `uv run python -m tests.torture.soak --minutes 60`.

Loads, withdrawals, erasures, builds and backups by the command line, balls counted at the table, and pages looked at,
all at the same time, while the server's memory and file handles are watched.
"""

import argparse
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from dashboard.serving import free_port
from models.permits import Role
from sql.club.file import club_file
from sql.folder import DataFolder
from sql.warehouse import ask
from tests.door.served import running, wait_until_answered
from tests.torture.served_club import CommandLine, Hall, Ledger, Office, Onlooker, ServedClub, Worker, at_work
from tests.torture.watching import Look, settled, watched

MINUTES = 60.0
FIRST_S = 60.0
"""Memory is held against what it was after the first minute; in a shorter soak, after the first tenth."""

MOST_MEMORY = 1.5
MOST_MORE_HANDLES = 8
"""So many more handles than before may be open at rest: a connection or two that the server has not closed yet."""

HANDLES_OF_A_TAB, TABS_KEPT, TAB_KEPT_S = 3, 128, 120
"""Streamlit's own: a tab has so many handles; so many closed tabs may come back, for so long. They go when another is
closed after that."""

LAST_DAY = date(2026, 11, 20)

Tell = Callable[[str], None]


@dataclass(frozen=True)
class Soaked:
    """What a soak showed."""

    ledger: Ledger
    found: dict[str, int]
    """Balls of each session in the publication at the end."""
    files_in_force: list[str]
    looks: list[Look]
    before: Look
    after: Look
    tabs_kept: int
    """Tabs that were closed since, and that the server may keep for coming back."""

    @property
    def acknowledged(self) -> int:
        """Sessions of which somebody was told that they are in the log, or safe on their way into it."""
        return len(self.ledger.balls) + len(self.ledger.gone)

    @property
    def memory_ratio(self) -> float:
        """The most memory that the server ever took after the first minute, over what it took then."""
        first = next(look for look in self.looks if look.at_s >= first_part(self.looks[-1].at_s))
        return max(look.memory for look in self.looks if look.at_s >= first.at_s) / first.memory

    @property
    def more_handles(self) -> int:
        """Open handles at rest, after over before, but for those of closed tabs that are kept."""
        return self.after.handles - self.before.handles - HANDLES_OF_A_TAB * self.tabs_kept

    @property
    def lost(self) -> list[str]:
        """Acknowledged sessions that are not whole in the publication."""
        return [name for name, balls in self.ledger.balls.items() if self.found.get(name, 0) < balls]

    @property
    def double(self) -> list[str]:
        """Sessions with more balls than were acknowledged, and files that are in force twice."""
        more = [name for name, balls in self.found.items() if balls > self.ledger.balls.get(name, 0)]
        return more + sorted({file for file in self.files_in_force if self.files_in_force.count(file) > 1})

    @property
    def faults(self) -> list[str]:
        """Everything that should not have been, in sentences."""
        bounds = [
            (self.memory_ratio > MOST_MEMORY, f"memory grew to {self.memory_ratio:.2f} times its first value"),
            (self.more_handles > MOST_MORE_HANDLES, f"{self.more_handles} more handles are open than before"),
            (bool(self.lost), f"lost: {self.lost[:5]}"),
            (bool(self.double), f"double: {self.double[:5]}"),
        ]
        return [sentence for is_so, sentence in bounds if is_so] + self.ledger.errors


def first_part(seconds: float) -> float:
    """When memory is looked at first."""
    return min(FIRST_S, seconds / 10)


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--minutes", type=float, default=MINUTES)
    asked = parser.parse_args()
    with tempfile.TemporaryDirectory() as place, served(Path(place)) as a_club:
        soaked = soak(a_club, asked.minutes * 60, tell=lambda told: print(told, flush=True))
    print(summary(soaked))
    sys.exit(bool(soaked.faults))


@dataclass(frozen=True)
class Served:
    """A club that is served now, its people let in."""

    club: ServedClub
    url: str
    server: int
    """The number of the serving process."""
    log: Path

    def note_what_the_server_said(self) -> None:
        """Whatever the server could not cope with stands in what it said."""
        texts = self.log.read_text(encoding="utf-8", errors="replace")
        if "Traceback" in texts:
            self.club.ledger.errors.append(f"the server said: {texts[texts.index('Traceback') :][:2000]}")


@contextmanager
def served(place: Path) -> Iterator[Served]:
    """Make a club in an empty folder, and serve it."""
    club, log, port = ServedClub(place), place / "server.log", free_port("127.0.0.1")
    command = [sys.executable, "-m", "dashboard.command_line", "serve", "--data", str(club.folder.path), "--no-open"]
    with running([*command, "--port", str(port)], log) as server:
        url = f"http://127.0.0.1:{port}"
        wait_until_answered(f"{url}/_stcore/health", lambda: server.poll() is None, log)
        club.let_in(url)
        yield Served(club, url, server.pid, log)


def soak(served: Served, seconds: float, tell: Tell = lambda _: None) -> Soaked:
    """Let everybody work at once for so long. What the server takes in only once, it has before."""
    club, workers = served.club, served.club.workers()
    warm_up(club, workers)
    before, tabs, begun = settled(served.server), club.ledger.done["tabs"], time.monotonic()
    with watched(served.server) as looks, at_work(workers):
        while (left := begun + seconds - time.monotonic()) > 0:
            time.sleep(min(left, FIRST_S))
            tell(f"{looks[-1].sentence}; {_counts(club.ledger)}; errors: {club.ledger.errors[:3] or 'none'}")
    wait_until_handed_over(club.folder)
    the_last_publication_is_shown(club)
    CommandLine(club, "last").give("verify")
    served.note_what_the_server_said()
    kept = min(TABS_KEPT, club.ledger.done["tabs"] - tabs)
    if seconds > TAB_KEPT_S:
        kept = let_closed_tabs_go(club)
    after = settled(served.server)
    return Soaked(club.ledger, balls_in(club.folder), files_in_force(club.folder), looks, before, after, kept)


def warm_up(club: ServedClub, workers: list[Worker]) -> None:
    """The first work of everybody whom the server serves, at once, and the page that imports most."""
    with ThreadPoolExecutor() as hands:
        for done in [hands.submit(worker.step) for worker in workers if isinstance(worker, Hall | Onlooker)]:
            done.result()
    club.draw(Role.PLAYER, "my_training")
    wait_until_handed_over(club.folder)


def let_closed_tabs_go(club: ServedClub) -> int:
    """Wait until no closed tab may come back but one; how many are kept."""
    time.sleep(TAB_KEPT_S + 1)
    club.draw(Role.PLAYER, "privacy")
    return 1


def wait_until_handed_over(folder: DataFolder, patience_s: float = 120) -> None:
    """Until no block that was closed at the table waits any more."""
    end = time.monotonic() + patience_s
    while time.monotonic() < end:
        with club_file(folder) as connection:
            if not connection.execute("select 1 from table_blocks where state <> 'in_log'").fetchone():
                return
        time.sleep(0.1)


def the_last_publication_is_shown(club: ServedClub) -> None:
    """Notes an error where the served board does not go up to the last day that was loaded, or withdrawn, just now."""
    office, before = Office(club), cut_off(club.folder)
    for change, day in (
        (lambda: office.load("LAST", LAST_DAY), LAST_DAY),
        (lambda: office.withdraw(f"{LAST_DAY}/LAST"), before),
    ):
        change()
        if f"Figures up to {day:%d %B %Y}" not in " ".join(club.draw(Role.COACH, "board").texts):
            club.ledger.errors.append(f"the board does not go up to {day}, the last day that is in the log now")


def cut_off(folder: DataFolder) -> date:
    """The last day in the log."""
    day: date = ask(folder, "select cut_off from report.build").item()
    return day


def balls_in(folder: DataFolder) -> dict[str, int]:
    """Balls of each session in the publication."""
    return dict(ask(folder, "select session_id, cast(sum(balls) as bigint) from core.fed_lines group by 1").iter_rows())


def files_in_force(folder: DataFolder) -> list[str]:
    """The files of the batches that nobody has withdrawn."""
    return ask(folder, "select file_name from core.batches where withdrawn_at is null").to_series().to_list()


def _counts(ledger: Ledger) -> str:
    return ", ".join(f"{count} {name}" for name, count in sorted(ledger.done.items()))


def summary(soaked: Soaked) -> str:
    """The figures in sentences."""
    seconds = soaked.looks[-1].at_s
    told = (
        f"{seconds / 60:.1f} minutes of a served club: {_counts(soaked.ledger)}; "
        f"{soaked.acknowledged} sessions acknowledged, {len(soaked.lost)} lost, {len(soaked.double)} double; "
        f"memory at most {soaked.memory_ratio:.2f} times that after {first_part(seconds):.0f} s; "
        f"{soaked.more_handles} handles at rest more than before."
    )
    return "\n".join([told, *soaked.faults[:10]])


if __name__ == "__main__":
    main()
