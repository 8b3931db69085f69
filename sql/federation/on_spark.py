"""A federation built by Apache Spark: the same SQL in its dialect, the judgements bucket by bucket on its workers."""

from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from io import BytesIO
from pathlib import Path
from typing import Any

import polars as pl
import pyarrow as pa

from models.refusal import Refused
from sql.build_inputs import words_table
from sql.catalogue import Model, models_in_order
from sql.federation.engines import EngineProblem
from sql.federation.in_spark_words import in_spark_words, spark_type
from sql.federation.judging_apart import BUCKET, PAYLOAD, Types, judge_bucket
from sql.federation.on_duckdb import ONE_FOR_ALL, Done
from sql.federation.open_lake import LAKE_TABLES, lake_types, views_of
from sql.judging import judgements_in_order
from sql.lake.manifest import ClubManifest, bucket_of
from sql.same_tables import OF_THE_BUILD

Session = Any
"""A session of Spark, whose package is there only where a federation is built on it."""


def build_on_spark(
    engine: str, lake: Path, clubs: Sequence[ClubManifest], into: Path, types: Types, done: Done
) -> None:
    """Make every published table of all clubs as Parquet below `into`, which every worker must see under this path.

    Raises EngineProblem.
    """
    with _told(engine):
        session = _session(engine)
        try:
            _open_lake(session, lake, clubs)
            models = [model for model in models_in_order() if model.table not in OF_THE_BUILD]
            for at, model in enumerate(models):
                done(at, len(models), model.table)
                _make(session, model, into, types[model.table])
            _judge(session, clubs, into, types, done)
        finally:
            session.stop()


@contextmanager
def _told(engine: str) -> Iterator[None]:
    """What Spark raises, as a sentence."""
    try:
        yield
    except Refused:
        raise
    except Exception as error:
        raise EngineProblem(
            f"the engine '{engine}' failed ({_reason(error)[:300]}). Nothing was published.",
            to_do="See that it runs, can be reached from here, and sees lake and output under the same paths.",
        ) from error


def _reason(error: Exception) -> str:
    """What stands behind an error, as Spark's driver tells it last; the first line of any other."""
    lines = [line.strip() for line in str(error).splitlines() if line.strip()]
    causes = [line.removeprefix("Caused by: ") for line in lines if line.startswith("Caused by: ")]
    return [*causes[-1:], *lines, type(error).__name__][0]


def _session(engine: str) -> Session:
    from pyspark.sql import SparkSession  # noqa: PLC0415 (an optional dependency)

    builder = SparkSession.builder.appName("halflong")
    builder = builder.remote(engine) if engine.startswith("sc://") else builder.master(_master(engine))
    for name, value in SETTINGS.items():
        builder = builder.config(name, value)
    return builder.getOrCreate()


SETTINGS = {
    "spark.sql.session.timeZone": "UTC",
    "spark.sql.timestampType": "TIMESTAMP_NTZ",
    "spark.sql.execution.arrow.pyspark.enabled": "true",
    "spark.sql.parquet.outputTimestampType": "TIMESTAMP_MICROS",
    "spark.sql.shuffle.partitions": "16",  # Before it joins small ones; 200 by itself, most of them empty.
    "spark.ui.enabled": "false",
    "spark.ui.showConsoleProgress": "false",
}


def _master(engine: str) -> str:
    return "local[*]" if engine == "spark" else engine


def _open_lake(session: Session, lake: Path, clubs: Sequence[ClubManifest]) -> None:
    for table in LAKE_TABLES:
        files = [str(lake / file.path) for club in clubs for file in club.files if file.table == table]
        schema = ", ".join(f"`{name}` {spark_type(kind)}" for name, kind in lake_types(table).items())
        rows = session.read.schema(schema).parquet(*files) if files else session.createDataFrame([], schema)
        rows.createOrReplaceTempView(f"lake__{table}")
        for view, query in views_of(table, f"lake__{table}").items():
            session.sql(in_spark_words(query)).createOrReplaceTempView(f"log__{view}")
    settings = pl.DataFrame([club.settings.model_dump() for club in clubs])
    session.createDataFrame(settings.to_arrow()).createOrReplaceTempView("log__settings")
    session.createDataFrame(words_table().to_arrow()).createOrReplaceTempView("log__words")
    buckets = [(club.club_id, _bucket(club)) for club in clubs]
    session.createDataFrame(buckets, f"club_id string, {BUCKET} string").createOrReplaceTempView("buckets")


def _make(session: Session, model: Model, into: Path, types: dict[str, str]) -> None:
    """Write a model's rows, and let later models read what was written."""
    columns = ", ".join(f"cast(m.`{name}` as {spark_type(kind)}) as `{name}`" for name, kind in types.items())
    place = str(into / model.table)
    made = f"({in_spark_words(model.query)}) as m"
    if model.table in ONE_FOR_ALL:
        session.sql(f"select {columns} from {made}").coalesce(1).write.parquet(place)
    else:
        rows = session.sql(f"select {columns}, b.{BUCKET} from {made} inner join buckets as b on m.club_id = b.club_id")
        rows.repartition(BUCKET).write.partitionBy(BUCKET).parquet(place)
    schema = ", ".join(f"`{name}` {spark_type(kind)}" for name, kind in types.items())
    written = session.read.schema(f"{schema}, {BUCKET} string" if model.table not in ONE_FOR_ALL else schema)
    written.parquet(place).createOrReplaceTempView(model.table.replace(".", "__"))


def _judge(session: Session, clubs: Sequence[ClubManifest], into: Path, types: Types, done: Done) -> None:
    """Judge bucket by bucket, wherever a worker is free, then write the rows of each judged table."""
    done(0, 1, "judgements")
    rows = [(_bucket(club), club.settings.model_dump_json()) for club in clubs]
    apart = session.createDataFrame(rows, f"{BUCKET} string, settings string").repartition(len(rows), BUCKET)
    judge = _judge_of(str(into), types)
    payload = str(into / "payload")
    apart.groupBy(BUCKET).applyInArrow(judge, PAYLOAD).write.parquet(payload)
    judged = session.read.schema(PAYLOAD).parquet(payload)
    for contract in judgements_in_order():
        columns = types[contract.table]
        schema = ", ".join(f"`{name}` {spark_type(kind)}" for name, kind in columns.items())
        rows_of = judged.where(judged["table"] == contract.table).mapInArrow(_unpacked, schema)
        rows_of.write.parquet(str(into / contract.table))


def _bucket(club: ClubManifest) -> str:
    return bucket_of(club.club_id).removeprefix(f"{BUCKET}=")


def _judge_of(published: str, types: Types) -> Callable[[pa.Table], pa.Table]:
    return lambda clubs: judge_bucket(published, types, clubs)


def _unpacked(batches: Iterator[pa.RecordBatch]) -> Iterator[pa.RecordBatch]:
    for batch in batches:
        for packed in batch.column("rows").to_pylist():
            yield from pl.read_ipc(BytesIO(packed)).to_arrow(compat_level=pl.CompatLevel.oldest()).to_batches()
