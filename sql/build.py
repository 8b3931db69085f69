"""A build: every SQL model made into a table of a new published file, which then takes the place of the old one."""

import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from importlib.metadata import version
from pathlib import Path

import duckdb
import polars as pl

from models.refusal import Refused
from models.settings import Settings
from sql.build_inputs import provide_inputs
from sql.catalogue import Check, Contract, Model, models_in_order
from sql.digests import forget_digest, note_digest
from sql.disk import disk_told, flush, require_room
from sql.folder import DataFolder
from sql.holding import owe_publication
from sql.judging import Judgement, all_evidence, judgements_in_order
from sql.literals import literal
from sql.published_file import read_only
from sql.warehouse import few_transactions, warehouse

KEPT_PUBLICATIONS = 2
"""The one in force, and the one before it for readers that have just read its name."""

GROWTH = 2
"""A build is expected to write at most so many times the size of the warehouse or of the last publication."""

ROWS_IN_TRANSACTION = 20_000
"""Enough for all tables of a small club's week together; a table of more is written in a transaction of its own."""

THREADS = 1
"""Tables come out the same to the last bit with more, and hardly sooner; but rows of a judgement are read in order."""

STATE_OF_THE_LOG = (
    "select b.batch, b.withdrawn_at, c.stored_sha256 from log.batches as b"
    " left join log.checksums as c on b.club_id = c.club_id and b.batch = c.batch order by b.batch"
)
STATE_PUBLISHED = "select batch, withdrawn_at, stored_sha256 from core.batches order by batch"

Progress = Callable[[int, int, str], None]


class BuildFailed(Refused):
    """A model broke its contract or a check that stops; what was published before stays in force."""


@dataclass(frozen=True)
class Publication:
    """A build that is in force now, and what its warning checks had to say."""

    number: int
    file: Path
    warnings: tuple[str, ...]


def build(folder: DataFolder, progress: Progress = lambda *_: None) -> Publication:
    """Make and publish every derived table. Only while the folder is held. Raises BuildFailed or FolderProblem."""
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
            warnings = _fill(draft, folder, settings, number, progress)
            publication = _publish(draft, folder, number)
    finally:
        _remove(draft)  # A full disk has room again without it.
    return Publication(number, publication, warnings)


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
            made_with = connection.execute("select software_version, settings from report.build").fetchall()
    except duckdb.Error:
        return False  # Damaged, or made by a version that published other columns.
    return logged == published and made_with == [(version("halflong"), folder.settings().model_dump_json())]


def _numbers(folder: DataFolder) -> list[int]:
    return [int(file.stem) for file in folder.published.glob("*.duckdb") if re.fullmatch(r"[0-9]{6}", file.stem)]


def _remove(file: Path) -> None:
    file.unlink(missing_ok=True)
    file.with_suffix(".duckdb.wal").unlink(missing_ok=True)
    forget_digest(file)


def _fill(draft: Path, folder: DataFolder, settings: Settings, number: int, progress: Progress) -> tuple[str, ...]:
    connection = duckdb.connect(str(draft), config={"threads": THREADS})
    try:
        _open_log(connection, folder.warehouse_file)
        provide_inputs(connection, settings, number)
        warnings = make_tables(connection, models_in_order(), progress)
        warnings += make_judgements(connection, judgements_in_order())
        connection.execute("drop schema log cascade")
        connection.execute("detach warehouse")
        connection.execute("checkpoint")
    finally:
        connection.close()
    return warnings


def _open_log(connection: duckdb.DuckDBPyConnection, warehouse_file: Path) -> None:
    """Let `log.x` mean the warehouse's table x, for as long as the build lasts."""
    connection.execute(f"attach {literal(warehouse_file)} as warehouse (read_only)")
    connection.execute("create schema log")
    tables = connection.execute(
        "select table_name from information_schema.tables where table_catalog = 'warehouse' and table_schema = 'log'"
    ).fetchall()
    for (table,) in tables:
        connection.execute(f"create view log.{table} as select * from warehouse.log.{table}")


def make_tables(
    connection: duckdb.DuckDBPyConnection, models: tuple[Model, ...], progress: Progress = lambda *_: None
) -> tuple[str, ...]:
    """Make each model's table, hold it to its header and its checks; the warnings. Raises BuildFailed."""
    warnings: list[str] = []
    for schema in sorted({model.schema for model in models}):
        connection.execute(f"create schema if not exists {schema}")
    with few_transactions(connection, ROWS_IN_TRANSACTION) as written:
        for done, model in enumerate(models):
            progress(done, len(models), model.table)
            written(_make_from(connection, model, f"({model.query})"))
            warnings += run_checks(connection, model)
    progress(len(models), len(models), "judgements")
    return tuple(warnings)


def make_judgements(connection: duckdb.DuckDBPyConnection, judgements: tuple[Judgement, ...]) -> tuple[str, ...]:
    """Make the second stage's tables from those of the first; the warnings. Raises BuildFailed."""
    evidence = all_evidence(connection, judgements)
    warnings: list[str] = []
    with few_transactions(connection, ROWS_IN_TRANSACTION) as written:
        for judgement in judgements:
            rows = pl.concat([judgement.judge(of_club).select(*judgement.columns) for of_club in evidence])
            connection.register("rows_to_store", rows)
            written(_make_from(connection, judgement, "rows_to_store"))
            connection.unregister("rows_to_store")
            warnings += run_checks(connection, judgement)
    return tuple(warnings)


def _make_from(connection: duckdb.DuckDBPyConnection, model: Contract, source: str) -> int:
    """Make a table in the order of its grain, with the comments of its header; its rows. Raises BuildFailed."""
    try:
        ordered = f"select * from {source} order by {', '.join(model.grain)}"
        ((rows,),) = connection.execute(f"create table {model.table} as {ordered}").fetchall()
    except duckdb.Error as error:
        raise BuildFailed(f"{model.table}: {error}") from error
    columns = [row[0] for row in connection.execute(f"describe {model.table}").fetchall()]
    if columns != list(model.columns):
        raise BuildFailed(f"{model.table}: its header names {list(model.columns)}, its query gives {columns}.")
    connection.execute("; ".join(_comments(model)))
    return int(rows)


def _comments(model: Contract) -> Iterator[str]:
    yield f"comment on table {model.table} is {literal(model.about)}"
    for column, meaning in model.columns.items():
        yield f'comment on column {model.table}."{column}" is {literal(meaning)}'


def run_checks(connection: duckdb.DuckDBPyConnection, model: Contract) -> list[str]:
    """Hold a published table to its grain and its checks; the warnings. Raises BuildFailed."""
    grain = ", ".join(model.grain)
    is_empty = " or ".join(f"{key} is null" for key in model.grain)
    keys = f"select {grain} from {model.table} group by {grain} having count(*) > 1 or {is_empty} limit 3"
    if offending := connection.execute(keys).fetchall():
        fault = "an empty key in" if None in offending[0] else "more than one row for"
        raise BuildFailed(f"{model.table}: {fault} {grain}: {offending}")
    return [warning for check in model.checks if (warning := _broken(connection, model, check))]


def _broken(connection: duckdb.DuckDBPyConnection, model: Contract, check: Check) -> str | None:
    grain = ", ".join(model.grain)
    question = f"select {grain} from {model.table} where not ({check.condition}) limit 3"
    offending = connection.execute(question).fetchall()
    if not offending:
        return None
    sentence = f"{model.table}: expected {check.condition}; not so for {grain} = {offending}"
    if check.severity == "stop":
        raise BuildFailed(sentence)
    return sentence
