"""What is stored of each batch, as one number: it tells later whether a line or a refusal has changed, or is gone.

A table is summed up column by column. Columns that are empty throughout are left out, so that a column added by a
later migration leaves the checksums of earlier batches as they are. Withdrawing or accepting a batch leaves its
checksum as it is.
"""

import json
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from hashlib import sha256
from typing import Any

import duckdb
import polars as pl

from models.records import RECORDS

BY_COLUMN = "by column"
"""How checksums are made now. Those of batches that were stored before are `by row`, and stay so."""

BATCHES, REFUSALS = "batches", "refusals"
PARTS = {**dict.fromkeys(RECORDS, "line"), REFUSALS: "line, fault"}
"""The tables that hold something of a batch, each with what its rows of one batch are ordered by."""

NOT_STORED_WITH_IT = ("withdrawn_by", "withdrawn_at", "erased_at", "accepted_by", "accepted_at")
KEY = ("club_id", "batch")
LINES_AT_ONCE = 200_000

Key = tuple[str, int]


@dataclass
class _Stored:
    """What one batch has in each table: the digest of its rows, and how many lines these are."""

    digests: dict[str, str] = field(default_factory=dict)
    lines: int = 0
    refused_lines: int = 0

    def add(self, part: str, rows: pl.DataFrame) -> None:
        """Take in the rows that one table holds of the batch, in their order."""
        self.digests[part] = _digest_of_rows(rows)
        if part == REFUSALS:
            self.refused_lines = rows["line"].n_unique()
        else:
            self.lines += rows.height

    @property
    def checksum(self) -> str:
        return sha256(json.dumps(self.digests, sort_keys=True).encode()).hexdigest()


def checksum_row(batch: Mapping[str, Any], lines: pl.DataFrame, refusals: pl.DataFrame) -> dict[str, Any]:
    """The row of log.checksums for a batch with these lines and refusals, each in their order."""
    stored = _Stored({BATCHES: _digest_of_batch(batch)})
    for part, rows in ((batch["kind"], lines), (REFUSALS, refusals)):
        if rows.height:
            stored.add(part, rows)
    return _row((batch["club_id"], batch["batch"]), stored) | {"formula": BY_COLUMN}


def checksums_now(connection: duckdb.DuckDBPyConnection, log: str = "log") -> pl.DataFrame:
    """What the checksum of every batch would be now: club_id, batch, stored_sha256, lines, refused_lines.

    `log` is the schema, with its database where that is another. A batch that has lines but no record of its loading
    has a row as well.
    """
    known = connection.sql(f"select * from {log}.batches").pl()
    stored = {_key(row): _Stored({BATCHES: _digest_of_batch(row)}) for row in known.iter_rows(named=True)}
    for part in PARTS:
        for key, rows in _rows_by_batch(connection, log, part):
            stored.setdefault(key, _Stored()).add(part, rows)
    schema = {"club_id": pl.String, "batch": pl.Int64, "stored_sha256": pl.String}
    schema |= {"lines": pl.Int64, "refused_lines": pl.Int64}
    by_column = pl.DataFrame([_row(key, of_batch) for key, of_batch in stored.items()], schema=schema)
    by_row = _by_row(connection, log)
    return pl.concat([by_row, by_column.join(by_row, on=KEY, how="anti")]).sort(KEY)


def _by_row(connection: duckdb.DuckDBPyConnection, log: str) -> pl.DataFrame:
    """The same of the batches whose checksum was made by the formula of before."""
    found = connection.execute(f"select batch from {log}.checksums where formula <> '{BY_COLUMN}'").fetchall()
    batches = ", ".join(str(batch) for (batch,) in found) or "null"
    rows: pl.DataFrame = connection.sql(f"select * from {log}.checksums_by_row where batch in ({batches})").pl()
    return rows


def _key(row: Mapping[str, Any]) -> Key:
    return row["club_id"], row["batch"]


def _row(key: Key, stored: _Stored) -> dict[str, Any]:
    counts = {"lines": stored.lines, "refused_lines": stored.refused_lines}
    return dict(zip(KEY, key, strict=True)) | {"stored_sha256": stored.checksum} | counts


def _rows_by_batch(connection: duckdb.DuckDBPyConnection, log: str, part: str) -> Iterator[tuple[Key, pl.DataFrame]]:
    counts = connection.execute(f"select batch, count(*) from {log}.{part} group by batch order by batch").fetchall()
    for first, last in _stretches(counts):
        question = f"select * from {log}.{part} where batch between {first} and {last} order by batch, {PARTS[part]}"
        rows = connection.sql(question).pl()
        for (club_id, batch), of_batch in rows.partition_by(KEY, as_dict=True).items():
            yield (str(club_id), int(batch)), of_batch


def _stretches(counts: list[tuple[int, int]]) -> Iterator[tuple[int, int]]:
    """The first and the last of batches that are read at once: many small ones together, a large one alone."""
    waiting: list[int] = []
    lines = 0
    for batch, count in counts:
        if waiting and lines + count > LINES_AT_ONCE:
            yield waiting[0], waiting[-1]
            waiting, lines = [], 0
        waiting.append(batch)
        lines += count
    if waiting:
        yield waiting[0], waiting[-1]


def _digest_of_batch(row: Mapping[str, Any]) -> str:
    own = {name: value for name, value in row.items() if name not in NOT_STORED_WITH_IT and value is not None}
    return sha256(json.dumps(own, sort_keys=True, default=str).encode()).hexdigest()


def _digest_of_rows(rows: pl.DataFrame) -> str:
    made = sha256()
    for name in sorted(rows.columns):
        column = rows[name]
        if name not in KEY and column.null_count() < len(column):
            made.update(f"\0{name}\0{len(column)}\0".encode())
            for part in _bytes_of(column):
                made.update(part)
    return made.hexdigest()


def _bytes_of(column: pl.Series) -> Iterator[bytes]:
    """Which cells are empty, if any; then how long each text is and all texts, or the values as they lie in memory."""
    if column.null_count():
        yield column.is_null().to_numpy().tobytes()
    if column.dtype == pl.String:
        texts = column.fill_null("")
        yield texts.str.len_bytes().to_numpy().tobytes()
        yield str(texts.str.join("").item()).encode()
    else:
        values = column.to_physical()
        empty = False if column.dtype == pl.Boolean else 0
        yield values.fill_null(empty).to_numpy().tobytes()
