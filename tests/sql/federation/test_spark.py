"""The same tables by a real Spark: a master and two worker processes, one of which is killed in mid-build."""

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
from pathlib import Path
from threading import Thread

import polars as pl
import pytest

from sql.catalogue import models_in_order
from sql.federation.building import build_federation
from sql.federation.publication import build_in_force
from sql.lake.exporting import log_version
from sql.lake.manifest import ClubManifest, LakeFile, bucket_of, clubs_in, manifest_file

pytestmark = [pytest.mark.proof, pytest.mark.usefixtures("whole")]

CLUBS = 20
IS_REQUIRED = os.environ.get("HALFLONG_SPARK") == "required"


@pytest.fixture(scope="module")
def spark_home() -> Path:
    """Where Spark is installed. Without it or Java these tests are skipped, unless they are required."""
    try:
        import pyspark
    except ImportError:
        pyspark = None  # type: ignore[assignment]
    home = Path(pyspark.__file__).parent if pyspark else None
    if home is None or not (home / "bin" / "spark-class").exists() or not shutil.which("java"):
        if IS_REQUIRED:
            pytest.fail("Spark is required here, and the group 'spark' or Java 17 is not installed.")
        pytest.skip("Spark is not installed: uv sync --group spark, and Java 17")
    return home


def copies(lake: Path, into: Path, count: int) -> Path:
    """A lake of many clubs, each a copy of one of a smaller lake under a name of its own."""
    originals = clubs_in(lake, log_version())
    for number in range(count):
        original = originals[number % len(originals)]
        _copy(lake, into, original, f"club{number:03d}")
    return into


def _copy(lake: Path, into: Path, original: ClubManifest, club_id: str) -> None:
    files = []
    for file in original.files:
        rows = pl.read_parquet(lake / file.path).with_columns(club_id=pl.lit(club_id))
        bucket, own_bucket = bucket_of(original.club_id), bucket_of(club_id)
        path = file.path.replace(bucket, own_bucket).replace(f"/{original.club_id}.", f"/{club_id}.")
        (into / path).parent.mkdir(parents=True, exist_ok=True)
        rows.write_parquet(into / path)
        size = (into / path).stat().st_size
        files.append(LakeFile(table=file.table, path=path, rows=file.rows, size_bytes=size, sha256=file.sha256))
    settings = original.settings.model_copy(update={"club_id": club_id})
    manifest = original.model_copy(update={"club_id": club_id, "settings": settings, "files": tuple(files)})
    manifest_file(into, club_id).parent.mkdir(parents=True, exist_ok=True)
    manifest_file(into, club_id).write_text(manifest.model_dump_json(), encoding="utf-8")


@contextmanager
def a_cluster(home: Path, place: Path) -> Iterator[tuple[str, list["subprocess.Popen[bytes]"]]]:
    """A master and two workers on loopback, and the address of the master; what they ran is told below `place`."""
    for name in ("conf", "events", "work"):
        (place / name).mkdir(parents=True)
    defaults = f"spark.eventLog.enabled true\nspark.eventLog.dir {place / 'events'}\nspark.executor.memory 900m\n"
    (place / "conf" / "spark-defaults.conf").write_text(defaults, encoding="utf-8")
    port = _free_port()
    own = {"SPARK_HOME": str(home), "SPARK_LOCAL_IP": "127.0.0.1", "SPARK_CONF_DIR": str(place / "conf")}
    environment = os.environ | own | {"PYSPARK_PYTHON": sys.executable, "PYTHONPATH": str(Path.cwd())}
    master = f"spark://127.0.0.1:{port}"
    deploy = [str(home / "bin" / "spark-class"), "org.apache.spark.deploy"]
    asked = [[f"{deploy[1]}.master.Master", "--host", "127.0.0.1", "--port", str(port), "--webui-port", "0"]]
    worker = ["--host", "127.0.0.1", "--cores", "1", "--memory", "1g", "--webui-port", "0", "--work-dir"]
    asked += [[f"{deploy[1]}.worker.Worker", *worker, str(place / "work"), master] for _ in range(2)]
    with pytest.MonkeyPatch.context() as patch, (place / "log").open("wb") as log:
        for name, value in (own | {"PYSPARK_PYTHON": sys.executable}).items():
            patch.setenv(name, value)
        processes = [
            subprocess.Popen([deploy[0], *words], env=environment, stdout=log, stderr=log, start_new_session=True)
            for words in asked
        ]
        try:
            _wait_for(place / "log", "Registering worker", times=2)
            yield master, processes[1:]
        finally:
            for process in processes:
                _kill(process)


def _free_port() -> int:
    with socket.socket() as listening:
        listening.bind(("127.0.0.1", 0))
        return int(listening.getsockname()[1])


def _wait_for(log: Path, words: str, times: int) -> None:
    for _ in range(600):
        if log.read_text(encoding="utf-8", errors="replace").count(words) >= times:
            return
        time.sleep(0.2)
    pytest.fail(f"the cluster did not start: {log.read_text(encoding='utf-8', errors='replace')[-2000:]}")


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


def test_two_workers_say_of_twenty_clubs_what_duckdb_says(spark_home: Path, lake: Path, tmp_path: Path) -> None:
    """And so they do where one of them is killed while the tables are made."""
    many, out = copies(lake, tmp_path / "lake", CLUBS), tmp_path / "out"
    with a_cluster(spark_home, tmp_path / "cluster") as (master, workers):
        whole = build_federation(master, many, out, check=CLUBS)
        assert len(whole.clubs) == CLUBS
        tasks = tasks_by_executor(tmp_path / "cluster" / "events")
        assert {"0", "1"} <= set(tasks), tasks
        assert min(tasks["0"], tasks["1"]) > 10

        killer = Thread(target=_kill_when_half_is_made, args=(out / "draft-000002", workers[0]))
        killer.start()
        build_federation(master, many, out, check=CLUBS)
        killer.join()
        assert workers[0].returncode == -signal.SIGKILL
    assert build_in_force(out) == out / "build-000002"


def _kill_when_half_is_made(draft: Path, worker: "subprocess.Popen[bytes]") -> None:
    while len(list(draft.glob("*.*"))) < len(models_in_order()) // 2:
        time.sleep(0.1)
    _kill(worker)
