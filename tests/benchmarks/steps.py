"""The steps that are measured, each on files and a data folder that are there."""

import sqlite3
from contextlib import closing
from pathlib import Path
from unittest.mock import patch

import duckdb
import pandas as pd

from ingest.loading import Incoming, load
from models.records import BallLine, columns_of
from models.shapes import OneOf, Text, WholeNumber
from sql.build import build
from sql.folder import DataFolder
from sql.literals import literal
from sql.warehouse import held
from tests.benchmarks.made_logs import DIALECTS, PLAYERS, TODAY


def bare(files: list[Path], database: Path) -> None:
    """DuckDB's own reader into a table of a file: no screening, no log."""
    with duckdb.connect(str(database)) as connection:
        for place, file in enumerate(files):
            connection.execute(f"create table t{place} as select * from read_csv({literal(file)})")


def load_only(folder: Path, files: list[Path]) -> None:
    """Read, screen and store, without publishing."""
    with patch("ingest.loading.build"):
        load_and_publish(folder, files)


def load_and_publish(folder: Path, files: list[Path]) -> None:
    """What `halflong load` does."""
    load(DataFolder(folder), map(Incoming.from_path, files), "benchmark", today=TODAY)


def publish(folder: Path, is_full: bool) -> None:
    """What `halflong build` does, with or without `--full`."""
    with held(DataFolder(folder)):
        build(DataFolder(folder), is_full=is_full)


def pandas_and_sqlite(files: list[Path], database: Path) -> None:
    """The same checks of ball lines as one would write them in pandas, each accepted line into SQLite."""
    for place, file in enumerate(files):
        dialect = DIALECTS[place % len(DIALECTS)]
        table = pd.read_csv(file, sep=dialect.separator, dtype=str, keep_default_na=False)
        is_right = pd.Series(data=True, index=table.index)
        for column in columns_of(BallLine):
            if column.name in table:
                is_right &= _is_right(table[column.name].str.strip(), column.shape, column.is_required)
        players = {f"P{number:03}" for number in range(PLAYERS)}
        is_right &= table["player"].isin(players)
        days = pd.to_datetime(table["session_date"], format=dialect.day, errors="coerce")
        is_right &= days.notna() & (days <= pd.Timestamp(TODAY))
        kept = table[is_right].assign(session_date=days, tempo_bpm=_numbers(table["tempo_bpm"]))
        kept = kept[~kept.duplicated(["session_date", "player", "block", "ball"], keep=False)]
        with closing(sqlite3.connect(database)) as connection:
            kept.to_sql("balls", connection, if_exists="append", index=False)


def _is_right(texts: "pd.Series[str]", shape: object, is_required: bool) -> "pd.Series[bool]":
    if isinstance(shape, OneOf):
        is_right = texts.str.lower().str.replace("[ -]", "_", regex=True).isin(shape.words.names)
    elif isinstance(shape, WholeNumber):
        is_right = _numbers(texts).between(shape.minimum, shape.maximum)
    elif isinstance(shape, Text):
        is_right = texts.str.fullmatch(shape.pattern)
    else:
        is_right = texts != ""
    return is_right if is_required else is_right | (texts == "")


def _numbers(texts: "pd.Series[str]") -> "pd.Series[float]":
    return pd.to_numeric(texts.str.replace(",", ".", regex=False), errors="coerce")
