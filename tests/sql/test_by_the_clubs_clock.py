"""What the store tells of times is told by the clock on the club's wall, whatever the machine's is."""

import re
from datetime import UTC, datetime
from pathlib import Path

import pytest

from sql.archive import Manifest
from sql.backup import back_up
from sql.folder import DataFolder
from sql.holding import holder, note_holder
from sql.log_book import CannotWithdraw, mark_withdrawn
from sql.made_backups import made_backups, which_to_restore
from sql.warehouse import held, warehouse
from tests.sql.clubs import a_club

IN_AUCKLAND = 'time_zone = "Pacific/Auckland"\n'
"""Thirteen hours before UTC in November: mostly another day."""

AN_EVENING = datetime.fromisoformat("2026-11-27T20:15:00")
THERE = "2026-11-28 09:15"


@pytest.fixture
def folder(tmp_path: Path) -> DataFolder:
    (tmp_path / "club.toml").write_text(IN_AUCKLAND, encoding="utf-8")
    return DataFolder(tmp_path)


def test_who_holds_the_folder_says_since_when(folder: DataFolder) -> None:
    before = folder.local(datetime.now(UTC)).replace(microsecond=0)

    note_holder(folder)

    since = re.search(r"since (.+)\)", holder(folder))
    assert since is not None
    told = datetime.fromisoformat(since[1])
    assert before <= told <= folder.local(datetime.now(UTC))
    assert told.tzinfo is None
    assert folder.local(AN_EVENING) == datetime.fromisoformat(THERE)


def test_settings_that_are_not_sound_do_not_hide_who_holds_the_folder(folder: DataFolder) -> None:
    folder.settings_file.write_text("time_zone = 7\n", encoding="utf-8")

    note_holder(folder)

    assert "since 2" in holder(folder)


def test_a_batch_that_was_withdrawn_already_says_when(folder: DataFolder) -> None:
    with a_club() as club:
        batch = club.load("players", {"player": "ADA"})
        mark_withdrawn(club.connection, batch, "tester", AN_EVENING)

        with pytest.raises(CannotWithdraw, match=rf"withdrawn already, on {THERE}\."):
            mark_withdrawn(club.connection, batch, "tester", AN_EVENING, local=folder.local)


def test_the_backup_to_restore_is_named_by_when_it_was_made(folder: DataFolder, tmp_path: Path) -> None:
    with held(folder), warehouse(folder):
        pass
    manifest: Manifest = back_up(folder, tmp_path / "club.zip")

    (made,) = made_backups(folder)
    assert made.made_at == manifest.made_at
    assert f"the backup of {folder.local(manifest.made_at):%Y-%m-%d %H:%M} (0 batches)" in which_to_restore(folder)
    assert f"{manifest.made_at:%H:%M}" not in which_to_restore(folder)
