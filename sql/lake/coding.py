"""Rows of the log as they stand in the lake."""

import re
from collections.abc import Callable

import polars as pl

from sql.lake.codes import Codes
from sql.lake.columns import Said, columns_said

CODED_OF_BATCHES = ("file_name", "loaded_by", "withdrawn_by", "accepted_by")
EMPTIED = {
    "batches": {"header": "[]", "taken": ""},
    "refusals": {"seen": "", "expected": "", "to_do": "", "cells": "[]"},
}
"""What was typed, by whom it may be: a refused line is told by its place and its column alone."""

NAMED_BY_FILE = re.compile(r"([0-9a-f]{12}):([0-9]+)")
"""How a line that mends another names it: the first letters of its file's SHA-256, colon, line."""


def coded_lines(kind: str, rows: pl.DataFrame, codes: Codes) -> pl.DataFrame:
    """Lines of a kind of log; what may name a person is coded, or not told at all."""
    said = dict(columns_said(kind))
    coded = [name for name, how in said.items() if how is Said.CODED]
    untold = [name for name, how in said.items() if how is Said.NOT_AT_ALL]
    return rows.with_columns(
        *(_replaced(rows[name], codes.of) for name in coded),
        *(pl.lit(None, dtype=rows.schema[name]).alias(name) for name in untold),
        _replaced(rows["mends"], lambda name: _line_name(name, codes)),
    )


def coded_batches(rows: pl.DataFrame, codes: Codes) -> pl.DataFrame:
    """Batches, without the names of files and of people."""
    return rows.with_columns(
        *(_replaced(rows[name], codes.of) for name in CODED_OF_BATCHES),
        _replaced(rows["file_sha256"], lambda digest: _file_name(digest, codes)),
        *(pl.lit(text).alias(name) for name, text in EMPTIED["batches"].items()),
    )


def coded_refusals(rows: pl.DataFrame, codes: Codes) -> pl.DataFrame:
    """Refusals, without what was typed."""
    return rows.with_columns(
        _replaced(rows["mends"], lambda name: _line_name(name, codes)),
        *(pl.lit(text).alias(name) for name, text in EMPTIED["refusals"].items()),
    )


def _replaced(column: pl.Series, code: Callable[[str], str]) -> pl.Series:
    """Each different text coded once."""
    texts = column.drop_nulls().unique().to_list()
    new = [code(text) for text in texts]
    return column.replace_strict(texts, new, default=None, return_dtype=pl.String)


def _file_name(digest: str, codes: Codes) -> str:
    """In place of a file's fingerprint; its first letters depend on the first letters alone, which name its lines."""
    return codes.digest(digest[:12])


def _line_name(name: str, codes: Codes) -> str:
    found = NAMED_BY_FILE.fullmatch(name)
    return f"{codes.digest(found[1])[:12]}:{found[2]}" if found else name
