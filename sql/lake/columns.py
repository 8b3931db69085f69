"""What the lake says of each column of the log: the figures and the trade's words as they are, of people codes only.

Derived from the columns' shapes, so that a new column of a record is never left as typed by oversight.
"""

from collections.abc import Iterator
from enum import Enum, auto

from models.log_line import LogLine
from models.records import RECORDS, Column, columns_of
from models.shapes import Code, Day, Text


class Said(Enum):
    """How a column stands in the lake."""

    AS_IT_IS = auto()
    CODED = auto()
    """By a keyed code that only the club can turn back."""
    NUMBERED = auto()
    """By its place among the labels of the same day: a label may be anything that somebody typed."""
    NOT_AT_ALL = auto()


ABOUT_A_PERSON = "players"
"""Of players no day is told: with a birth year, days would make one of few."""

MADE_BY_LOADING = ("club_id", "batch", "line", "mends")
DATED = ("sessions", "balls")
"""The tables that grow with training: they lie by season."""


def said_of(record: type[LogLine], column: Column) -> Said:
    """How a column of a kind of log stands in the lake."""
    if column.name == "session":
        return Said.NUMBERED
    if isinstance(column.shape, Code):
        return Said.CODED
    if isinstance(column.shape, Text) or (record.kind == ABOUT_A_PERSON and isinstance(column.shape, Day)):
        return Said.NOT_AT_ALL
    return Said.AS_IT_IS


def columns_said(kind: str) -> Iterator[tuple[str, Said]]:
    """The columns of a kind of log in their order, and how each stands in the lake."""
    record = RECORDS[kind]
    return ((column.name, said_of(record, column)) for column in columns_of(record))
