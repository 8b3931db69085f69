"""What is published depends on the lines of the log and not on where they lie in its file, to the last bit.

So two threads publish what one does, and weeks that were carried over what would be made anew.
"""

from collections.abc import Iterator
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings

from ingest.loading import Incoming, load
from sql.build import build
from sql.catalogue import models_in_order
from sql.folder import DataFolder
from sql.judging import judgements_in_order
from sql.making_tables import make_judgements
from sql.same_tables import different_tables
from sql.warehouse import held
from tests.benchmarks.made_logs import TODAY, write_balls, write_basics
from tests.sql.clubs import Club, a_club
from tests.sql.random_clubs import RandomClubs, some_clubs
from tests.sql.test_oracle import load as load_batches

OF_THE_BUILD = ("core.this_build", "report.build")
LOGS = ("sessions", "balls", "players", "setups", "targets")


def shuffle(club: Club) -> None:
    for log in LOGS:
        club.connection.execute(f"create table shuffled as select * from log.{log} order by md5(concat(batch, line))")
        club.connection.execute(f"truncate log.{log}")
        club.connection.execute(f"insert into log.{log} select * from shuffled order by all desc; drop table shuffled")


def tables(club: Club) -> Iterator[tuple[str, str]]:
    for contract in (*models_in_order(), *judgements_in_order()):
        if contract.table in OF_THE_BUILD:
            continue
        yield contract.table, repr(club.connection.sql(f"select * from {contract.table} order by all").fetchall())


@pytest.mark.proof
@settings(max_examples=2, suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large])
@given(some_clubs())
def test_lines_that_lie_in_another_order_publish_the_same_to_the_last_bit(clubs: RandomClubs) -> None:
    published = []
    for is_shuffled in (False, True):
        with a_club(**clubs[0][0].model_dump()) as club:
            load_batches(club, clubs[0][1])
            if is_shuffled:
                shuffle(club)
            club.build()
            make_judgements(club.connection, judgements_in_order())
            published.append(dict(tables(club)))

    assert published[0] == published[1]


@pytest.mark.proof
def test_two_threads_publish_what_one_does_to_the_last_bit(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    folder = DataFolder(tmp_path / "club")
    files = [*write_basics(tmp_path), *write_balls(tmp_path, 0, 300_000)]
    load(folder, map(Incoming.from_path, files), "tester", today=TODAY)
    monkeypatch.setattr("sql.build.THREADS", 2)
    with held(folder):
        of_two = build(folder).file

    assert different_tables(folder.published / "000001.duckdb", of_two) == ()
