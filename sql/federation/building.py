"""A federation's build: what lies in a lake, made into tables by an engine, compared, and put in force as a whole."""

import os
from collections.abc import Sequence
from pathlib import Path

import duckdb

from models.settings import Settings
from sql.build_inputs import provide_inputs
from sql.catalogue import models_in_order
from sql.federation.comparing import require_same
from sql.federation.engines import DUCKDB, require_engine
from sql.federation.judging_apart import Types
from sql.federation.on_duckdb import MOST_LINES, Done, build_on_duckdb
from sql.federation.portable import require_portable
from sql.federation.publication import ABOUT, FederatedClub, Federation, next_build
from sql.folder import write_whole
from sql.judging import judgements_in_order
from sql.lake.exporting import log_version
from sql.lake.manifest import ClubManifest, clubs_in
from sql.made_with import made_with
from sql.making_tables import make_judgements, make_tables
from sql.warehouse import migrate, utc_now


def build_federation(
    engine: str,
    lake: Path,
    out: Path,
    *,
    check: int = 0,
    processes: int | None = None,
    at_once: int = MOST_LINES,
    done: Done = lambda *_: None,
) -> Federation:
    """Make and publish the tables of all clubs in a lake.

    `engine` is duckdb, spark (on this machine), spark://HOST:PORT or sc://HOST:PORT. DuckDB takes clubs of `at_once`
    lines together. Of `check` clubs all is made once more by DuckDB and compared before anything is published. Raises
    BrokenModel, LakeProblem, EngineProblem, SaysOtherwise, UnknownEngine, BuildFailed or FolderProblem.
    """
    require_engine(engine)
    lake, types = lake.resolve(), portable_types()
    clubs = clubs_in(lake, log_version())
    with next_build(out.resolve()) as (number, draft):
        if engine == DUCKDB:
            workers = processes or os.cpu_count() or 1
            build_on_duckdb(lake, clubs, draft, number, workers, done, at_once)
        else:
            from sql.federation.on_spark import build_on_spark  # noqa: PLC0415 (of an optional dependency)

            build_on_spark(engine, lake, clubs, draft, types, done)
        if check:
            require_same(lake, clubs, check, draft, number, types)
        return _noted(draft, number, engine, clubs)


def _noted(draft: Path, number: int, engine: str, clubs: Sequence[ClubManifest]) -> Federation:
    software_version, _, models_sha256 = made_with(Settings(), models_in_order(), judgements_in_order())
    about = Federation(
        number=number,
        built_at=utc_now().isoformat(timespec="seconds"),
        engine=engine,
        software_version=software_version,
        models_sha256=models_sha256,
        clubs=tuple(
            FederatedClub(club_id=club.club_id, club_name=club.settings.club_name, exported_at=str(club.exported_at))
            for club in clubs
        ),
    )
    write_whole(draft / ABOUT, about.model_dump_json(indent=1))
    return about


def portable_types() -> Types:
    """The types of every published table, from a club without a log; every model keeps to the portable subset.

    Raises BrokenModel.
    """
    with duckdb.connect(config={"threads": 1}) as connection:
        migrate(connection)
        provide_inputs(connection, Settings(), 1)
        make_tables(connection, models_in_order())
        require_portable(connection, models_in_order())
        make_judgements(connection, judgements_in_order())
        rows = connection.execute(
            "select schema_name, table_name, column_name, data_type from duckdb_columns()"
            " where schema_name in ('core', 'report') order by column_index"
        ).fetchall()
    types: Types = {}
    for schema, table, column, data_type in rows:
        types.setdefault(f"{schema}.{table}", {})[column] = data_type
    return types
