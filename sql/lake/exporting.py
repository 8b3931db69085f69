"""A club's log in force, written into a lake so that whoever reads it sees the last export or this one, never half."""

from collections.abc import Iterator
from datetime import date
from importlib.metadata import version
from pathlib import Path

import duckdb
import polars as pl

from models.records import RECORDS
from models.refusal import Refused
from sql.digests import sha256_of
from sql.disk import disk_told, flush
from sql.folder import DataFolder, write_whole
from sql.holding import Say
from sql.lake.codes import Codes, club_codes
from sql.lake.coding import coded_batches, coded_lines, coded_refusals
from sql.lake.columns import DATED
from sql.lake.manifest import (
    FORMAT,
    SEASON_BEGINS,
    ClubManifest,
    LakeFile,
    LakeProblem,
    bucket_of,
    manifest_file,
    season_of,
)
from sql.migrations import numbered_migrations
from sql.warehouse import held, utc_now, warehouse

IS_IN_FORCE = "is_in_force"
"""The column that the lake has beside those of the log: the line is in force."""


class NothingToExport(Refused):
    """The club has no log yet."""


def log_version() -> int:
    """The number of the last migration of the log."""
    return numbered_migrations()[-1][0]


def export_log(folder: DataFolder, lake: Path, say: Say = lambda _: None, *, is_new_key: bool = False) -> ClubManifest:
    """Write the club's log in force into a lake, in place of what it exported before.

    Nobody's name is written: codes stand for them, made with the key of the data folder. Raises FolderProblem,
    LakeProblem where another key wrote for a club of this name, or NothingToExport.
    """
    settings = folder.settings()
    with held(folder, say), warehouse(folder) as connection, disk_told(lake):
        _require_some(connection, folder)
        codes = club_codes(folder.lake_key_file)
        if not is_new_key:
            _require_same_key(lake, settings.club_id, codes)
        tables = _tables(connection, codes)
        files = tuple(_written(lake, settings.club_id, *table) for table in tables if table[2].height)
        manifest = ClubManifest(
            format=FORMAT,
            log_version=log_version(),
            software_version=version("halflong"),
            club_id=settings.club_id,
            key_fingerprint=codes.fingerprint,
            exported_at=utc_now(),
            settings=settings,
            files=files,
        )
        _put_in_force(lake, manifest)
    return manifest


def _require_some(connection: duckdb.DuckDBPyConnection, folder: DataFolder) -> None:
    if connection.execute("select count(*) from log.batches where withdrawn_at is null").fetchall() == [(0,)]:
        raise NothingToExport("has no log yet.", where=folder.path, to_do="Load one ('halflong load FILE...').")


def _require_same_key(lake: Path, club_id: str, codes: Codes) -> None:
    file = manifest_file(lake, club_id)
    if not file.exists():
        return
    try:
        before = ClubManifest.model_validate_json(file.read_text(encoding="utf-8"))
    except ValueError:
        return  # Damaged: it is written anew.
    if before.key_fingerprint != codes.fingerprint:
        raise LakeProblem(
            f"was written with another key for a club that is called '{club_id}' too.",
            where=file,
            to_do="Give each club its own club_id in club.toml. Where this club's key is lost, export with --new-key.",
        )


Table = tuple[str, int | None, pl.DataFrame]
"""Its name, the season of its rows where they lie by season, and the rows."""


def _tables(connection: duckdb.DuckDBPyConnection, codes: Codes) -> Iterator[Table]:
    yield "batches", None, coded_batches(connection.sql("select * from log.batches order by batch").pl(), codes)
    checksums = "select * exclude (stored_sha256), '' as stored_sha256 from log.checksums order by batch"
    yield "checksums", None, connection.sql(checksums).pl()
    refusals = "select r.* from log.refusals as r order by batch, line, fault"
    yield "refusals", None, coded_refusals(connection.sql(refusals).pl(), codes)
    for kind in RECORDS:
        for season in _seasons(connection, kind) if kind in DATED else (None,):
            yield kind, season, coded_lines(kind, connection.sql(_lines(kind, season)).pl(), codes)


def _seasons(connection: duckdb.DuckDBPyConnection, kind: str) -> range:
    ((first, last),) = connection.execute(f"select min(session_date), max(session_date) from log.{kind}").fetchall()
    return range(season_of(first), season_of(last) + 1) if first else range(0)


def _lines(kind: str, season: int | None) -> str:
    """The lines in force, and those that tell which refused line they mend, superseded or not."""
    identity = ", ".join(f'"{column}"' for column in ("club_id", *RECORDS[kind].identity, "batch"))
    dated = "" if season is None else _within(season)
    numbered = " replace (n.number as session)" if kind in DATED else ""
    numbers = "inner join numbers as n on l.session_date = n.session_date and l.session = n.session"
    return f"""
        with marked as (
            select l.*, f.batch is not null as {IS_IN_FORCE}
            from log.{kind} as l
            inner join log.batches as b on l.club_id = b.club_id and l.batch = b.batch
            left join log.{kind}_in_force as f on l.club_id = f.club_id and l.batch = f.batch and l.line = f.line
            where b.withdrawn_at is null {dated}
        ),
        labels as (select session_date, session from log.sessions union select session_date, session from log.balls),
        numbers as (
            select *, cast(row_number() over (partition by session_date order by session) as varchar) as number
            from labels
        )
        select l.*{numbered}
        from marked as l {numbers if kind in DATED else ""}
        where l.{IS_IN_FORCE} or l.mends is not null
            or l.batch in (
                select s.batch from log.batches as s where s.file_name in (
                    select b.file_name from log.refusals as r
                    inner join log.batches as b on r.club_id = b.club_id and r.batch = b.batch
                )
            )
        order by {identity}"""


def _within(season: int) -> str:
    begin, end = (date(year, SEASON_BEGINS, 1) for year in (season, season + 1))
    return f"and l.session_date >= date '{begin}' and l.session_date < date '{end}'"


def _written(lake: Path, club_id: str, table: str, season: int | None, rows: pl.DataFrame) -> LakeFile:
    """Write one file, under a name that tells its bytes; what is there already is left as it is."""
    place = Path("log", table, bucket_of(club_id), *([f"season={season}"] if season is not None else []))
    (lake / place).mkdir(parents=True, exist_ok=True)
    draft = lake / place / f".{club_id}.draft"
    try:
        rows.write_parquet(draft, compression="zstd", statistics=True)
        digest = sha256_of(draft)
        path = place / f"{club_id}.{digest[:16]}.parquet"
        flush(draft)
        draft.replace(lake / path)
    finally:
        draft.unlink(missing_ok=True)
    size = (lake / path).stat().st_size
    return LakeFile(table=table, path=path.as_posix(), rows=rows.height, size_bytes=size, sha256=digest)


def _put_in_force(lake: Path, manifest: ClubManifest) -> None:
    """Let readers see this export, then remove what the one before it had: nothing erased may stay behind."""
    file = manifest_file(lake, manifest.club_id)
    file.parent.mkdir(parents=True, exist_ok=True)
    write_whole(file, manifest.model_dump_json(indent=1))
    flush(file.parent)
    named = {lake / one.path for one in manifest.files}
    for pattern in (f"{manifest.club_id}.*.parquet", f".{manifest.club_id}.draft"):
        for old in set((lake / "log").glob(f"*/{bucket_of(manifest.club_id)}/**/{pattern}")) - named:
            old.unlink()
