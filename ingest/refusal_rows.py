"""Refusals as the log keeps them: which line, of which day, and which earlier line it was meant to mend."""

import json
from collections.abc import Mapping
from datetime import date
from typing import Any

import polars as pl

from ingest.kinds import MENDS
from ingest.mend_file import said_in
from ingest.reading import Reading
from ingest.screening import Screened, compile_shape
from models.shapes import Day


def mends_of(reading: Reading) -> dict[int, str]:
    """The refused line that each line mends, by name, where it names one; malformed lines name theirs too."""
    return said_in(MENDS, reading.header, reading.cells)


def refusal_rows(screened: Screened, days_of_refused: Mapping[str, date]) -> pl.DataFrame:
    """The refusals as the log keeps them: one row per fault, with the line's cells as typed and the day it is of.

    `days_of_refused` tells the days of the lines that are mended here, by name.
    """
    if not screened.refusals:
        return pl.DataFrame(schema=_REFUSAL_SCHEMA)
    mends = mends_of(screened.reading)
    days = _days_of(screened, {line: days_of_refused.get(name) for line, name in mends.items()})
    refused = screened.reading.cells.filter(pl.col("line").is_in(screened.refused))
    cells = {line: json.dumps(cells, ensure_ascii=False) for line, *cells in refused.iter_rows()}
    # By columns: a dict for each row takes as much memory as all else that is known of a file of wrong lines.
    faults, lines = screened.refusals, [refusal.line or 0 for refusal in screened.refusals]
    columns = {
        "line": lines,
        "mends": [mends.get(line) for line in lines],
        "session_date": [days.get(line) for line in lines],
        "column_name": [refusal.column for refusal in faults],
        "seen": [refusal.seen for refusal in faults],
        "expected": [refusal.expected for refusal in faults],
        "to_do": [refusal.to_do for refusal in faults],
        "cells": [cells.get(line, "[]") for line in lines],
    }
    rows = pl.DataFrame(columns, schema_overrides=_REFUSAL_SCHEMA)
    return rows.with_columns(fault=pl.int_range(1, pl.len() + 1).over("line")).select(*_REFUSAL_SCHEMA)


_REFUSAL_SCHEMA = {
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


def _days_of(screened: Screened, mended: Mapping[int, date | None]) -> Mapping[int, date | None]:
    """The day that each line is of: its own within its file's range, else that of the line it mends, else the last."""
    if "session_date" not in screened.accepted.columns:
        return {}
    days = screened.accepted["session_date"]
    last: Any = days.max()
    day = compile_shape(Day(), "session_date").value
    refused = screened.reading.lines.filter(pl.col("line").is_in(screened.refused))
    in_range = refused.select("line", pl.when(day.is_between(days.min(), last)).then(day))
    return {**mended, **{line: own or mended.get(line) or last for line, own in in_range.iter_rows()}}
