"""A build: every SQL model made into a table of a new published file, which then takes the place of the old one."""

import re
from dataclasses import dataclass
from pathlib import Path
from shutil import copyfile

import duckdb

from models.settings import Settings
from sql.build_inputs import provide_inputs
from sql.carrying import IN_FORCE, Carried, NotCarried, carried
from sql.catalogue import models_in_order
from sql.digests import forget_digest, note_digest
from sql.disk import disk_told, flush, require_room
from sql.folder import DataFolder
from sql.holding import owe_publication
from sql.judging import judgements_in_order
from sql.literals import literal
from sql.made_with import MADE_WITH, made_with
from sql.making_tables import BuildFailed, Progress, make_judgements, make_tables
from sql.published_file import read_only
from sql.same_tables import different_tables
from sql.warehouse import warehouse

KEPT_PUBLICATIONS = 2
"""The one in force, and the one before it for readers that have just read its name."""

GROWTH = 2
"""A build is expected to write at most so many times the size of the warehouse or of the last publication."""

THREADS = 1
"""Tables come out the same to the last bit with more, and hardly sooner; but rows of a judgement are read in order."""

STATE_OF_THE_LOG = (
    "select b.batch, b.withdrawn_at, b.accepted_at, c.stored_sha256 from log.batches as b"
    " left join log.checksums as c on b.club_id = c.club_id and b.batch = c.batch order by b.batch"
)
STATE_PUBLISHED = "select batch, withdrawn_at, accepted_at, stored_sha256 from core.batches order by batch"


@dataclass(frozen=True)
class Publication:
    """A build that is in force now, and what its warning checks had to say."""

    number: int
    file: Path
    warnings: tuple[str, ...]


def build(folder: DataFolder, progress: Progress = lambda *_: None, *, is_full: bool = False) -> Publication:
    """Make and publish every derived table; `is_full` makes all of it anew, where else earlier weeks are carried over.

    Only while the folder is held. Raises BuildFailed or FolderProblem.
    """
    settings = folder.settings()
    with warehouse(folder):
        pass  # Opening it runs the migrations, which the read-only attachment below cannot do.
    owe_publication(folder)
    require_room(folder.path, _room_needed(folder, settings), then="run 'halflong build'")
    folder.published.mkdir(exist_ok=True)
    number = max([0, *_numbers(folder)]) + 1
    draft = folder.published / "draft.duckdb"
    _remove(draft)
    try:
        with disk_told(folder.published):
            made = made_with(settings, models_in_order(), judgements_in_order())
            carry = None if is_full else carried(folder, made)
            warnings = _filled(draft, folder, settings, number, progress, carry)
            publication = _publish(draft, folder, number)
    finally:
        _remove(draft)  # A full disk has room again without it.
    return Publication(number, publication, warnings)


def different_from_full(folder: DataFolder, progress: Progress = lambda *_: None) -> tuple[str, ...]:
    """The tables of the publication in force that a full build would make otherwise; none where it was a full one.

    Only while the folder is held, and where the publication is current.
    """
    published = folder.publication_in_force()
    if published is None:
        return ()
    with read_only(published) as connection:
        if connection.execute("select made_from from core.this_build").fetchall() == [(None,)]:
            return ()
    draft = folder.published / "draft.duckdb"
    try:
        fill(draft, folder, folder.settings(), int(published.stem), progress)
        return different_tables(draft, published)
    finally:
        _remove(draft)


def _publish(draft: Path, folder: DataFolder, number: int) -> Path:
    publication = folder.published / f"{number:06d}.duckdb"
    flush(draft)
    note_digest(publication, written_at=draft)
    draft.replace(publication)
    flush(folder.published)
    folder.put_in_force(publication)
    kept = 1 if folder.erased_file.exists() else KEPT_PUBLICATIONS
    for old in sorted(_numbers(folder))[:-kept]:
        _remove(folder.published / f"{old:06d}.duckdb")
    folder.erased_file.unlink(missing_ok=True)
    folder.owed_file.unlink(missing_ok=True)
    return publication


def _room_needed(folder: DataFolder, settings: Settings) -> int:
    """Bytes: the new publication with what DuckDB writes on the way to it, and what is to stay free."""
    before = folder.publication_in_force()
    sizes = [file.stat().st_size for file in (folder.warehouse_file, before) if file and file.exists()]
    return GROWTH * max(sizes) + settings.spare_room_mb * 1_000_000


def is_current(folder: DataFolder) -> bool:
    """The publication in force says what the log and the settings say now. Only while the folder is held."""
    publication = folder.publication_in_force()
    if publication is None or not publication.exists() or folder.erased_file.exists():
        return False
    with warehouse(folder) as connection:
        logged = connection.execute(STATE_OF_THE_LOG).fetchall()
    try:
        with read_only(publication) as connection:
            published = connection.execute(STATE_PUBLISHED).fetchall()
            made = connection.execute(MADE_WITH).fetchall()
    except duckdb.Error:
        return False  # Damaged, or made by a version that published other columns.
    return logged == published and made == [made_with(folder.settings(), models_in_order(), judgements_in_order())]


def _numbers(folder: DataFolder) -> list[int]:
    return [int(file.stem) for file in folder.published.glob("*.duckdb") if re.fullmatch(r"[0-9]{6}", file.stem)]


def _remove(file: Path) -> None:
    file.unlink(missing_ok=True)
    file.with_suffix(".duckdb.wal").unlink(missing_ok=True)
    forget_digest(file)


def _filled(
    draft: Path, folder: DataFolder, settings: Settings, number: int, progress: Progress, carry: Carried | None
) -> tuple[str, ...]:
    """The draft filled, all of it anew where it cannot be carried over after all; the warnings."""
    if carry:
        try:
            return fill(draft, folder, settings, number, progress, carry)
        except (NotCarried, BuildFailed, duckdb.Error):  # What is told of a failure is told of a full build.
            _remove(draft)
    return fill(draft, folder, settings, number, progress)


def fill(
    draft: Path,
    folder: DataFolder,
    settings: Settings,
    number: int,
    progress: Progress = lambda *_: None,
    carry: Carried | None = None,
) -> tuple[str, ...]:
    """Make all tables in a new file that nobody reads yet; the warnings. Raises BuildFailed, or NotCarried."""
    models, judgements = models_in_order(), judgements_in_order()
    if carry:
        copyfile(carry.last, draft)
    connection = duckdb.connect(str(draft), config={"threads": THREADS})
    connection.execute("set enable_progress_bar = false")  # It would be drawn over ours.
    try:
        _open_log(connection, folder.warehouse_file, carry)
        *_, models_sha256 = made_with(settings, models, judgements)
        provide_inputs(connection, settings, number, models_sha256, carry.since if carry else None)
        warnings = make_tables(connection, models, progress, carry)
        warnings += make_judgements(connection, judgements)
        connection.execute("drop schema log cascade")
        connection.execute(f"detach warehouse{'; detach last' if carry else ''}")
        connection.execute("checkpoint")
    finally:
        connection.close()
    return warnings


def _open_log(connection: duckdb.DuckDBPyConnection, warehouse_file: Path, carry: Carried | None) -> None:
    """Let `log.x` mean the warehouse's table x for as long as the build lasts; of lines, those that are not carried."""
    if carry:
        connection.execute(f"attach {literal(carry.last)} as last (read_only)")
    connection.execute(f"attach {literal(warehouse_file)} as warehouse (read_only)")
    connection.execute("create schema log")
    tables = connection.execute(
        "select table_name from information_schema.tables where table_catalog = 'warehouse' and table_schema = 'log'"
    ).fetchall()
    for (table,) in tables:
        since = f" where session_date >= date '{carry.since}'" if carry and f"log.{table}" in IN_FORCE else ""
        connection.execute(f"create view log.{table} as select * from warehouse.log.{table}{since}")
