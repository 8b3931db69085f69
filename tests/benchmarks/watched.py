"""What a command costs with all processes that work for it: those it starts, and those begun for it before."""

import os
import subprocess
import sys
import time
from dataclasses import dataclass, field
from pathlib import Path

MARK = "HALFLONG_MEASURED"
"""A variable that all these processes inherit."""

EVERY_S = 0.25
PAGE, TICKS = os.sysconf("SC_PAGE_SIZE"), os.sysconf("SC_CLK_TCK")


@dataclass
class Watched:
    """Seconds on the wall and of all processors; megabytes at the peak, of all processes together, as sampled."""

    wall_s: float = 0.0
    peak_mb: float = 0.0
    _before: dict[str, float] = field(default_factory=dict)
    _seen: dict[str, float] = field(default_factory=dict)

    @property
    def cpu_s(self) -> float:
        """What the processes took, less what those begun before had taken then."""
        return sum(spent - self._before.get(process, 0.0) for process, spent in self._seen.items())

    def look(self) -> None:
        """See what the processes have taken until now."""
        bytes_now = 0
        for process in Path("/proc").glob("[0-9]*"):
            try:
                if f"{MARK}=".encode() not in (process / "environ").read_bytes():
                    continue
                fields = (process / "stat").read_text(encoding="utf-8", errors="replace").rpartition(")")[2].split()
            except OSError:
                continue  # It has ended, or is somebody else's.
            self._seen[process.name] = (int(fields[11]) + int(fields[12])) / TICKS
            bytes_now += int(fields[21]) * PAGE
        self.peak_mb = max(self.peak_mb, bytes_now / 1e6)

    def begin(self) -> None:
        """What was taken until now is not counted."""
        self.look()
        self._before, self.peak_mb = dict(self._seen), 0.0


def watched(command: list[str]) -> Watched:
    """Run a command of this environment and watch it. Raises CalledProcessError."""
    cost = Watched()
    cost.begin()
    began = time.monotonic()
    program = str(Path(sys.executable).with_name(command[0]))
    with subprocess.Popen(
        [program, *command[1:]], env=os.environ | {MARK: "yes"}, stdout=subprocess.DEVNULL
    ) as running:
        while running.poll() is None:
            cost.look()
            time.sleep(EVERY_S)
    cost.wall_s = time.monotonic() - began
    if running.returncode:
        raise subprocess.CalledProcessError(running.returncode, command)
    return cost
