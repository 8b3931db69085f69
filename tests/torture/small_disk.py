"""A club on a disk of its own that is full, or may not be written, at one moment after another.

Runs where a file system in memory may be mounted, in a mount space of its own:
`unshare --map-root-user --mount python -m tests.torture.small_disk FOLDER`.
"""

import json
import os
import shutil
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from itertools import product
from pathlib import Path

from tests.torture.children import Ended, run
from tests.torture.commands import halflong, halflong_without_foresight, look
from tests.torture.victim import BASICS

ROOT = Path(__file__).parents[2]

HEADER = "session_date,session,player,block,setup,spin,length,balls,good,note\n"
SESSIONS, BLOCKS = 10, 200
CANNOT_MOUNT = 77
DISK_MB = 48
FREE_KB_IN_FULL = (0, 8, 64, 256, 400, 520, 800, 1100, 1600, 2200, 3000, 4200)
FREE_KB = (64, 1600)
"""Room left on the disk for one load and its build, from nothing to nearly enough."""

Tries = tuple[tuple[bool, int], ...]
"""Loads on a nearly full disk: whether it is looked for room first, and how much there is in kB."""


class SmallDisk:
    """The disk, and the club on it."""

    def __init__(self, place: Path) -> None:
        self.disk, self.beside = place / "disk", place / "beside"
        for folder in (self.disk, self.beside):
            folder.mkdir()
        mount = ["mount", "-t", "tmpfs", "-o", f"size={DISK_MB}m", "tmpfs", str(self.disk)]
        if subprocess.run(mount, check=False, capture_output=True).returncode:
            raise SystemExit(CANNOT_MOUNT)
        self.club, self.backup = self.disk / "club", self.beside / "club.zip"
        for name, text in BASICS.items():
            (self.beside / name).write_text(text, encoding="utf-8")
        self.club.mkdir()
        (self.club / "club.toml").write_text("spare_room_mb = 0\n", encoding="utf-8")
        self.must("load", *(str(self.beside / name) for name in BASICS), "--data", str(self.club))

    def command(self, *arguments: str, foresees: bool = True) -> Ended:
        """A command of halflong; without foresight it does not look for room before a build."""
        target = halflong if foresees else halflong_without_foresight
        return run(target, *arguments, said=self.beside / "said.txt")

    def must(self, *arguments: str) -> None:
        """A command that has to go well."""
        ended = self.command(*arguments)
        assert ended.code == 0, ended.said

    def log(self, number: int) -> str:
        """A log of many lines with a ball each, on a day of its own."""
        file = self.beside / f"l{number}.csv"
        day = f"2026-{1 + number // 28:02d}-{1 + number % 28:02d}"
        places = ((session, block) for session in range(1, SESSIONS + 1) for block in range(1, BLOCKS + 1))
        lines = (f"{day},{session},P1,{block},B,backspin,short,1,1,{'x' * 40}\n" for session, block in places)
        file.write_text(HEADER + "".join(lines), encoding="utf-8")
        return str(file)

    @contextmanager
    def nearly_full(self, free_kb: int) -> Iterator[None]:
        """Something else fills the disk but for so much."""
        ballast = self.disk / "ballast"
        room = shutil.disk_usage(self.disk).free - free_kb * 1024
        with ballast.open("wb") as stream:
            os.posix_fallocate(stream.fileno(), 0, max(room, 1))
        try:
            yield
        finally:
            ballast.unlink()

    @contextmanager
    def read_only(self) -> Iterator[None]:
        """Nothing on the disk may be written."""
        subprocess.run(["mount", "-o", "remount,ro", str(self.disk)], check=True)
        try:
            yield
        finally:
            subprocess.run(["mount", "-o", "remount,rw", str(self.disk)], check=True)

    def look(self) -> dict[str, object]:
        """What the next command finds when there is room again."""
        answer = self.beside / "answer.json"
        answer.unlink(missing_ok=True)
        ended = run(look, str(self.club), str(answer), said=self.beside / "said.txt")
        assert answer.exists(), ended.said
        found: dict[str, object] = json.loads(answer.read_text(encoding="utf-8"))
        assert (found["left"], found["owed"], found["findings"]) == ([], False, []), found
        return found


def fill_up(disk: SmallDisk, tries: Tries) -> dict[str, int]:
    """Load while the disk has so little room; then with room again. The outcomes, counted."""
    counts = {"failed": 0, "went well": 0, "stored though it failed": 0}
    for number, (foresees, free_kb) in enumerate(tries, start=1):
        arguments = ["load", disk.log(number), "--data", str(disk.club)]
        with disk.nearly_full(free_kb):
            ended = disk.command(*arguments, foresees=foresees)
            require_plain(ended)
        counts["failed" if ended.code else "went well"] += 1
        stored = {name for _, name, *_ in disk.look()["stored"]}  # type: ignore[attr-defined]
        assert ended.code or f"l{number}.csv" in stored, f"an acknowledged batch is lost: l{number}.csv"
        counts["stored though it failed"] += bool(ended.code) and f"l{number}.csv" in stored
        disk.must(*arguments)
    assert disk.look()["balls"] == SESSIONS * BLOCKS * len(tries)
    return counts


def require_plain(ended: Ended) -> None:
    """A command that failed did so with a sentence that says what to do, and nothing else."""
    assert ended.code in (0, 1), ended
    assert "Traceback" not in ended.said, ended.said
    assert not ended.code or "Make room" in ended.said or "Make the folder writable" in ended.said, ended.said


def keep_and_give_back(disk: SmallDisk) -> None:
    """A backup onto a full disk leaves no file, a restore onto one leaves the folder empty."""
    disk.must("backup", str(disk.backup), "--data", str(disk.club))
    target = disk.disk / "other"
    for free_kb in (4, 6000):
        with disk.nearly_full(free_kb):
            for arguments in (
                ["backup", str(disk.disk / "full.zip"), "--data", str(disk.club)],
                ["restore", str(disk.backup), "--data", str(target)],
            ):
                ended = disk.command(*arguments, foresees=False)
                require_plain(ended)
                if ended.code == 0 and arguments[0] == "backup":
                    (disk.disk / "full.zip").unlink()
                left = [path.name for path in target.rglob("*")] if target.exists() else []
                assert set(left) <= {"warehouse.lock"}, left
    names = {path.name for path in disk.disk.iterdir()}
    assert names <= {"club", "other"}, names
    disk.must("restore", str(disk.backup), "--data", str(target))


def forbid_writing(disk: SmallDisk) -> None:
    """Reading goes on, writing is refused in a sentence; afterwards all is as before, and writing goes on too."""
    before = disk.look()
    with disk.read_only():
        ended = disk.command("query", "select count(*) from core.batches", "--data", str(disk.club))
        assert ended.code == 0, ended.said
        for arguments in (["load", disk.log(200)], ["withdraw", "3"], ["build"], ["verify"]):
            ended = disk.command(*arguments, "--data", str(disk.club))
            assert ended.code == 1, ended
            require_plain(ended)
    assert disk.look() == before
    disk.must("load", disk.log(200), "--data", str(disk.club))


def on_a_small_disk(place: Path, *options: str) -> dict[str, int] | None:
    """What became of loads on such a disk, in a mount space of its own; None where none may be mounted here."""
    script = [sys.executable, "-m", "tests.torture.small_disk", str(place), *options]
    if shutil.which("unshare") is None:
        return None
    done = subprocess.run(
        ["unshare", "--map-root-user", "--mount", *script], cwd=ROOT, capture_output=True, text=True, check=False
    )
    if done.returncode == CANNOT_MOUNT or (done.returncode and "unshare" in done.stderr.splitlines()[0]):
        return None
    assert done.returncode == 0, done.stdout + done.stderr
    counts: dict[str, int] = json.loads(done.stdout.splitlines()[-1])
    return counts


def main() -> None:
    disk = SmallDisk(Path(sys.argv[1]))
    rooms = FREE_KB_IN_FULL if "--full" in sys.argv else FREE_KB
    counts = fill_up(disk, tuple(product((True, False), rooms)))
    keep_and_give_back(disk)
    forbid_writing(disk)
    print(json.dumps(counts))


if __name__ == "__main__":
    main()
