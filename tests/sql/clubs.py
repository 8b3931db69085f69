"""Small clubs in memory: rows as dicts, what a row does not say taken from the examples of its record."""

import math
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from datetime import datetime
from functools import cache
from hashlib import sha256
from typing import Any

import duckdb
import polars as pl

from models.records import EMPTY_IDENTITY, RECORDS, columns_of
from models.settings import Settings
from sql.accepting import mark_accepted
from sql.build_inputs import provide_inputs
from sql.catalogue import Model, models_in_order
from sql.log_book import mark_withdrawn, store_batch
from sql.making_tables import make_tables
from sql.warehouse import migrate

Row = dict[str, Any]

LOADED_AT = datetime.fromisoformat("2026-11-25T12:00:00")

REFUSAL_TYPES = {
    "line": pl.Int64,
    "fault": pl.Int64,
    "mends": pl.String,
    "session_date": pl.Date,
    "column_name": pl.String,
    "seen": pl.String,
    "expected": pl.String,
    "to_do": pl.String,
    "cells": pl.String,
}


def file_sha256(batch: int) -> str:
    """The fingerprint of the file that a batch came from: each from another."""
    return sha256(b"file %d" % batch).hexdigest()


def line_of(kind: str, row: Row) -> Row:
    """A whole line of the log: what `row` says, the examples of the required columns, and nothing else."""
    record = RECORDS[kind]
    line = record.model_validate(_examples(kind) | row).model_dump()
    return line | {name: EMPTY_IDENTITY[name] for name in record.identity if line[name] is None}


@cache
def _examples(kind: str) -> Row:
    return {column.name: column.example for column in columns_of(RECORDS[kind]) if column.is_required}


class Club:
    """A warehouse in memory. Batches are numbered from 1 in the order in which they are loaded."""

    def __init__(self, connection: duckdb.DuckDBPyConnection, settings: Settings) -> None:
        self.connection = connection
        self.settings = settings
        self.batches = 0

    def load(self, kind: str, *rows: Row, refused: Sequence[Row] = (), **batch: Any) -> int:
        """One batch of lines made whole; its number."""
        lines = [{"line": at, "mends": None} | line_of(kind, row) for at, row in enumerate(rows, start=2)]
        return self.store(kind, lines, refused, **batch)

    def store(self, kind: str, lines: Sequence[Row], refused: Sequence[Row], **batch: Any) -> int:
        """One batch of whole lines, each with `line` and `mends`; its number."""
        self.batches = batch.get("batch", self.batches + 1)
        frame = pl.DataFrame(lines, infer_schema_length=None) if lines else pl.DataFrame(schema={"line": pl.Int64})
        whole = self._batch(kind, len(lines), len({row["line"] for row in refused})) | batch
        store_batch(self.connection, whole, frame, _refusals(refused))
        return self.batches

    def withdraw(self, batch: int) -> None:
        mark_withdrawn(self.connection, batch, "tester", LOADED_AT)

    def accept(self, batch: int) -> None:
        mark_accepted(self.connection, batch, "tester", LOADED_AT)

    def neighbour(self, settings: Settings) -> "Club":
        """Another club in the same warehouse, as in a federation."""
        self.connection.register("one_row", pl.DataFrame([settings.model_dump()]))
        self.connection.execute("insert into log.settings by name select * from one_row")
        return Club(self.connection, settings)

    def build(self, *tables: str) -> "Club":
        """Make these tables and those that they read; without any, all."""
        make_tables(self.connection, _needed_for(tables) if tables else models_in_order())
        return self

    def rows(self, table: str, columns: str = "*", where: str = "true") -> list[Row]:
        """The rows of a built table, in the order of its grain."""
        answer = self.connection.execute(f"select {columns} from {table} where {where}")
        names = [column[0] for column in answer.description or ()]
        return [dict(zip(names, values, strict=True)) for values in answer.fetchall()]

    def row(self, table: str, columns: str = "*", where: str = "true") -> Row:
        """The only such row."""
        (row,) = self.rows(table, columns, where)
        return row

    def _batch(self, kind: str, accepted: int, refused: int) -> Row:
        return {
            "club_id": self.settings.club_id,
            "batch": self.batches,
            "kind": kind,
            "source": "file",
            "file_name": f"{kind}-{self.batches}.csv",
            "file_sha256": file_sha256(self.batches),
            "header": "",
            "taken": "",
            "lines_read": accepted + refused,
            "lines_accepted": accepted,
            "lines_refused": refused,
            "loaded_by": "tester",
            "loaded_at": LOADED_AT,
        }


@cache
def _needed_for(tables: tuple[str, ...]) -> tuple[Model, ...]:
    needed, models = set(tables), models_in_order()
    for model in reversed(models):
        if model.table in needed:
            needed |= model.reads
    return tuple(model for model in models if model.table in needed)


def _refusals(refused: Sequence[Row]) -> pl.DataFrame:
    said = {"fault": 1, "seen": "x", "expected": "a number", "to_do": "correct it", "cells": "[]"}
    return pl.DataFrame([said | row for row in refused], schema=REFUSAL_TYPES)


@contextmanager
def a_club(**settings: Any) -> Iterator[Club]:
    """An empty club with these settings, nothing loaded and nothing built."""
    with duckdb.connect(config={"threads": 1}) as connection:
        migrate(connection)
        club = Club(connection, Settings(**settings))
        provide_inputs(connection, club.settings, 1)
        yield club


@contextmanager
def a_trained_club(
    lines: Mapping[str, Sequence[Row]],
    grid: Mapping[str, Sequence[str]],
    *tables: str,
    kind: str = "sessions",
    **settings: Any,
) -> Iterator[Club]:
    """Right-handed players with their lines of 2 March 2026 and an even target for all, built as far as `tables`.

    Feeders stand back (B), in the middle (M) and near the net (N), each in the centre. Lines are the player's blocks.
    """
    with a_club(**settings) as club:
        club.load("players", *({"player": code} for code in lines))
        club.load("setups", *({"setup": code, "x_cm": x, "y_cm": 0} for code, x in (("B", -20), ("M", 60), ("N", 120))))
        club.load("targets", *({"dimension": d, "value": v, "share": 1} for d, words in grid.items() for v in words))
        club.load(
            kind, *(_drill(line, code, at) for code, own in lines.items() for at, line in enumerate(own, start=1))
        )
        yield club.build(*tables)


def _drill(line: Row, player: str, block: int) -> Row:
    return {"setup": "B", "player": player, "block": block} | line


def nearly(expected: Sequence[Row], actual: Sequence[Row], tolerance: float) -> list[Row]:
    """The actual rows, with those numbers that are as near as that to the expected ones put in their place."""
    near = [
        {name: _nearly(wanted.get(name), seen, tolerance) for name, seen in row.items()}
        for wanted, row in zip(expected, actual, strict=False)
    ]
    return near + list(actual[len(near) :])


def _nearly(wanted: Any, seen: Any, tolerance: float) -> Any:
    are_numbers = isinstance(wanted, float) and isinstance(seen, float)
    return wanted if are_numbers and math.isclose(wanted, seen, rel_tol=0, abs_tol=tolerance) else seen
