"""A publication appears whole or not at all, and whoever reads is never kept waiting; in any order the same answers."""

import shutil
import subprocess
import sys
from collections.abc import Callable, Iterable, Iterator
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from threading import Event
from time import sleep

import duckdb
import polars as pl
import pytest

from ingest.loading import Incoming, Report, load, withdraw
from sql import build as building
from sql.build import build
from sql.catalogue import Check, models_in_order
from sql.digests import forget_digest
from sql.folder import DataFolder, FolderProblem
from sql.making_tables import BuildFailed
from sql.published_file import read_only
from sql.warehouse import ask, held, warehouse
from tests.few_tables import few_tables
from tests.ingest.conftest import TODAY, csv_file
from tests.ingest.test_loading import BALLS, WEEK_1, WEEK_2
from tests.proofs import in_proof

Load = Callable[..., list[Report]]

WEEK = "session_date,player,setup,spin,length,balls,good\n2026-05-04,P1,BC,backspin,short,40,30\n"


def answers(folder: DataFolder) -> dict[str, str]:
    """Everything published that does not tell when, by whom or in which batch it was loaded."""
    tables = [m.table for m in models_in_order() if m.table not in ("core.batches", "core.refusals")]
    tables = [t for t in tables if t not in ("core.this_build", "report.build")]
    return read_whole(folder, tables, "order by all")


def read_whole(folder: DataFolder, tables: Iterable[str], order: str = "") -> dict[str, str]:
    publication = folder.publication_in_force()
    assert publication is not None
    with read_only(publication) as connection:
        return {table: repr(connection.execute(f"from {table} {order}").fetchall()) for table in tables}


@pytest.fixture
def _few_tables() -> Iterator[None]:
    with few_tables():
        yield


@pytest.mark.usefixtures("_few_tables")
def test_a_reader_is_answered_while_another_holds_the_warehouse(folder: DataFolder, load_files: Load) -> None:
    load_files(csv_file("week.csv", WEEK))

    with held(folder), warehouse(folder):
        assert ask(folder, "select sum(balls) from core.fed_lines").item() == 40


@pytest.mark.usefixtures("_few_tables")
def test_a_reader_keeps_its_publication_while_newer_ones_take_its_place(folder: DataFolder, load_files: Load) -> None:
    load_files(csv_file("week.csv", WEEK))
    old = folder.publication_in_force()
    assert old is not None

    with read_only(old) as connection:
        for batch in (4, 5):
            withdraw(folder, batch, "tester")
            load_files(csv_file("week.csv", WEEK))
        assert connection.execute("select sum(balls) from core.fed_lines").fetchall() == [(40,)]

    assert not old.exists()
    assert len(list(folder.published.glob("*.duckdb"))) == building.KEPT_PUBLICATIONS


@pytest.mark.usefixtures("_few_tables")
def test_readers_in_other_processes_never_see_half(folder: DataFolder, load_files: Load, tmp_path: Path) -> None:
    """Every answer is one of the two states of the log, however often they change places."""
    load_files(csv_file("week.csv", WEEK))
    script = (
        "import sys, time; from pathlib import Path; from sql.folder import DataFolder; from sql.warehouse import ask\n"
        "folder, told_to_stop = DataFolder(Path(sys.argv[1])), Path(sys.argv[2])\n"
        "question = 'select (select coalesce(sum(balls), 0) from core.fed_lines), (select balls from report.build)'\n"
        "answers = {ask(folder, question).row(0)}\n"
        "while not told_to_stop.exists(): answers.add(ask(folder, question).row(0)); time.sleep(0.01)\n"
        "print(*sorted(answers), sep='\\n')\n"
    )
    command = [sys.executable, "-c", script, str(folder.path), str(tmp_path / "told to stop")]
    readers = [subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.PIPE) for _ in range(2)]
    try:
        for batch in (4, 5):
            withdraw(folder, batch, "tester")
            load_files(csv_file("week.csv", WEEK))
    finally:
        (tmp_path / "told to stop").touch()

    for reader in readers:
        output, told = reader.communicate(timeout=120)
        assert reader.returncode == 0, told.decode()
        assert set(output.decode().splitlines()) <= {"(0, 0)", "(40, 40)"}


@pytest.mark.usefixtures("_few_tables")
def test_readers_side_by_side_in_one_process_are_answered_while_publications_change(
    folder: DataFolder, load_files: Load
) -> None:
    """As the pages of a served club are: each in a thread of its own."""
    load_files(csv_file("week.csv", WEEK))
    told_to_stop = Event()

    def read() -> set[int]:
        answers = set()
        while not told_to_stop.is_set():
            answers.add(int(ask(folder, "select coalesce(sum(balls), 0) from core.fed_lines").item()))
            sleep(0.01)
        return answers

    with ThreadPoolExecutor(2) as threads:
        readers = [threads.submit(read) for _ in range(2)]
        try:
            for batch in (4, 5):
                withdraw(folder, batch, "tester")
                load_files(csv_file("week.csv", WEEK))
        finally:
            told_to_stop.set()

    assert all(reader.result() <= {0, 40} for reader in readers)
    assert set.union(*(reader.result() for reader in readers)) == {0, 40}


@pytest.mark.usefixtures("_few_tables")
def test_another_file_under_the_name_of_the_one_asked_before_is_read_anew(
    folder: DataFolder, load_files: Load, tmp_path: Path
) -> None:
    """So a restored club answers at once, though a publication is kept open after it was asked."""
    load_files(csv_file("week.csv", WEEK))
    shutil.copytree(folder.path, tmp_path / "before")
    withdraw(folder, 4, "tester")
    assert ask(folder, "select count(*) from core.fed_lines").item() == 0

    in_force = folder.publication_in_force()
    assert in_force is not None
    before = DataFolder(tmp_path / "before").publication_in_force()
    assert before is not None
    before.replace(in_force)

    assert ask(folder, "select count(*) from core.fed_lines").item() == 1


@pytest.mark.usefixtures("_few_tables")
def test_a_check_that_stops_leaves_the_old_publication_in_force(
    folder: DataFolder, load_files: Load, monkeypatch: pytest.MonkeyPatch
) -> None:
    load_files(csv_file("week.csv", WEEK))
    before = folder.publication_in_force()
    *most, last = building.models_in_order()
    impossible = last.__class__(**(vars(last) | {"checks": (Check("stop", "1 = 2"),)}))
    monkeypatch.setattr(building, "models_in_order", lambda: (*most, impossible))

    with held(folder), pytest.raises(BuildFailed, match="expected 1 = 2"):
        build(folder)

    assert folder.publication_in_force() == before
    assert ask(folder, "select sum(balls) from core.fed_lines").item() == 40


W1, W2, SINGLE = csv_file("w1.csv", WEEK_1), csv_file("w2.csv", WEEK_2), csv_file("balls.csv", BALLS)


@pytest.mark.parametrize(
    "calls",
    [[[W2, SINGLE, W2], [W1, SINGLE], [W1, W2]], in_proof([[SINGLE], [W1], [W2]])],
    ids=["repeats", "one by one"],
)
def test_logs_in_any_order_or_call_and_with_repeats_give_the_same_answers(
    folder_with_basics: DataFolder, tmp_path: Path, calls: list[list[Incoming]]
) -> None:
    given = []
    for number, way in enumerate(([[W1, W2, SINGLE]], calls)):
        folder = DataFolder(tmp_path / f"club{number}")
        shutil.copytree(folder_with_basics.path, folder.path)
        with few_tables():
            for call in way:
                load(folder, call, "tester", today=TODAY)
        with held(folder):
            build(folder)
        given.append(answers(folder))
    assert all(answer == given[0] for answer in given)


def test_the_published_tables_carry_the_club_in_their_key(folder: DataFolder, load_files: Load) -> None:
    load_files(csv_file("w1.csv", WEEK_1))
    without = {"core.words", "core.this_build", "report.build"}

    for model in models_in_order():
        if model.table not in without:
            clubs: pl.Series = ask(folder, f"select distinct club_id from {model.table}")["club_id"]
            assert set(clubs) <= {"club"}, model.table


def test_two_builds_of_one_log_give_the_same_answers_to_the_last_bit(folder: DataFolder, load_files: Load) -> None:
    load_files(csv_file("week.csv", WEEK))
    tables = [model.table for model in models_in_order() if model.table not in ("core.this_build", "report.build")]

    first = read_whole(folder, tables)
    with held(folder):
        build(folder)

    assert read_whole(folder, tables) == first


@pytest.mark.usefixtures("_few_tables")
def test_a_publication_can_be_rebuilt_from_the_log_alone(folder: DataFolder, load_files: Load) -> None:
    load_files(csv_file("week.csv", WEEK))
    for file in folder.published.iterdir():
        file.unlink()

    with held(folder):
        build(folder)

    assert ask(folder, "select sum(balls) from core.fed_lines").item() == 40


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        ("window_days = 'four weeks'\n", "window_days: saw 'four weeks'"),
        ("window = 28\n", "window: saw 28"),
        ("window_days = = 28\n", "not a TOML file"),
    ],
)
def test_broken_settings_are_told_before_anything_happens(folder: DataFolder, text: str, sentence: str) -> None:
    folder.settings_file.write_text(text, encoding="utf-8")

    with held(folder), pytest.raises(FolderProblem, match=sentence):
        build(folder)


def test_a_changed_migration_is_not_overlooked(folder: DataFolder) -> None:
    with duckdb.connect(str(folder.warehouse_file)) as connection:
        connection.execute("update log.migrations set sha256 = 'another text'")
    forget_digest(folder.warehouse_file)  # Without it the changed file is refused before its migrations are read.

    with (
        held(folder),
        pytest.raises(FolderProblem, match="a migration was changed, which must never be"),
        warehouse(folder),
    ):
        pass
