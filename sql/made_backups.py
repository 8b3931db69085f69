"""The backups that were made of a club: a list in its folder, so that one can be named when needed, or dropped."""

import hashlib
import os
from datetime import datetime
from pathlib import Path

from pydantic import BaseModel, ConfigDict, ValidationError

from sql.archive import Manifest, check_archive
from sql.encryption import is_encrypted, opens_by_passphrase
from sql.folder import DataFolder, FolderProblem


class MadeBackup(BaseModel):
    """A backup that was made here, or from which this folder was restored."""

    model_config = ConfigDict(frozen=True)

    file: Path
    made_at: datetime
    batches: int
    sha256: str
    """Of the warehouse within it."""
    encrypted_sha256: str | None = None
    """Of the whole file, where it is encrypted: what is within it cannot be looked at without the key."""


def note_backup(folder: DataFolder, file: Path, manifest: Manifest) -> None:
    """Add a backup to the list."""
    made = MadeBackup(
        file=file.resolve(),
        made_at=manifest.made_at,
        batches=manifest.batches,
        sha256=manifest.members["warehouse.duckdb"].sha256,
        encrypted_sha256=_sha256(file) if is_encrypted(file) else None,
    )
    with folder.backups_file.open("a", encoding="utf-8") as stream:
        stream.write(made.model_dump_json() + "\n")
        stream.flush()
        os.fsync(stream.fileno())


def made_backups(folder: DataFolder) -> list[MadeBackup]:
    """The backups on the list, the latest first; a line that is not whole is passed over."""
    try:
        lines = folder.backups_file.read_text(encoding="utf-8", errors="replace").splitlines()
    except FileNotFoundError:
        return []
    return [made for line in reversed(lines) if (made := _read(line))]


def _read(line: str) -> MadeBackup | None:
    try:
        return MadeBackup.model_validate_json(line)
    except ValidationError:
        return None


def which_to_restore(folder: DataFolder) -> str:
    """What to do where the folder's own truth is damaged: the latest backup that is sound, and how to restore it."""
    for made in made_backups(folder):
        if _is_sound(made):
            made_at = folder.local(made.made_at)
            return (
                f"Restore the backup of {made_at:%Y-%m-%d %H:%M} ({made.batches} batches) into an empty "
                f"folder: halflong restore {made.file} --data DIR{_with_key(made)}. Then load what came in after it."
            )
    return (
        "No sound backup is known here: look for one elsewhere, and restore it with 'halflong restore FILE --data DIR'."
    )


def _with_key(made: MadeBackup) -> str:
    by_key = made.encrypted_sha256 and not opens_by_passphrase(made.file)
    return " --key KEYFILE" if by_key else ""


def _sha256(file: Path) -> str:
    with file.open("rb") as stream:
        return hashlib.file_digest(stream, "sha256").hexdigest()


def _is_sound(made: MadeBackup) -> bool:
    try:
        if made.encrypted_sha256:
            return _sha256(made.file) == made.encrypted_sha256
        return check_archive(made.file).members["warehouse.duckdb"].sha256 == made.sha256
    except (FolderProblem, OSError):
        return False
