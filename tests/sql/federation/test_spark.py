"""The same tables by a real Spark: a master and two worker processes, one of which is killed in mid-build."""

import os
import signal
import time
from collections.abc import Iterator
from pathlib import Path
from threading import Thread

import pytest

from sql.catalogue import models_in_order
from sql.federation.building import build_federation
from sql.federation.publication import build_in_force
from tests.sql.federation.copied_clubs import copies
from tests.sql.federation.spark_cluster import Cluster, a_cluster, spark_home, tasks_by_executor

pytestmark = [pytest.mark.proof, pytest.mark.usefixtures("whole")]

CLUBS = 20


@pytest.fixture
def cluster(tmp_path: Path) -> Iterator[Cluster]:
    """Two workers. Without Spark or Java these tests are skipped, unless they are required."""
    home = spark_home()
    if home is None:
        missing = "Spark is not installed: uv run --group spark, and Java 17"
        (pytest.fail if os.environ.get("HALFLONG_SPARK") == "required" else pytest.skip)(missing)
    with a_cluster(home, tmp_path / "cluster") as begun:
        yield begun


def test_two_workers_say_of_twenty_clubs_what_duckdb_says(cluster: Cluster, lake: Path, tmp_path: Path) -> None:
    """Although one of them is killed when half of the tables are made, and another takes its place."""
    many, out = copies(lake, tmp_path / "lake", CLUBS), tmp_path / "out"
    killer = Thread(target=_replace_a_worker_at_half, args=(cluster, out / "draft-000001"), daemon=True)
    killer.start()

    built = build_federation(cluster.master, many, out, check=CLUBS)

    assert len(built.clubs) == CLUBS
    assert build_in_force(out) == out / "build-000001"
    killer.join()
    assert cluster.workers[0].returncode == -signal.SIGKILL
    tasks = tasks_by_executor(cluster.place / "events")
    assert set(tasks) == {"0", "1", "2"}, tasks
    assert min(tasks.values()) > 10, tasks


def _replace_a_worker_at_half(cluster: Cluster, draft: Path) -> None:
    while len(list(draft.glob("*.*"))) < len(models_in_order()) // 2:
        time.sleep(0.1)
    cluster.kill_worker(0)
    cluster.start_worker()
