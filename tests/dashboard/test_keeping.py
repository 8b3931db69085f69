"""The commands that keep the club's data, as their user types them."""

from collections.abc import Iterator
from pathlib import Path

import pytest

from ingest.loading import Incoming, load
from sql.folder import DataFolder, FolderProblem
from tests.dashboard.test_command_line import WEEK, halflong
from tests.few_tables import few_tables
from tests.ingest.conftest import BASICS, TODAY


@pytest.fixture(scope="module", autouse=True)
def _few_tables() -> Iterator[None]:
    """These tests are about keeping, not about what is published."""
    with few_tables():
        yield


@pytest.fixture(scope="module")
def club(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A published club with one line in its log."""
    path = tmp_path_factory.mktemp("keeping") / "club"
    load(DataFolder(path), [*BASICS, Incoming("week.csv", WEEK.encode())], "tester", today=TODAY)
    return path


@pytest.fixture(scope="module")
def backup(club: Path) -> Path:
    """A backup of that club, which was tried out."""
    file = club.parent / "club.zip"
    result = halflong("backup", file, "--data", club, "--try")
    assert result.exit_code == 0, result.output
    assert "4 batches" in result.output
    assert "restored, verified and published in a folder of its own, which is removed again" in result.output
    assert "Every published table says the same as in the club's folder." in result.output
    return file


def test_a_backup_is_given_back_into_a_new_folder(backup: Path, tmp_path: Path) -> None:
    result = halflong("restore", backup, "--data", tmp_path / "new")

    assert result.exit_code == 0
    assert "4 batches" in result.output
    assert "withdrawn or erased after that is to be done again; everybody signs in anew" in result.output
    question = "select cast(sum(balls) as bigint) as balls from core.fed_lines"
    assert halflong("query", question, "--data", tmp_path / "new", "--format", "csv").stdout == "balls\n40\n"


def test_a_backup_can_be_tried_out_later(backup: Path) -> None:
    result = halflong("try-backup", backup)

    assert result.exit_code == 0
    assert "restored, verified and published" in result.output
    assert "Every published table" not in result.output


def test_restoring_needs_a_folder_by_name(backup: Path) -> None:
    assert halflong("restore", backup).exit_code == 2


def test_a_club_is_not_restored_over(backup: Path, club: Path) -> None:
    assert isinstance(halflong("restore", backup, "--data", club).exception, FolderProblem)


def test_verifying_a_sound_club_says_what_was_read(club: Path) -> None:
    result = halflong("verify", "--data", club)

    assert result.exit_code == 0
    assert "Read: batches 4, lines 10, published files 1. Faults: none." in result.output


def test_verifying_mends_what_can_be_made_anew_and_exits_with_1_for_the_rest(backup: Path, tmp_path: Path) -> None:
    halflong("restore", backup, "--data", tmp_path / "new")
    published = DataFolder(tmp_path / "new").publication_in_force()
    assert published is not None
    published.write_bytes(published.read_bytes()[:-1])
    mended = halflong("verify", "--data", tmp_path / "new")
    (tmp_path / "new" / "warehouse.duckdb").write_bytes(b"not a warehouse")
    damaged = halflong("verify", "--data", tmp_path / "new")

    assert (mended.exit_code, damaged.exit_code) == (0, 1)
    assert "Faults: 1, all mended." in mended.output
    assert f"halflong restore {backup} --data" in damaged.output
