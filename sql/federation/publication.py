"""What a federation publishes: a folder of Parquet for each table, and CURRENT, which names the build in force."""

import re
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from shutil import rmtree

from pydantic import BaseModel, ConfigDict

from sql.disk import disk_told, flush
from sql.folder import write_whole

KEPT_BUILDS = 2
"""The one in force, and the one before it for readers that have just read its name."""

ABOUT = "federation.json"


class FederatedClub(BaseModel):
    """A club of a federation, as it was built."""

    model_config = ConfigDict(frozen=True)

    club_id: str
    club_name: str
    exported_at: str
    """UTC."""


class Federation(BaseModel):
    """What a build says of itself."""

    model_config = ConfigDict(frozen=True)

    number: int
    built_at: str
    """UTC."""
    engine: str
    software_version: str
    models_sha256: str
    clubs: tuple[FederatedClub, ...]


def build_in_force(out: Path) -> Path | None:
    """The folder of the build that readers should open; None where there is none."""
    try:
        name = (out / "CURRENT").read_text(encoding="ascii", errors="replace").strip()
    except FileNotFoundError:
        return None
    return out / name if re.fullmatch(r"build-[0-9]{6}", name) else None


@contextmanager
def next_build(out: Path) -> Iterator[tuple[int, Path]]:
    """The number of the next build and an empty folder for it: put in force at the end, or removed where it fails."""
    with disk_told(out):
        out.mkdir(parents=True, exist_ok=True)
        number = max([0, *_numbers(out)]) + 1
        draft, build = out / f"draft-{number:06d}", out / f"build-{number:06d}"
        rmtree(draft, ignore_errors=True)
        draft.mkdir()
        try:
            yield number, draft
            draft.rename(build)
        finally:
            rmtree(draft, ignore_errors=True)  # A full disk has room again without it.
        write_whole(out / "CURRENT", build.name + "\n")
        flush(out)
        for old in sorted(_numbers(out))[:-KEPT_BUILDS]:
            rmtree(out / f"build-{old:06d}")


def parquet_of(build: Path, table: str) -> str:
    """All files of a published table, as a pattern."""
    return str(build / table / "**" / "*.parquet")


def _numbers(out: Path) -> list[int]:
    return [int(folder.name[6:]) for folder in out.glob("build-*") if re.fullmatch(r"build-[0-9]{6}", folder.name)]
