"""The one file of a backup: a zip of what cannot be made again, with a manifest that tells what must be in it."""

import json
import os
import struct
import zipfile
import zlib
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import datetime
from hashlib import sha256
from pathlib import Path
from typing import Any, BinaryIO

from pydantic import BaseModel, ConfigDict, ValidationError

from sql.disk import flush
from sql.folder import FolderProblem

FORMAT = 1
MANIFEST = "manifest.json"
WAREHOUSE, CLUB_FILE, SETTINGS = "warehouse.duckdb", "club.sqlite", "club.toml"
MEMBERS = (WAREHOUSE, CLUB_FILE, SETTINGS)
"""The only names that a backup may bring: nothing can be written beside the data folder."""

NEWER = "A newer version of Halflong made it: use that version."

UNPACKING_FAULTS = (
    *(zipfile.BadZipFile, zlib.error, struct.error, EOFError, NotImplementedError, RuntimeError),
    *(ValueError, OverflowError),
)
"""What zipfile raises for changed bytes."""

BINARY = getattr(os, "O_BINARY", 0)
"""Windows would change line ends otherwise."""

CHUNK = 1 << 20
LONGEST_MANIFEST = 1 << 20


class Member(BaseModel):
    """One file within a backup."""

    model_config = ConfigDict(frozen=True)

    size_bytes: int
    sha256: str


class Manifest(BaseModel):
    """What a backup says of itself."""

    model_config = ConfigDict(frozen=True)

    format: int
    made_at: datetime
    software_version: str
    club_id: str
    log_version: int
    """The number of the last migration of the log."""
    club_file_version: int | None = None
    """The same of the club file, where the club has one."""
    batches: int
    batches_in_force: int
    lines: int
    members: dict[str, Member]


def require_place(file: Path, otherwise: str, *, replaces: bool) -> None:
    """Raises FolderProblem where no such file can be written, or one is there already and `replaces` is not said.

    `otherwise` is what happens to a file that is there: `a backup replaces nothing`.
    """
    if not file.parent.is_dir():
        raise FolderProblem(f"{file}: there is no folder {file.parent}. Make it, or name another file.")
    if file.is_dir() or (file.exists() and not replaces):
        raise FolderProblem(f"{file}: is there already, and {otherwise} unless --replace is given.")


@contextmanager
def whole_file(file: Path, *, stays: bool = True) -> Iterator[Path]:
    """A draft to write; it takes the place of `file` when it is whole and on the disk, and is gone if it fails.

    One that does not stay is gone in any case.
    """
    draft = file.with_name(f".{file.name}.draft")
    draft.unlink(missing_ok=True)
    try:
        # The file holds the club's people: nobody else on this machine may read it.
        os.close(os.open(draft, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600))
        yield draft
        if stays:
            flush(draft)
            draft.replace(file)
            flush(file.parent)
    finally:
        draft.unlink(missing_ok=True)


def write_archive(file: Path, contents: dict[str, Path], about: dict[str, Any]) -> Manifest:
    """Pack files under their member names, and a manifest that says `about` beside their fingerprints."""
    with zipfile.ZipFile(file, "w", zipfile.ZIP_DEFLATED) as archive:
        members = {name: _pack(archive, name, path) for name, path in contents.items()}
        manifest = Manifest(format=FORMAT, members=members, **about)
        archive.writestr(MANIFEST, manifest.model_dump_json(indent=2))
    return manifest


def _pack(archive: zipfile.ZipFile, name: str, path: Path) -> Member:
    with path.open("rb") as source, archive.open(name, "w", force_zip64=True) as packed:
        return _copy(source, packed)


def _copy(source: BinaryIO | Any, target: BinaryIO | Any) -> Member:
    size, digest = 0, sha256()
    while chunk := source.read(CHUNK):
        size += target.write(chunk)
        digest.update(chunk)
    return Member(size_bytes=size, sha256=digest.hexdigest())


@contextmanager
def opened_archive(file: Path) -> Iterator[tuple[zipfile.ZipFile, Manifest]]:
    """A backup, open, and its manifest. Raises FolderProblem where it is none, is damaged, or is too new."""
    try:
        with zipfile.ZipFile(file) as archive:
            yield archive, _manifest(file, archive)
    except FileNotFoundError as error:
        raise FolderProblem(f"{file}: there is no such file.") from error
    except UNPACKING_FAULTS as error:
        raise FolderProblem(_damaged(file, str(error))) from error


def _manifest(file: Path, archive: zipfile.ZipFile) -> Manifest:
    try:
        with archive.open(MANIFEST) as stream:
            raw = json.loads(stream.read(LONGEST_MANIFEST))
        if isinstance(raw, dict) and raw.get("format") != FORMAT:
            raise FolderProblem(f"{file}: saw a backup of format {raw.get('format')}, expected {FORMAT}. {NEWER}")
        manifest = Manifest.model_validate(raw)
    except (KeyError, ValueError, ValidationError) as error:
        raise FolderProblem(f"{file}: this is no backup of Halflong, or its manifest is damaged.") from error
    names = set(archive.namelist()) - {MANIFEST}
    if names != set(manifest.members) or not {WAREHOUSE} <= names <= set(MEMBERS):
        raise FolderProblem(_damaged(file, f"it holds {', '.join(sorted(names)) or 'nothing'}"))
    return manifest


def _damaged(file: Path, why: str) -> str:
    return f"{file}: this backup is damaged or no backup at all ({why}). Nothing was restored. Take another one."


def unpack(file: Path, archive: zipfile.ZipFile, manifest: Manifest, into: Path) -> None:
    """Write every member into a folder and onto the disk. Raises FolderProblem where one is not as it should be."""
    for name in manifest.members:
        with os.fdopen(os.open(into / name, os.O_WRONLY | os.O_CREAT | os.O_TRUNC | BINARY, 0o600), "wb") as target:
            _require_as_said(file, archive, manifest, name, target)
            target.flush()
            os.fsync(target.fileno())
    flush(into)


def check_archive(file: Path) -> Manifest:
    """The manifest of a backup, every member of which is as it says. Raises FolderProblem."""
    with opened_archive(file) as (archive, manifest), Path(os.devnull).open("wb") as nowhere:
        for name in manifest.members:
            _require_as_said(file, archive, manifest, name, nowhere)
    return manifest


def _require_as_said(file: Path, archive: zipfile.ZipFile, manifest: Manifest, name: str, target: BinaryIO) -> None:
    try:
        with archive.open(name) as packed:
            found = _copy(packed, target)
    except UNPACKING_FAULTS as error:
        raise FolderProblem(_damaged(file, f"{name}: {error}")) from error
    if found != manifest.members[name]:
        raise FolderProblem(_damaged(file, f"{name} is not what the manifest says"))
