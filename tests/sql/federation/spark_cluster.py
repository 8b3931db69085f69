"""A Spark of one master and two workers on loopback, begun and ended here; it needs the group `spark`, and Java 17."""

import json
import os
import shutil
import signal
import socket
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass, field
from importlib.util import find_spec
from pathlib import Path

ROOT = Path(__file__).parents[3]

DEFAULTS = """\
spark.eventLog.enabled true
spark.eventLog.dir {place}/events
spark.eventLog.compress false
spark.executor.memory {executor_mb}m
"""

FOR_LITTLE_CLUBS = """\
spark.executor.extraJavaOptions -XX:TieredStopAtLevel=1
spark.driver.extraJavaOptions -XX:TieredStopAtLevel=1
"""
"""Java's own compiler at its quick stage only: little clubs do not repay more."""

EXECUTOR_MB = 900


def spark_home() -> Path | None:
    """Where Spark is installed; None where it is not, or Java is not."""
    found = find_spec("pyspark")
    home = Path(found.origin).parent if found and found.origin else None
    is_there = home and (home / "bin" / "spark-class").exists() and shutil.which("java")
    return home if is_there else None


@dataclass
class Cluster:
    """A master and its workers on loopback; what their executors ran is told in `place`."""

    home: Path
    place: Path
    port: int
    executor_mb: int
    workers: list["subprocess.Popen[bytes]"] = field(default_factory=list)
    _master: "subprocess.Popen[bytes] | None" = None

    @property
    def master(self) -> str:
        """The address by which engines are named."""
        return f"spark://127.0.0.1:{self.port}"

    def start(self) -> None:
        """The master and two workers, registered."""
        self._master = self._started("master.Master", "--port", str(self.port))
        for _ in range(2):
            self.start_worker()
        _wait_for(self.place / "log", "Registering worker", times=2)

    def start_worker(self) -> None:
        """One more, with a core of its own."""
        words = (
            "--cores",
            "1",
            "--memory",
            f"{self.executor_mb}m",
            "--work-dir",
            str(self.place / "work"),
            self.master,
        )
        self.workers.append(self._started("worker.Worker", *words))

    def kill_worker(self, number: int) -> None:
        """With its executor, at once."""
        _kill(self.workers[number])

    def stop(self) -> None:
        """All that was started, and the executors."""
        for process in (*self.workers, self._master):
            if process:
                _kill(process)

    def _started(self, name: str, *words: str) -> "subprocess.Popen[bytes]":
        command = [str(self.home / "bin" / "spark-class"), f"org.apache.spark.deploy.{name}"]
        with (self.place / "log").open("ab") as log:
            return subprocess.Popen(
                [*command, "--host", "127.0.0.1", "--webui-port", "0", *words],
                stdout=log,
                stderr=log,
                start_new_session=True,
            )


@contextmanager
def a_cluster(
    home: Path, place: Path, *, executor_mb: int = EXECUTOR_MB, more: str = FOR_LITTLE_CLUBS
) -> Iterator[Cluster]:
    """Two workers that have begun; where Spark is, and what it runs, is in the environment meanwhile.

    `more` are lines of Spark's own defaults.
    """
    for name in ("conf", "events", "work"):
        (place / name).mkdir(parents=True)
    defaults = DEFAULTS.format(place=place, executor_mb=executor_mb) + more
    (place / "conf" / "spark-defaults.conf").write_text(defaults, encoding="utf-8")
    own = {"SPARK_HOME": home, "SPARK_LOCAL_IP": "127.0.0.1", "SPARK_CONF_DIR": place / "conf"}
    own |= {"PYSPARK_PYTHON": sys.executable, "PYTHONPATH": ROOT, "SPARK_DAEMON_JAVA_OPTS": "-XX:TieredStopAtLevel=1"}
    before = dict(os.environ)
    os.environ.update({name: str(value) for name, value in own.items()})
    begun = Cluster(home, place, _free_port(), executor_mb)
    try:
        begun.start()
        yield begun
    finally:
        begun.stop()
        os.environ.clear()
        os.environ.update(before)


def _free_port() -> int:
    with socket.socket() as listening:
        listening.bind(("127.0.0.1", 0))
        return int(listening.getsockname()[1])


def _wait_for(log: Path, words: str, times: int) -> None:
    for _ in range(600):
        if log.read_text(encoding="utf-8", errors="replace").count(words) >= times:
            return
        time.sleep(0.2)
    raise TimeoutError(f"the cluster did not start: {log.read_text(encoding='utf-8', errors='replace')[-2000:]}")


def _kill(process: "subprocess.Popen[bytes]") -> None:
    """With the executors that it started."""
    with suppress(ProcessLookupError):
        os.killpg(process.pid, signal.SIGKILL)
    process.wait()


def tasks_by_executor(events: Path) -> dict[str, int]:
    """How many tasks each executor ended, by what Spark itself noted."""
    counts: dict[str, int] = {}
    for file in events.rglob("*"):
        for line in file.read_text(encoding="utf-8").splitlines() if file.is_file() else ():
            event = json.loads(line) if line.startswith("{") else {}
            if event.get("Event") == "SparkListenerTaskEnd" and event["Task End Reason"]["Reason"] == "Success":
                executor = event["Task Info"]["Executor ID"]
                counts[executor] = counts.get(executor, 0) + 1
    return counts
