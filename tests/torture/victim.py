"""A club whose commands are killed: what was acknowledged to its coordinator, held against what is there."""

import json
import random
import re
import shutil
from dataclasses import dataclass, field
from datetime import date, timedelta
from pathlib import Path

from tests.torture.children import Ended, Moments, run
from tests.torture.commands import erase, halflong, hand_taps_over, look, tap

BASICS = {
    "players.csv": "player,name,handedness\nP1,Ada Lind,right\n",
    "setups.csv": "setup,x_cm,y_cm\nB,-20,0\n",
}
HEADER = "session_date,player,block,setup,spin,length,balls,good\n"
OPERATIONS = ("load", "withdraw", "build", "backup", "restore", "migrate", "hand_over", "erase")
ELSEWHERE = ("restore", "migrate", "erase")
"""Operations on a folder of their own, which is new each time."""


@dataclass
class Figures:
    """What happened in all."""

    killed: dict[str, int] = field(default_factory=lambda: dict.fromkeys(OPERATIONS, 0))
    ended_before: int = 0
    acknowledged: int = 0
    lost: int = 0
    half: int = 0
    double: int = 0
    unmended: list[str] = field(default_factory=list)

    @property
    def kills(self) -> int:
        """Operations killed."""
        return sum(self.killed.values())

    @property
    def are_sound(self) -> bool:
        """Nothing was lost, half or double, and everything was mended unasked."""
        return not (self.lost or self.half or self.double or self.unmended)


class Victim:
    """The club, its files, and what was acknowledged. `place` is an empty folder of its own."""

    def __init__(self, place: Path, old_backup: Path, seed: int) -> None:
        self.place, self.old_backup = place, old_backup
        self.data, self.backup, self.said = place / "club", place / "club.zip", place / "said.txt"
        self.chance = random.Random(seed)
        self.lines: dict[str, int] = {}
        self.tapped: list[int] = []
        self.withdrawn: set[str] = set()
        self.acknowledged: set[str] = set()
        self.figures = Figures()
        self.moments = Moments(self.chance, {})
        self._begin()

    def _begin(self) -> None:
        for name, text in BASICS.items():
            (self.place / name).write_text(text, encoding="utf-8")
        self._must(halflong, "load", *(str(self.place / name) for name in BASICS), "--data", str(self.data))
        for name in OPERATIONS:
            self.moments.whole[name] = self.give(name)

    def give(self, name: str) -> Ended:
        """One more operation of that name, which nobody kills."""
        command = self._command(name)
        ended = self._must(*command)
        self._acknowledge(name, command)
        return ended

    def _must(self, *command: object) -> Ended:
        ended = run(*command, said=self.said)  # type: ignore[arg-type]
        assert ended.code == 0, ended.said
        return ended

    def new_file(self) -> Path:
        """A session log whose lines are in no other file: each file has a day of its own."""
        number = len(self.lines) + 1
        day = f"20{10 + number // 336:02d}-{1 + number // 28 % 12:02d}-{1 + number % 28:02d}"
        lines = self.chance.randint(1, 40)
        file = self.place / f"l{number:05d}.csv"
        text = "".join(f"{day},P1,{block},B,backspin,short,1,1\n" for block in range(1, lines + 1))
        file.write_text(HEADER + text, encoding="utf-8")
        self.lines[file.name] = lines
        return file

    def _command(self, name: str) -> list[object]:
        """One more operation of that name."""
        data = ["--data", str(self.data)]
        if name in ELSEWHERE:
            return self._elsewhere(name)
        if name == "hand_over":
            return self._tapped()
        if name == "load":
            return [halflong, "load", str(self.new_file()), *data]
        if name == "withdraw":
            self.target = self.chance.choice(sorted(self.acknowledged - self.withdrawn))
            return [halflong, "withdraw", str(self.batch_of[self.target]), *data]
        if name == "backup":
            return [halflong, "backup", str(self.backup), "--replace", *data]
        return [halflong, "build", *data]

    def _elsewhere(self, name: str) -> list[object]:
        self.other = self.place / "other"
        shutil.rmtree(self.other, ignore_errors=True)
        if name == "restore":
            return [halflong, "restore", str(self.backup), "--data", str(self.other)]
        if name == "migrate":
            self.other.mkdir()
            shutil.unpack_archive(self.old_backup, self.other)
            return [halflong, "build", "--data", str(self.other)]
        shutil.copytree(self.data, self.other)
        return [erase, str(self.other), "P1"]

    def _tapped(self) -> list[object]:
        """A closed block of a day of its own is safe on this machine, and is to be handed over to the log."""
        self.tapped.append(self.chance.randint(1, 30))
        day = date(2009, 1, 1) - timedelta(days=len(self.tapped))
        self._must(tap, str(self.data), day.isoformat(), self.tapped[-1])
        return [hand_taps_over, str(self.data)]

    def kill_one(self, name: str) -> None:
        """Begin an operation, kill it at a random moment, and see what a later command finds."""
        command = self._command(name)
        ended = run(*command, said=self.said, **self.moments.draw(name))  # type: ignore[arg-type]
        if ended.code >= 0:
            assert ended.code == 0, ended.said
            self.figures.ended_before += 1
        else:
            self.figures.killed[name] += 1
            self._see_after_a_kill(name, command)
        self._acknowledge(name, command)

    def _see_after_a_kill(self, name: str, command: list[object]) -> None:
        """What is there then; after that, whoever saw no acknowledgement gives the command again."""
        if name in ELSEWHERE:
            self._see_elsewhere(name, command)
        elif name == "hand_over":
            self._must(*command)
        else:
            self.see()
        if name in ("load", "backup", "erase") or (name == "withdraw" and self.target not in self.withdrawn):
            self._must(*command)

    def _acknowledge(self, name: str, command: list[object]) -> None:
        """The command has ended well: from now on, nothing of it may be missing."""
        if name == "load":
            self.acknowledged.add(Path(str(command[2])).name)
            self.figures.acknowledged += 1
        if name == "hand_over":
            self.figures.acknowledged += 1
        if name == "withdraw":
            self.withdrawn.add(self.target)
        if name == "erase" and any(
            b"Ada Lind" in file.read_bytes() for file in self.other.rglob("*") if file.is_file()
        ):
            self.figures.unmended.append("erase: the name still stands in a file")
        if name not in ELSEWHERE:
            self.see()

    def _look(self, data: Path) -> dict[str, list[list[object]]] | None:
        answer = self.place / "answer.json"
        answer.unlink(missing_ok=True)
        ended = run(look, str(data), str(answer), said=self.said)
        if not answer.exists():
            self.figures.unmended.append(ended.said.strip()[-600:])
            return None
        found: dict[str, list[list[object]]] = json.loads(answer.read_text(encoding="utf-8"))
        for fault in ("left", "owed", "findings"):
            if found[fault]:
                self.figures.unmended.append(f"{fault}: {found[fault]}; {ended.said.strip()[-300:]}")
        return found

    def see(self) -> None:
        """Count what is lost, half or double in the club."""
        found = self._look(self.data)
        if found is None:
            return
        self.batch_of = {str(name): int(str(batch)) for batch, name, *_ in found["stored"] if str(name) in self.lines}
        in_force = [str(name) for _, name, _, is_withdrawn, _ in found["stored"] if not is_withdrawn]
        logs = [name for name in in_force if name in self.lines]
        # A withdrawal that was killed may be done or not: both are whole.
        self.withdrawn |= self.acknowledged & {
            str(name) for _, name, _, is_withdrawn, _ in found["stored"] if is_withdrawn
        }
        self.figures.lost += len(self.acknowledged - self.withdrawn - set(logs))
        self.figures.double += len(logs) - len(set(logs))
        self.figures.half += sum(
            stored != accepted or stored != self.lines.get(str(name), stored)
            for _, name, accepted, _, stored in found["stored"]
        )
        balls = sum(self.lines[name] for name in set(logs)) + sum(self.tapped)
        if found["balls"] != balls or [[b, w] for b, _, _, w, _ in found["stored"]] != found["published"]:
            self.figures.unmended.append(f"published {found['balls']} balls, expected {balls}")

    def _see_elsewhere(self, name: str, command: list[object]) -> None:
        """A restore that was cut off is refused by every command until it is done again; the rest is simply mended."""
        if name == "restore":
            ended = run(halflong, "query", "select 1", "--data", str(self.other), said=self.said)
            if ended.code == 1 and re.search("was cut off here|nothing is published here yet", ended.said):
                self._must(*command)
        found = self._look(self.other)
        if found is not None and any(stored != accepted for _, _, accepted, _, stored in found["stored"]):
            self.figures.half += 1
