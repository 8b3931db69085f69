"""Who holds the data folder, and what a holder who died in the middle of its work leaves behind."""

import os
import re
import shutil
from collections.abc import Callable, Iterator
from contextlib import suppress
from datetime import UTC, datetime
from pathlib import Path

from sql.digests import forget_digest
from sql.folder import DataFolder, FolderProblem, write_whole

Say = Callable[[str], None]
"""Tells a sentence while work is under way."""

DRAFT = re.compile(
    r"\.(warehouse\..+|CURRENT|[0-9]+\.sha256)\.[0-9]+|(draft|warehouse)\.duckdb\.tmp|draft\.duckdb.*|\.backup\.zip\.draft"
)
"""Names of half-written files: of `write_whole`, a build's draft, what DuckDB spills, a backup to be encrypted."""


def note_holder(folder: DataFolder) -> None:
    """Note who holds the folder."""
    try:
        since = folder.local(datetime.now(UTC))
        write_whole(folder.holder_file, f"process {os.getpid()}, since {since:%Y-%m-%d %H:%M:%S}\n")
    except OSError:
        # On a full disk, a backup to another disk must still be possible. Should this process die now, nobody will
        # know; so nothing may stand that would then be taken for the warehouse's fingerprint.
        forget_digest(folder.warehouse_file)


def clear_holder(folder: DataFolder) -> None:
    """Note that the work is done."""
    folder.holder_file.unlink(missing_ok=True)


def holder(folder: DataFolder) -> str:
    """Who holds the folder, in brackets to end a sentence with; nothing where it is not known."""
    try:
        text = folder.holder_file.read_text(encoding="utf-8", errors="replace").strip()
    except OSError:
        return ""
    return f" ({text})" if text else ""


def clear_up(folder: DataFolder, say: Say) -> None:
    """Remove what a dead holder left half written, and say so. Only under the lock."""
    if folder.holder_file.exists():
        say(
            f"The last program that worked here{holder(folder)} ended in the middle. What it left half written is "
            "removed; every batch is stored whole or not at all."
        )
        forget_digest(folder.warehouse_file)
        owe_publication(folder)
    remove_drafts(folder)  # One may be of a holder who died before it could say that it began.


def remove_drafts(folder: DataFolder) -> None:
    """Remove what was left half written. Only under the lock."""
    for draft in drafts(folder):
        _remove(draft)


def owe_publication(folder: DataFolder) -> None:
    """Note that the publication in force may be behind the log."""
    with suppress(OSError):  # On a full disk the next load, withdrawal, build or serve sees it without the note.
        folder.published.mkdir(exist_ok=True)
        folder.owed_file.touch(mode=0o600)


def drafts(folder: DataFolder) -> Iterator[Path]:
    """Half-written files, and fingerprints of files that are not there. Only under the lock."""
    for place in (folder.path, folder.published):
        for path in sorted(place.iterdir()) if place.exists() else ():
            if DRAFT.fullmatch(path.name):
                yield path
    for digest in folder.published.glob("*.sha256"):
        if not digest.with_suffix(".duckdb").exists():
            yield digest


def _remove(path: Path) -> None:
    if path.is_dir():
        shutil.rmtree(path, ignore_errors=True)
    else:
        path.unlink(missing_ok=True)


def require_restored(folder: DataFolder) -> None:
    """Raises FolderProblem where a restore was cut off."""
    if folder.restoring_file.exists():
        backup = folder.restoring_file.read_text(encoding="utf-8", errors="replace").strip()
        raise FolderProblem(
            f"{folder.path}: restoring {backup} was cut off here, so what lies in this folder is not whole. "
            f"Give the command again: halflong restore {backup} --data {folder.path}"
        )
