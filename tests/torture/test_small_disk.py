"""A full disk and a folder that may not be written: a plain sentence, nothing lost, and all well when there is room."""

import os
from pathlib import Path

import pytest

from sql.build import build
from sql.folder import DataFolder, FolderProblem
from sql.warehouse import ask, held
from tests.sql.old_backups import tiny_club
from tests.torture.small_disk import FREE_KB, on_a_small_disk


@pytest.mark.proof
def test_a_club_on_a_disk_that_fills_up_or_may_not_be_written(tmp_path: Path) -> None:
    """On a real file system of a few megabytes, in a mount space of its own; skipped where none may be mounted.

    At more moments: unshare --map-root-user --mount python -m tests.torture.small_disk FOLDER --full.
    """
    counts = on_a_small_disk(tmp_path)
    if counts is None:
        pytest.skip("no file system may be mounted on this machine: what a full disk does is not tested here")

    assert counts["failed"] + counts["went well"] == 2 * len(FREE_KB)
    assert counts["failed"] > counts["stored though it failed"] > 0


def test_the_room_that_a_build_needs_is_looked_for_first(tmp_path: Path) -> None:
    folder = DataFolder(tmp_path / "club")
    tiny_club.fill(folder)
    before = folder.publication_in_force()
    folder.settings_file.write_text("spare_room_mb = 1_000_000\n", encoding="utf-8")

    with held(folder), pytest.raises(FolderProblem, match=r"MB free, expected at least 1,000,\d\d\d MB"):
        build(folder)

    assert folder.publication_in_force() == before
    assert ask(folder, "select cast(sum(balls) as bigint) from core.fed_lines").item() == tiny_club.BALLS_IN_FORCE


@pytest.mark.skipif(os.geteuid() == 0, reason="root may write everywhere; the test on a small disk forbids it to root")
def test_a_folder_of_another_owner_is_told_in_a_sentence(tmp_path: Path) -> None:
    tmp_path.chmod(0o500)

    with pytest.raises(FolderProblem, match="Make the folder writable"), held(DataFolder(tmp_path)):
        pass
