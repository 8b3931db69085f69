"""What tables would say if something were otherwise: made in memory, of the log as it is, and forgotten."""

from collections.abc import Iterable, Iterator, Mapping
from contextlib import contextmanager

import duckdb
import polars as pl

from models.records import RECORDS
from models.settings import Settings
from sql.build import THREADS
from sql.build_inputs import provide_inputs
from sql.catalogue import models_in_order, models_needed
from sql.folder import DataFolder
from sql.judging import judgements_in_order
from sql.literals import literal
from sql.making_tables import make_judgements, make_tables
from sql.same_tables import OF_THE_BUILD


def tried(
    folder: DataFolder, settings: Settings, tables: Iterable[str], lines: Mapping[str, pl.DataFrame]
) -> dict[str, pl.DataFrame]:
    """Tables of the SQL models, by name, as a build would make them with these settings, these lines laid over those
    in force.

    `lines`: those accepted of each kind. Only while the folder is held. Raises BuildFailed.
    """
    wanted = tuple(tables)
    with _trial(folder, settings, lines) as connection:
        make_tables(connection, models_needed(wanted))
        return {table: connection.sql(f"from {table}").pl() for table in wanted}


def rows_otherwise(folder: DataFolder, settings: Settings) -> dict[str, int]:
    """How many rows of each report would be others with these settings than in the publication in force.

    Only while the folder is held, and where something is published. Raises BuildFailed.
    """
    models, judgements = models_in_order(), judgements_in_order()
    with _trial(folder, settings, {}) as connection:
        make_tables(connection, models)
        make_judgements(connection, judgements)
        connection.execute(f"attach {literal(folder.publication_in_force())} as last (read_only)")
        reports = [one.table for one in (*models, *judgements) if one.schema == "report"]
        return {table: _otherwise(connection, table) for table in reports if table not in OF_THE_BUILD}


def _otherwise(connection: duckdb.DuckDBPyConnection, table: str) -> int:
    both = ((table, f"last.{table}"), (f"last.{table}", table))
    counts = [f"(select count(*) from (from {one} except all from {other}))" for one, other in both]
    ((rows,),) = connection.execute(f"select greatest({', '.join(counts)})").fetchall()
    return int(rows)


@contextmanager
def _trial(
    folder: DataFolder, settings: Settings, lines: Mapping[str, pl.DataFrame]
) -> Iterator[duckdb.DuckDBPyConnection]:
    with duckdb.connect(config={"threads": THREADS}) as connection:
        connection.execute(f"attach {literal(folder.warehouse_file)} as warehouse (read_only)")
        connection.execute("create schema log")
        _see_log(connection, settings.club_id, lines)
        provide_inputs(connection, settings, 0)
        yield connection


def _see_log(connection: duckdb.DuckDBPyConnection, club_id: str, lines: Mapping[str, pl.DataFrame]) -> None:
    tables = connection.execute(
        "select table_name from information_schema.tables where table_catalog = 'warehouse' and table_schema = 'log'"
    ).fetchall()
    for (table,) in tables:
        connection.execute(f"create view log.{table} as select * from warehouse.log.{table}")
    for kind, accepted in lines.items():
        same_line = " and ".join(f'n."{column}" = o."{column}"' for column in RECORDS[kind].identity)
        connection.register(f"new_{kind}", accepted.with_columns(pl.lit(club_id).alias("club_id")))
        connection.execute(
            f"create or replace view log.{kind}_in_force as select * from warehouse.log.{kind}_in_force as o"
            f" anti join new_{kind} as n on {same_line} union all by name select * from new_{kind}"
        )
