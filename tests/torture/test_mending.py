"""What the next command mends without being asked, and what it says."""

import shutil
from collections.abc import Callable
from pathlib import Path

import pytest

from sql.folder import DataFolder, FolderProblem
from sql.mending import put_in_order
from sql.warehouse import ask, held, locked
from tests.sql.old_backups import tiny_club

BALLS = "select cast(sum(balls) as bigint) from core.fed_lines"


@pytest.fixture(scope="module")
def whole_club(tmp_path_factory: pytest.TempPathFactory) -> DataFolder:
    """The tiny club. Only to be copied."""
    folder = DataFolder(tmp_path_factory.mktemp("whole") / "club")
    tiny_club.fill(folder)
    return folder


@pytest.fixture
def club(whole_club: DataFolder, tmp_path: Path) -> DataFolder:
    return DataFolder(Path(shutil.copytree(whole_club.path, tmp_path / "club")))


def lose_current(folder: DataFolder) -> None:
    (folder.published / "CURRENT").unlink()


def name_a_missing_file(folder: DataFolder) -> None:
    (folder.published / "CURRENT").write_text("000099.duckdb\n", encoding="ascii")


def empty_current(folder: DataFolder) -> None:
    (folder.published / "CURRENT").write_bytes(b"\xff\x00")


def die_before_publishing(folder: DataFolder) -> None:
    """The batch withdrawn last is in force again in the publication, and a holder's note stands without a holder."""
    before, _ = sorted(folder.published.glob("*.duckdb"))
    folder.put_in_force(before)
    folder.holder_file.write_text("process 4711, since 2026-03-20 20:15:00\n", encoding="utf-8")
    for name in ("draft.duckdb", "draft.duckdb.wal", ".CURRENT.4711", "000077.sha256"):
        (folder.published / name).write_bytes(b"half")
    (folder.path / ".warehouse.sha256.4711").write_bytes(b"half")


@pytest.mark.parametrize("hurt", [lose_current, name_a_missing_file, empty_current, die_before_publishing])
def test_a_lost_or_late_publication_is_made_again_and_said(
    club: DataFolder, hurt: Callable[[DataFolder], None]
) -> None:
    hurt(club)
    told: list[str] = []

    put_in_order(club, told.append)

    assert "are made again as publication" in told[-1]
    assert ask(club, BALLS).item() == tiny_club.BALLS_IN_FORCE
    assert {path.suffix for path in club.published.iterdir()} == {".duckdb", ".sha256", ""}
    assert sorted(path.name for path in club.path.iterdir()) == [
        *("published", "warehouse.duckdb", "warehouse.lock", "warehouse.sha256"),
    ]
    told.clear()
    put_in_order(club, told.append)
    assert told == []


def test_publications_from_before_an_erasure_go_though_the_erasing_process_died(club: DataFolder) -> None:
    """It had published anew, and not yet removed what it published before."""
    assert len(list(club.published.glob("*.duckdb"))) == 2
    club.erased_file.touch()

    put_in_order(club, lambda _: None)

    assert list(club.published.glob("*.duckdb")) == [club.publication_in_force()]
    assert not club.erased_file.exists()


def test_who_died_and_what_became_of_its_work_is_said(club: DataFolder) -> None:
    club.holder_file.write_text("process 4711, since 2026-03-20 20:15:00\n", encoding="utf-8")
    told: list[str] = []

    with held(club, told.append):
        pass

    assert told == [
        "The last program that worked here (process 4711, since 2026-03-20 20:15:00) ended in the middle. What it "
        "left half written is removed; every batch is stored whole or not at all."
    ]
    assert not club.holder_file.exists()


def test_the_draft_of_a_holder_who_died_before_it_could_sign_in_is_removed(club: DataFolder) -> None:
    draft = club.path / ".warehouse.holder.4711"
    draft.touch()
    told: list[str] = []

    with held(club, told.append):
        pass

    assert not draft.exists()
    assert told == []


def test_a_folder_at_which_another_is_working_is_left_to_it(club: DataFolder) -> None:
    told: list[str] = []
    with held(club):
        club.owed_file.touch()
        put_in_order(club, told.append)

    assert told == []


def test_a_publication_that_cannot_be_made_again_leaves_the_old_one_to_be_read(club: DataFolder) -> None:
    club.owed_file.touch()
    club.settings_file.write_text("covered_balls = 'many'\n", encoding="utf-8")
    told: list[str] = []

    put_in_order(club, told.append)

    assert "could not be made again" in told[0]
    assert "covered_balls" in told[0]
    assert ask(club, BALLS).item() == tiny_club.BALLS_IN_FORCE


def test_a_folder_without_a_club_is_left_alone(tmp_path: Path) -> None:
    put_in_order(DataFolder(tmp_path), say=pytest.fail)

    assert list(tmp_path.iterdir()) == []


def test_the_lock_of_a_dead_process_is_nobodys(club: DataFolder) -> None:
    """The file of the lock stays; the system took the lock itself back when the process died."""
    club.lock_file.touch()
    told: list[str] = []

    with locked(club, told.append):
        pass

    assert told == []


def test_who_is_busy_is_said_and_waited_for_only_so_long(club: DataFolder, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("sql.warehouse.BUSY_AFTER_S", 0.01)
    monkeypatch.setattr("sql.warehouse.GIVE_UP_AFTER_S", 0.1)
    told: list[str] = []

    with (
        held(club),
        pytest.raises(FolderProblem, match=r"still busy after 0 s.*\(process \d+, since"),
        held(club, told.append),
    ):
        pass

    assert told[0].startswith("busy, waiting: another load or build is under way (process ")
