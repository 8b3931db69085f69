"""A backup holds everything of the club that cannot be made again, and gives it back whole or not at all."""

import random
import shutil
import zipfile
from pathlib import Path

import pytest

from ingest.loading import Incoming, load
from sql.archive import check_archive, opened_archive, write_archive
from sql.backup import back_up, restore, try_out
from sql.build import build
from sql.club.file import club_file
from sql.folder import DataFolder, FolderProblem
from sql.made_backups import made_backups
from sql.migrations import numbered_migrations
from sql.same_tables import different_tables
from sql.verify import verify
from sql.warehouse import ask, held
from tests.few_tables import few_tables
from tests.sql.old_backups import tiny_club

OLD_BACKUPS = sorted((Path(__file__).parent / "old_backups").glob("*.zip"))
WEEK = "session_date,player,setup,spin,length,balls,good\n2026-03-17,T1,B,backspin,short,25,20\n"
BALLS = "select cast(sum(balls) as bigint), cast(sum(good) as bigint) from core.fed_lines"


@pytest.fixture(scope="session")
def backup(kept_club: DataFolder, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A backup of the tiny club. Only to be read, or copied."""
    own = DataFolder(Path(shutil.copytree(kept_club.path, tmp_path_factory.mktemp("backup") / "club")))
    back_up(own, own.path.parent / "tiny.zip")
    return own.path.parent / "tiny.zip"


def everything_in(folder: Path) -> dict[str, bytes]:
    return {str(path.relative_to(folder)): path.read_bytes() for path in folder.rglob("*") if path.is_file()}


@pytest.fixture(scope="session")
def restored(backup: Path, tmp_path_factory: pytest.TempPathFactory) -> DataFolder:
    """The club that the backup gave back. Only to be read."""
    folder = DataFolder(tmp_path_factory.mktemp("restored") / "new" / "club")
    restore(backup, folder)
    return folder


def test_a_restored_club_answers_as_the_club_did(restored: DataFolder, backup: Path) -> None:
    assert ask(restored, BALLS).row(0) == (tiny_club.BALLS_IN_FORCE, tiny_club.GOOD_IN_FORCE)
    assert restored.settings().covered_balls == 12
    assert [made.file for made in made_backups(restored)] == [backup]


def test_people_keep_their_accounts_and_sign_in_anew(restored: DataFolder) -> None:
    """A session that was ended since must not come to life again."""
    with club_file(restored) as connection:
        assert [name for (name,) in connection.execute("select name from accounts").fetchall()] == ["Ivo"]
        assert connection.execute("select * from web_sessions").fetchall() == []


def test_a_drill_leaves_nothing_behind_and_finds_every_published_table_the_same(
    backup: Path, kept_club: DataFolder, tmp_path: Path
) -> None:
    file = Path(shutil.copy(backup, tmp_path))
    tried = try_out(file, kept_club)

    assert tried.different == ()
    assert (tried.manifest.batches, tried.manifest.batches_in_force, tried.manifest.lines) == (7, 6, 12)
    assert list(tmp_path.iterdir()) == [file]


def test_published_tables_that_differ_are_named(kept_club: DataFolder) -> None:
    """The two publications are from before and after the withdrawal of a batch."""
    before, after = sorted(kept_club.published.glob("*.duckdb"))

    assert {"core.batches", "core.fed_lines", "report.variety"} <= set(different_tables(before, after))
    assert "core.words" not in different_tables(before, after)


def test_a_backup_is_for_its_owner_alone(backup: Path) -> None:
    assert backup.stat().st_mode & 0o077 == 0


def test_a_restore_never_writes_over_anything(backup: Path, club: DataFolder) -> None:
    before = everything_in(club.path)

    with pytest.raises(FolderProblem, match="never writes over anything"):
        restore(backup, club)

    assert everything_in(club.path) == before


def test_a_backup_replaces_a_file_only_where_that_is_said(club: DataFolder, tmp_path: Path) -> None:
    file = tmp_path / "tiny.zip"
    file.write_text("a coach's holiday photographs", encoding="utf-8")

    with pytest.raises(FolderProblem, match="--replace"):
        back_up(club, file)
    assert file.read_text(encoding="utf-8") == "a coach's holiday photographs"

    back_up(club, file, replaces=True)
    assert check_archive(file).batches == 7


def test_a_folder_without_a_club_gives_no_backup(tmp_path: Path) -> None:
    with pytest.raises(FolderProblem, match="holds no club yet"):
        back_up(DataFolder(tmp_path / "nothing"), tmp_path / "nothing.zip")


def changed_zip(backup: Path, file: Path, manifest: str | None = None, **members: str) -> Path:
    """A copy of a backup with another manifest, or with more in it."""
    with zipfile.ZipFile(backup) as source, zipfile.ZipFile(file, "w") as target:
        for name in source.namelist():
            text = manifest.encode() if manifest is not None and name == "manifest.json" else source.read(name)
            target.writestr(name, text)
        for name, text in members.items():
            target.writestr(name, text)
    return file


def test_a_file_that_is_no_sound_backup_is_refused_and_leaves_nothing(backup: Path, tmp_path: Path) -> None:
    half, text = tmp_path / "half.zip", tmp_path / "text.zip"
    half.write_bytes(backup.read_bytes()[:-2000])
    text.write_text("not a zip", encoding="utf-8")
    wrong = [
        (half, "damaged or no backup"),
        (text, "damaged or no backup"),
        (tmp_path / "missing.zip", "no such file"),
        (changed_zip(backup, tmp_path / "a.zip", manifest="{}"), "format None"),
        (changed_zip(backup, tmp_path / "b.zip", manifest="[1]"), "no backup of Halflong"),
        (changed_zip(backup, tmp_path / "c.zip", manifest='{"format": 2}'), "newer version"),
        (changed_zip(backup, tmp_path / "d.zip", **{"../stolen.txt": "x"}), "stolen.txt"),
    ]
    for file, sentence in wrong:
        with pytest.raises(FolderProblem, match=sentence):
            restore(file, DataFolder(tmp_path / "club"))

    assert not (tmp_path / "stolen.txt").exists()
    assert not (tmp_path / "club" / "warehouse.duckdb").exists()


def test_a_flipped_bit_in_a_backup_is_found_or_changes_nothing(backup: Path, tmp_path: Path) -> None:
    """A zip has a few bytes that mean nothing to whoever unpacks it, such as the time of day of a member."""
    whole, sound, found = backup.read_bytes(), check_archive(backup), 0
    chance = random.Random(6)
    file = tmp_path / "flipped.zip"
    for _ in range(150):
        flipped = bytearray(whole)
        flipped[chance.randrange(len(flipped))] ^= 1 << chance.randrange(8)
        file.write_bytes(flipped)
        try:
            assert check_archive(file).members == sound.members
        except FolderProblem:
            found += 1

    assert found > 140


def test_a_restore_that_was_cut_off_is_not_taken_for_a_club_and_can_be_done_again(backup: Path, tmp_path: Path) -> None:
    folder = DataFolder(tmp_path / "club")
    folder.path.mkdir()
    folder.restoring_file.write_text(f"{backup}\n", encoding="utf-8")
    folder.warehouse_file.write_bytes(b"half a warehouse")
    (folder.path / ".RESTORING.4711").touch()

    with pytest.raises(FolderProblem, match=f"halflong restore {backup} --data {folder.path}"):
        load(folder, [Incoming("w12.csv", WEEK.encode())], "tester", today=tiny_club.TODAY)
    told: list[str] = []
    restore(backup, folder, say=told.append)

    assert "was cut off" in told[0]
    assert ask(folder, BALLS).row(0) == (tiny_club.BALLS_IN_FORCE, tiny_club.GOOD_IN_FORCE)


def test_a_lost_warehouse_is_not_replaced_by_an_empty_one(club: DataFolder) -> None:
    club.warehouse_file.unlink()

    with pytest.raises(FolderProblem, match="is missing, and there was one"):
        load(club, [Incoming("w12.csv", WEEK.encode())], "tester", today=tiny_club.TODAY)

    assert not club.warehouse_file.exists()
    assert ask(club, BALLS).row(0) == (tiny_club.BALLS_IN_FORCE, tiny_club.GOOD_IN_FORCE)


def test_a_setting_that_is_no_longer_taken_does_not_keep_a_club_from_its_log(backup: Path, tmp_path: Path) -> None:
    with opened_archive(backup) as (archive, manifest):
        archive.extractall(tmp_path)
    (tmp_path / "club.toml").write_text("feeder_colour = 'red'\n", encoding="utf-8")
    contents = {name: tmp_path / name for name in manifest.members}
    write_archive(tmp_path / "old.zip", contents, manifest.model_dump(exclude={"format", "members"}))
    folder, told = DataFolder(tmp_path / "club"), list[str]()

    restore(tmp_path / "old.zip", folder, say=told.append)

    assert "feeder_colour: saw 'red'" in told[-1]
    folder.settings_file.unlink()
    with held(folder):
        build(folder)
    assert ask(folder, BALLS).row(0) == (tiny_club.BALLS_IN_FORCE, tiny_club.GOOD_IN_FORCE)


@pytest.mark.parametrize("old", OLD_BACKUPS, ids=lambda file: file.stem)
def test_a_backup_of_an_older_version_is_restored_and_brought_up_to_date(old: Path, tmp_path: Path) -> None:
    folder = DataFolder(tmp_path / "club")
    with few_tables():
        restore(old, folder)

    assert ask(folder, BALLS).row(0) == (tiny_club.BALLS_IN_FORCE, tiny_club.GOOD_IN_FORCE)
    refused = "select count(distinct line) from core.refusals where not is_mended"
    assert ask(folder, refused).item() == tiny_club.LINES_REFUSED
    assert ask(folder, "select file_name from core.batches where withdrawn_at is not null").item() == tiny_club.MISTAKEN
    with few_tables():
        assert verify(folder).findings == ()


def test_there_is_a_backup_from_before_each_migration() -> None:
    """Make it before the migration is written: uv run python -m tests.sql.old_backups.make."""
    manifests = [check_archive(file) for file in OLD_BACKUPS]
    last_log = numbered_migrations()[-1][0]
    last_club = max(
        int(file.name[:4]) for file in (Path(__file__).parents[2] / "sql" / "club" / "migrations").glob("*.sql")
    )

    assert set(range(1, last_log)) <= {manifest.log_version for manifest in manifests}
    assert set(range(1, last_club)) <= {manifest.club_file_version for manifest in manifests}
