"""Fingerprints of whole files, kept beside them as `sha256sum --check` reads them: they find any changed byte."""

import re
from hashlib import file_digest
from pathlib import Path

from sql.folder import write_whole


def sha256_of(file: Path) -> str:
    """The fingerprint of a file's bytes. Raises OSError."""
    with file.open("rb") as stream:
        return file_digest(stream, "sha256").hexdigest()


def digest_file(file: Path) -> Path:
    """Where the fingerprint of a file is kept."""
    return file.with_suffix(".sha256")


def note_digest(file: Path, written_at: Path | None = None) -> None:
    """Keep the fingerprint of `file`, whose bytes may still stand at `written_at`. Raises OSError."""
    write_whole(digest_file(file), f"{sha256_of(written_at or file)}  {file.name}\n")


def forget_digest(file: Path) -> None:
    """No fingerprint is kept of this file any more."""
    digest_file(file).unlink(missing_ok=True)


def noted_digest(file: Path) -> str | None:
    """The fingerprint kept of this file; None where there is none, or none that can be read."""
    try:
        found = re.match(r"[0-9a-f]{64}\b", digest_file(file).read_text(encoding="ascii", errors="replace"))
    except FileNotFoundError:
        return None
    return found[0] if found else None


def is_other_than_noted(file: Path) -> bool:
    """The file is there, and its bytes are not those whose fingerprint is kept. Raises OSError."""
    stored = noted_digest(file)
    return stored is not None and file.exists() and sha256_of(file) != stored


def stamp(file: Path) -> tuple[int, int, int] | None:
    """What changes when a file is written or replaced by another; None where there is none."""
    try:
        seen = file.stat()
    except FileNotFoundError:
        return None
    return seen.st_ino, seen.st_mtime_ns, seen.st_size
