"""What a club keeps is nobody else's on the machine to read."""

import stat
import subprocess
import sys
from pathlib import Path

import pytest

from sql.club.file import club_file
from sql.folder import DataFolder
from sql.warehouse import held
from tests.sql.old_backups.tiny_club import FILES


@pytest.fixture
def folder(tmp_path: Path) -> DataFolder:
    return DataFolder(tmp_path / "club")


def open_to_others(folder: DataFolder) -> list[str]:
    return [path.name for path in [folder.path, *folder.path.rglob("*")] if stat.S_IMODE(path.stat().st_mode) & 0o077]


def test_files_that_others_could_read_are_mended_and_named(folder: DataFolder) -> None:
    folder.published.mkdir(parents=True)
    told: list[str] = []
    for file in (folder.warehouse_file, folder.published / "000001.duckdb", folder.settings_file, folder.backups_file):
        file.touch()
        file.chmod(0o644)
    folder.settings_file.write_text("")
    with held(folder, told.append):
        assert open_to_others(folder) == []

    assert len(told) == 1
    assert "club/warehouse.duckdb" in told[0]
    assert "club/published/000001.duckdb" in told[0]
    with held(folder, told.append):
        pass
    assert len(told) == 1


def test_what_others_put_there_is_left_as_it_is(folder: DataFolder) -> None:
    folder.path.mkdir()
    photo = folder.path / "photo.png"
    photo.touch()
    photo.chmod(0o644)
    with held(folder):
        pass

    assert stat.S_IMODE(photo.stat().st_mode) == 0o644


def test_whatever_the_command_line_makes_is_private(folder: DataFolder, tmp_path: Path) -> None:
    players = tmp_path / "players.csv"
    players.write_text(FILES["players.csv"], encoding="utf-8")
    subprocess.run(
        [sys.executable, "-m", "dashboard.command_line", "load", str(players), "--data", str(folder.path)],
        check=True,
        capture_output=True,
        umask=0o022,
    )
    with club_file(folder):
        pass

    assert open_to_others(folder) == []
    assert folder.publication_in_force() is not None
