"""A lake of many clubs, each a copy of one of a smaller lake under a name of its own."""

from pathlib import Path

import polars as pl

from sql.lake.exporting import log_version
from sql.lake.manifest import ClubManifest, LakeFile, bucket_of, clubs_in, manifest_file


def copies(lake: Path, into: Path, count: int) -> Path:
    """Make it below `into`, which is given back."""
    originals = clubs_in(lake, log_version())
    for number in range(count):
        _copy(lake, into, originals[number % len(originals)], f"club{number:03d}")
    return into


def _copy(lake: Path, into: Path, original: ClubManifest, club_id: str) -> None:
    files = tuple(_copied(lake, into, original.club_id, file, club_id) for file in original.files)
    settings = original.settings.model_copy(update={"club_id": club_id})
    manifest = original.model_copy(update={"club_id": club_id, "settings": settings, "files": files})
    manifest_file(into, club_id).parent.mkdir(parents=True, exist_ok=True)
    manifest_file(into, club_id).write_text(manifest.model_dump_json(), encoding="utf-8")


def _copied(lake: Path, into: Path, club: str, file: LakeFile, club_id: str) -> LakeFile:
    path = file.path.replace(bucket_of(club), bucket_of(club_id)).replace(f"/{club}.", f"/{club_id}.")
    (into / path).parent.mkdir(parents=True, exist_ok=True)
    rows = pl.read_parquet(lake / file.path).with_columns(club_id=pl.lit(club_id))
    rows.write_parquet(into / path, compression="zstd")
    return file.model_copy(update={"path": path, "size_bytes": (into / path).stat().st_size})
