"""The judgements of some clubs, made wherever their tables can be read: on a worker of an engine, or here."""

from io import BytesIO
from pathlib import Path

import duckdb
import polars as pl
import pyarrow as pa

from models.settings import Settings
from sql.build import THREADS
from sql.catalogue import Model, models_in_order
from sql.judging import judgements_in_order
from sql.literals import literal, quoted
from sql.making_tables import make_judgements
from sql.same_tables import OF_THE_BUILD

Types = dict[str, dict[str, str]]
"""The columns of each published table with their types, by DuckDB's names."""

BUCKET = "bucket"
PAYLOAD = "`table` string, rows binary"
"""A judged table of some clubs: its name, and its rows as an Arrow file."""


def judge_bucket(published: str, types: Types, clubs: pa.Table) -> pa.Table:
    """Judge the clubs of one bucket by the tables of the first stage that are published below a folder.

    `types` are those of the published tables; `clubs` has `bucket` and `settings` (JSON); gives PAYLOAD.
    """
    settings = [Settings.model_validate_json(text) for text in clubs.column("settings").to_pylist()]
    (bucket,) = set(clubs.column(BUCKET).to_pylist())
    with duckdb.connect(config={"threads": THREADS}) as connection:
        connection.execute("create schema log; create schema core; create schema report")
        frame = pl.DataFrame([one.model_dump() for one in settings])
        connection.register("settings_of_clubs", frame)
        connection.execute("create table log.settings as select * from settings_of_clubs order by club_id")
        for model in models_in_order():
            if model.table not in OF_THE_BUILD:
                connection.execute(_rows_of_bucket(Path(published), model, bucket, types[model.table]))
        make_judgements(connection, judgements_in_order())
        tables = [judgement.table for judgement in judgements_in_order()]
        return pa.table({"table": tables, "rows": [_packed(connection, table) for table in tables]})


def _rows_of_bucket(published: Path, model: Model, bucket: str, types: dict[str, str]) -> str:
    """In the order of the grain, as a build by DuckDB stores them: judgements read rows in order."""
    places = [published / model.table / f"{BUCKET}={bucket}", published / model.table]
    found = next((place for place in places if any(place.glob("*.parquet"))), None)
    if found is None:
        return f"create table {model.table} ({', '.join(f'{quoted(name)} {kind}' for name, kind in types.items())})"
    source = f"read_parquet({literal(found / '*.parquet')}, hive_partitioning = false)"
    return f"create table {model.table} as select * from {source} order by {', '.join(model.grain)}"


def _packed(connection: duckdb.DuckDBPyConnection, table: str) -> bytes:
    file = BytesIO()
    connection.sql(f"select * from {table}").pl().write_ipc(file, compat_level=pl.CompatLevel.oldest())
    return file.getvalue()
