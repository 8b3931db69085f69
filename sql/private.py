"""The data folder is its owner's alone: what it holds is about people, some of them children."""

import os
import stat
from collections.abc import Iterator
from contextlib import suppress
from pathlib import Path

from sql.folder import DataFolder
from sql.holding import Say

FOLDER_RIGHTS, FILE_RIGHTS = 0o700, 0o600

OURS = ("warehouse.*", "club.*", "backups.jsonl", "serving.*", "published", "published/*")
"""What this project puts into the folder. Anything else there is its owner's to decide about."""


TELLING = (".duckdb", ".sqlite", ".jsonl")
"""Files that say something of people; what else there is marks how the work stands, or is settings."""


def keep_new_files_private() -> None:
    """From now on this process makes no file that others on the machine may read."""
    os.umask(0o077)


def make_private(folder: DataFolder, say: Say = lambda _: None) -> None:
    """Take from others on this machine what rights they have, and say of which files. Only under the lock.

    Where root works in somebody's folder, what root made becomes theirs, or they could not read it any more.
    """
    opened = [path for path in _ours(folder) if _was_open(path, folder)]
    if telling := [path for path in opened if path.suffix in TELLING]:
        names = ", ".join(str(path.relative_to(folder.path.parent)) for path in telling)
        say(f"Others on this computer could read {names}. Only you can now.")


def _ours(folder: DataFolder) -> Iterator[Path]:
    yield folder.path
    for pattern in OURS:
        yield from sorted(folder.path.glob(pattern))


def _was_open(path: Path, folder: DataFolder) -> bool:
    with suppress(FileNotFoundError, PermissionError):  # Gone since, or another's: then its owner has to mend it.
        if path.is_symlink():
            return False
        _give_to_owner(path, folder)
        rights = FOLDER_RIGHTS if path.is_dir() else FILE_RIGHTS
        if stat.S_IMODE(path.stat().st_mode) & ~rights & 0o777:
            path.chmod(rights)
            return True
    return False


def _give_to_owner(path: Path, folder: DataFolder) -> None:
    if hasattr(os, "geteuid") and os.geteuid() == 0:
        owner = folder.path.stat()
        if path.stat().st_uid != owner.st_uid:
            os.chown(path, owner.st_uid, owner.st_gid)
