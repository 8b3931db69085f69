"""The serving process asks nobody outside this machine for anything. What a browser asks for is held elsewhere."""

import shutil
import subprocess
import sys
import time
from collections.abc import Iterator
from pathlib import Path

import pytest

from dashboard.serving import free_port
from models.permits import Role
from sql.club.file import club_file
from sql.folder import DataFolder
from tests.at_table.blocks import PhoneBlock
from tests.door.served import ROOT, running, wait_until_answered
from tests.guard import is_of_this_machine
from tests.people import PEOPLE
from tests.tabs import CHOOSING, PAGES, visitor

ADDRESSES = ("/", "/table", "/table/start", "/table/offers?player=ADA", "/table/in-turn", "/account")


def outside(heard: Path) -> list[str]:
    """What was asked for beyond this machine, and what was started."""
    lines = heard.read_text(encoding="utf-8").splitlines()
    return [line for line in lines if not is_of_this_machine(line.partition("\t")[2])]


@pytest.fixture(scope="module")
def heard(loaded_club: DataFolder, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Path]:
    """What a serving process asked for while everybody looked at every page, and a block was counted at the table."""
    place = tmp_path_factory.mktemp("overheard")
    folder, heard, log, port = DataFolder(place / "club"), place / "heard", place / "log", free_port("127.0.0.1")
    shutil.copytree(loaded_club.path, folder.path)
    serve = ["serve", "--data", str(folder.path), "--no-open", "--port", str(port)]
    url = f"http://127.0.0.1:{port}"
    with running([sys.executable, "-m", "tests.door.overheard", str(heard), *serve], log) as server:
        wait_until_answered(f"{url}/_stcore/health", lambda: server.poll() is None, log)
        look_at_everything(folder, url)
        yield heard


def look_at_everything(folder: DataFolder, url: str) -> None:
    """Every page, by one to whom it is open; our own addresses; and a block that goes into the log."""
    seen: set[str] = set()
    for name, role, _, _ in PEOPLE:
        who = visitor(folder, url, name, role)
        for page in (one for one in PAGES[role] if one not in seen):
            drawn = who.draw(page, "player=ADA" if role in CHOOSING else "")
            assert drawn.title, page
            assert drawn.faults == [], page
        seen.update(PAGES[role])
    coach = visitor(folder, url, "M. Roe", Role.COACH)
    assert {coach.get(address).status_code for address in ADDRESSES} == {200}
    phone = PhoneBlock()
    events = [phone.begin(), phone.ball(), phone.done()]
    assert coach.post("/table/taps", {"account": coach.account, "events": events}).json()["held"] == []
    assert is_in_log(folder)


def is_in_log(folder: DataFolder, patience_s: float = 120) -> bool:
    """The block becomes part of the log, for which the server builds."""
    end = time.monotonic() + patience_s
    while time.monotonic() < end:
        with club_file(folder) as connection:
            if connection.execute("select 1 from table_blocks where state = 'in_log'").fetchone():
                return True
        time.sleep(0.1)
    return False


def test_nobody_beyond_this_machine_is_asked_for_anything_while_the_screens_are_served(heard: Path) -> None:
    assert outside(heard) == []


@pytest.mark.parametrize(
    "asks",
    [
        # An address for examples (RFC 5737). Over UDP, to connect sends nothing.
        "socket.socket(socket.AF_INET, socket.SOCK_DGRAM).connect(('192.0.2.1', 9))",
        "socket.socket(socket.AF_INET6, socket.SOCK_DGRAM).connect(('2001:db8::1', 9))",
        "socket.getaddrinfo('192.0.2.1', 443, flags=socket.AI_NUMERICHOST)",
        "subprocess.run([sys.executable, '-c', ''])",
    ],
    ids=["IPv4", "IPv6", "a name", "another process"],
)
def test_whoever_asked_would_be_heard_in_a_thread_too(tmp_path: Path, asks: str) -> None:
    script = (
        "import contextlib, socket, subprocess, sys, threading; from pathlib import Path\n"
        "from tests.door.overheard import listen\n"
        "def ask():\n"
        f"    with contextlib.suppress(OSError): {asks}\n"
        "listen(Path(sys.argv[1])); thread = threading.Thread(target=ask); thread.start(); thread.join()"
    )

    subprocess.run([sys.executable, "-c", script, tmp_path / "heard"], cwd=ROOT, check=True)

    assert len(outside(tmp_path / "heard")) >= 1


def test_what_stays_on_this_machine_is_not_taken_for_more() -> None:
    assert [is_of_this_machine(host) for host in ("127.0.0.1", "127.8.0.1", "::1", "localhost", "None")] == [True] * 5
    assert [is_of_this_machine(host) for host in ("192.0.2.1", "10.0.0.1", "0.0.0.1", "club.example")] == [False] * 4
