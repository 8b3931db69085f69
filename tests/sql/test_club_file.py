"""The club file: made and brought up to date in whole steps, readable by nobody else, and empty of what was deleted."""

import stat
from datetime import UTC, datetime
from pathlib import Path

import pytest

from sql.club import declared
from sql.club import file as door
from sql.club.declaring import ClubTable, Erasure, Holds
from sql.club.file import ClubConnection, all_or_nothing, at, club_file
from sql.folder import DataFolder, FolderProblem


@pytest.fixture
def folder(tmp_path: Path) -> DataFolder:
    return DataFolder(tmp_path / "club")


def as_it_is(name: str, *columns: str) -> ClubTable:
    return ClubTable(name, name, dict.fromkeys(columns, Holds.NOBODY), Erasure.NOTHING, not_taken_away="made up")


def migrations_of(monkeypatch: pytest.MonkeyPatch, place: Path, *texts: str) -> None:
    place.mkdir(exist_ok=True)
    for number, text in enumerate(texts, start=1):
        (place / f"{number:04d}_step.sql").write_text(text, encoding="utf-8")
    monkeypatch.setattr(door, "MIGRATIONS", place)
    monkeypatch.setattr(declared, "TABLES", (as_it_is("t", "x"), as_it_is("u", "y"))[: len(texts)])


def test_each_step_is_taken_once_however_often_the_file_is_opened(
    folder: DataFolder, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    migrations_of(monkeypatch, tmp_path / "steps", "create table t (x text) strict; insert into t values ('a;b');")
    for _ in range(3):
        with club_file(folder) as connection:
            assert [tuple(row) for row in connection.execute("select x from t")] == [("a;b",)]


def test_a_step_that_fails_in_its_middle_leaves_nothing_of_itself(
    folder: DataFolder, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    steps = tmp_path / "steps"
    migrations_of(monkeypatch, steps, "create table t (x text);", "create table u (x text);\nno such statement;")
    with pytest.raises(FolderProblem, match="no"), club_file(folder):
        pass

    migrations_of(monkeypatch, steps, "create table t (x text);", "create table u (y text);")
    with club_file(folder) as connection:
        assert connection.execute("select y from u").fetchall() == []


def test_a_file_of_a_newer_version_is_not_touched(
    folder: DataFolder, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    migrations_of(monkeypatch, tmp_path / "steps", "create table t (x text);")
    with club_file(folder) as connection:
        connection.execute("pragma user_version = 7")

    with pytest.raises(FolderProblem, match="newer version"), club_file(folder):
        pass


def test_all_or_nothing_is_nothing_where_its_work_breaks_off(folder: DataFolder) -> None:
    def work(connection: ClubConnection) -> None:
        with all_or_nothing(connection):
            connection.execute("insert into failures values ('x', 1)")
            raise ZeroDivisionError

    with club_file(folder) as connection:
        with pytest.raises(ZeroDivisionError):
            work(connection)
        assert connection.execute("select count(*) from failures").fetchone()[0] == 0


def test_nobody_else_on_the_machine_may_read_the_file(folder: DataFolder) -> None:
    with club_file(folder) as connection:
        connection.execute("insert into failures values ('x', 1)")
        modes = {file.name: stat.S_IMODE(file.stat().st_mode) for file in folder.path.glob("club.sqlite*")}

    assert modes["club.sqlite"] == 0o600
    assert set(modes.values()) == {0o600}


def test_what_was_deleted_is_not_in_the_file_any_more(folder: DataFolder) -> None:
    with club_file(folder) as connection:
        connection.execute("insert into failures values ('somebody-who-left', 1)")
    assert b"somebody-who-left" in folder.club_file.read_bytes()

    with club_file(folder) as connection:
        connection.execute("delete from failures")
    assert b"somebody-who-left" not in folder.club_file.read_bytes()


def test_a_file_that_is_no_database_is_told_in_a_sentence(folder: DataFolder) -> None:
    folder.path.mkdir()
    folder.club_file.write_bytes(b"this is not a database" * 100)

    with pytest.raises(FolderProblem, match=r"club\.sqlite: .*damaged"), club_file(folder):
        pass


def test_no_two_migrations_have_the_same_number() -> None:
    """The second of two would never be applied: both were right by themselves when they were written."""
    numbers = [int(script.name[:4]) for script in sorted(door.MIGRATIONS.glob("*.sql"))]

    assert numbers == list(range(1, len(numbers) + 1))


def test_now_is_in_utc_and_sorts_as_text() -> None:
    early, late = at(datetime(2026, 3, 1, tzinfo=UTC)), at(datetime(2026, 11, 25, 9, tzinfo=UTC))

    assert early < late
    assert late == "2026-11-25T09:00:00.000000+00:00"
