"""What a build puts beside the log for its models to read: the settings, the words, and the build's own row."""

from datetime import date
from importlib.metadata import version
from typing import Any

import duckdb
import polars as pl

from models.settings import Settings
from models.words import ALL_WORD_LISTS
from sql.warehouse import utc_now


def provide_inputs(
    connection: duckdb.DuckDBPyConnection,
    settings: Settings,
    number: int,
    models_sha256: str = "",
    made_from: date | None = None,
) -> None:
    """Put the settings, the words and the build's own row beside the log, for the models to read."""
    build_row = {
        "number": number,
        "built_at": utc_now(),
        "software_version": version("halflong"),
        "settings": settings.model_dump_json(),
        "models_sha256": models_sha256,
        "made_from": made_from,
    }
    _create_table(connection, "log.settings", pl.DataFrame([settings.model_dump()]))
    _create_table(connection, "log.words", words_table())
    _create_table(connection, "log.build", pl.DataFrame([build_row], schema_overrides={"made_from": pl.Date}))


def words_table() -> pl.DataFrame:
    """Every word of every list with its rank, as the warehouse sees them."""
    rows: list[dict[str, Any]] = [
        {
            "list": words.name,
            "word": word.name,
            "rank": rank,
            "words_in_list": len(words.words),
            "is_ordered": words.is_ordered,
            "family": word.family,
            "meaning": word.meaning,
        }
        for words in ALL_WORD_LISTS
        for rank, word in enumerate(words.words, start=1)
    ]
    return pl.DataFrame(rows, infer_schema_length=None)


def _create_table(connection: duckdb.DuckDBPyConnection, table: str, frame: pl.DataFrame) -> None:
    connection.register("rows_to_store", frame)
    connection.execute(f"create table {table} as select * from rows_to_store")
    connection.unregister("rows_to_store")
