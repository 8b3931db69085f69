"""Backups: taken while everything runs, given back into an empty folder, and tried out without touching anything."""

import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from importlib.metadata import version
from pathlib import Path
from tempfile import mkdtemp
from typing import Any

from sql.archive import (
    CLUB_FILE,
    MEMBERS,
    SETTINGS,
    WAREHOUSE,
    Manifest,
    check_archive,
    opened_archive,
    require_place,
    unpack,
    whole_file,
    write_archive,
)
from sql.build import build
from sql.club.check import club_file_version
from sql.club.keeping import copy_club_file, empty_what_does_not_survive
from sql.disk import disk_told, require_room
from sql.encryption import Key, Lock, encrypt, is_encrypted, opened
from sql.folder import DataFolder, FolderProblem, write_whole
from sql.holding import Say, remove_drafts
from sql.made_backups import note_backup
from sql.making_tables import Progress
from sql.same_tables import different_tables
from sql.verify import club_findings, log_findings
from sql.warehouse import held, locked, utc_now, warehouse


@dataclass(frozen=True)
class Restored:
    """What a backup gave back, and the publication made from it."""

    manifest: Manifest
    publication: Path | None
    """None where the settings that came with it are not sound."""


@dataclass(frozen=True)
class TriedBackup:
    """What came back, and the published tables that differ from the club's; None where none were compared."""

    manifest: Manifest
    different: tuple[str, ...] | None


def back_up(
    folder: DataFolder, file: Path, *, replaces: bool = False, lock: Lock | None = None, say: Say = lambda _: None
) -> Manifest:
    """Write everything of the club that cannot be made again into one file; it stands there whole or not at all.

    With a `lock` it is encrypted, and nothing of it stands beside the file in plain.

    Taken while the folder is held, so that no load is half in it. Raises FolderProblem where there is nothing to back
    up, the log is damaged, or the file is there already and `replaces` is not said.
    """
    require_place(file, "a backup replaces nothing", replaces=replaces)
    with held(folder, say):
        if not folder.warehouse_file.exists():
            raise FolderProblem(f"{folder.path}: holds no club yet, so there is nothing to back up.")
        _require_sound(folder, "no backup was made, for what it would keep is damaged", say)
        about = _about(folder)
        with disk_told(file.parent), _contents(folder, file) as contents:
            require_room(file.parent, sum(path.stat().st_size for path in contents.values()), "give the command again")
            with whole_file(file) as draft:
                manifest = _write(folder, draft, contents, about, lock)
        note_backup(folder, file, manifest)
    return manifest


def _write(
    folder: DataFolder, draft: Path, contents: dict[str, Path], about: dict[str, Any], lock: Lock | None
) -> Manifest:
    if lock is None:
        manifest = write_archive(draft, contents, about)
        check_archive(draft)
        return manifest
    # In plain it stands in the data folder only, where all of it stands in plain anyway.
    require_room(folder.path, sum(path.stat().st_size for path in contents.values()), "give the command again")
    with whole_file(folder.path / "backup.zip", stays=False) as plain:
        manifest = write_archive(plain, contents, about)
        check_archive(plain)
        encrypt(plain, draft, lock)
    return manifest


def _require_sound(folder: DataFolder, otherwise: str, say: Say) -> None:
    for finding in [*log_findings(folder), *club_findings(folder)]:
        if not finding.is_mended:
            raise FolderProblem(f"{finding.place}: {otherwise}: {finding.fault}. {finding.what_now}")
        say(finding.sentence)


def _about(folder: DataFolder) -> dict[str, Any]:
    with warehouse(folder) as connection:
        counts = connection.execute(
            "select (select max(number) from log.migrations), count(*), count(*) - count(withdrawn_at),"
            " coalesce(cast(sum(lines_accepted) as bigint), 0) from log.batches"
        ).fetchall()[0]
    names = ("log_version", "batches", "batches_in_force", "lines")
    own = {
        "club_id": folder.settings().club_id,
        "software_version": version("halflong"),
        "made_at": utc_now(),
        "club_file_version": club_file_version(folder),
    }
    return own | dict(zip(names, counts, strict=True))


@contextmanager
def _contents(folder: DataFolder, file: Path) -> Iterator[dict[str, Path]]:
    """The files to pack, by member name: those that stand still, and a still copy of the club file."""
    if folder.warehouse_file.with_suffix(".duckdb.wal").exists():
        raise FolderProblem(f"{folder.warehouse_file}: DuckDB could not finish writing it. Make room on its disk.")
    still = file.with_name(f".{file.name}.{CLUB_FILE}")
    files = {WAREHOUSE: folder.warehouse_file, SETTINGS: folder.settings_file}
    try:
        if folder.club_file.exists():
            files[CLUB_FILE] = still
            copy_club_file(folder, still)
        yield {name: path for name, path in files.items() if path.exists()}
    finally:
        still.unlink(missing_ok=True)


def restore(
    file: Path,
    folder: DataFolder,
    *,
    key: Key | None = None,
    say: Say = lambda _: None,
    progress: Progress = lambda *_: None,
) -> Restored:
    """Give a backup back into an empty or missing folder, verify it, and publish.

    Raises FolderProblem, and leaves the folder as empty as it was, where the backup is damaged, the key does not open
    it, or anything stands in the folder already.
    """
    with opened(file, key, folder.path) as plain, opened_archive(plain) as (archive, manifest):
        folder.path.mkdir(parents=True, exist_ok=True)
        with disk_told(folder.path), locked(folder, say), _being_restored(folder, file, say):
            unpack(file, archive, manifest, folder.path)
            _require_sound(folder, f"{file} was not restored, for what it holds is damaged", say)
            empty_what_does_not_survive(folder)
            publication = _published_if_settings_are_sound(folder, say, progress)
            note_backup(folder, file, manifest)
    return Restored(manifest, publication)


def _published_if_settings_are_sound(folder: DataFolder, say: Say, progress: Progress) -> Path | None:
    """A setting that this version no longer takes must not keep the club from its log."""
    try:
        folder.settings()
    except FolderProblem as problem:
        say(f"The log is restored; it can be published with 'halflong build' once this is mended: {problem}")
        return None
    return build(folder, progress).file


@contextmanager
def _being_restored(folder: DataFolder, file: Path, say: Say) -> Iterator[None]:
    """The folder is marked until all is done, so that a restore that was cut off is not taken for a club."""
    for draft in folder.path.glob(".RESTORING.*"):
        draft.unlink()
    if folder.restoring_file.exists():
        say(f"A restore was cut off in {folder.path}: what it left is removed first.")
        _empty(folder)
    if strangers := sorted(path.name for path in folder.path.iterdir() if path != folder.lock_file):
        raise FolderProblem(
            f"{folder.path}: is not empty ({', '.join(strangers[:5])}), and a restore never writes over anything. "
            "Name an empty folder, or one that is not there yet."
        )
    write_whole(folder.restoring_file, f"{file.resolve()}\n")
    try:
        yield
    except BaseException:
        _empty(folder)
        raise
    folder.restoring_file.unlink()


def _empty(folder: DataFolder) -> None:
    """Remove what a restore writes, the mark last."""
    shutil.rmtree(folder.published, ignore_errors=True)
    remove_drafts(folder)
    sides = (".wal", "-wal", "-shm")
    names = [*MEMBERS, *(name + side for name in MEMBERS for side in sides), "warehouse.sha256"]
    for path in [*(folder.path / name for name in names), folder.backups_file, folder.restoring_file]:
        path.unlink(missing_ok=True)


def try_out(
    file: Path,
    against: DataFolder | None = None,
    *,
    key: Key | None = None,
    say: Say = lambda _: None,
    progress: Progress = lambda *_: None,
) -> TriedBackup:
    """Restore a backup into a folder beside it, verify and publish there, and remove that folder again.

    One that is encrypted may stand on a disk that is to hold nothing in plain: it is restored in the system's folder
    for passing files.

    With `against`, what is published there is held against what this club has published. Raises FolderProblem.
    """
    passing = Path(mkdtemp(prefix="halflong-")) if is_encrypted(file) else file.parent
    beside = DataFolder(passing / f".{file.name}.tried")
    shutil.rmtree(beside.path, ignore_errors=True)
    try:
        restored = restore(file, beside, key=key, say=say, progress=progress)
        in_force = against and against.publication_in_force()
        if not in_force or not restored.publication:
            return TriedBackup(restored.manifest, None)
        return TriedBackup(restored.manifest, different_tables(restored.publication, in_force))
    finally:
        shutil.rmtree(beside.path if passing == file.parent else passing, ignore_errors=True)
