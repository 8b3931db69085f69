"""A block written on a screen, made into a file like any other, so that it goes the same way into the log."""

import csv
import io
from collections.abc import Iterable, Mapping
from datetime import datetime
from typing import Any

from ingest.loading import Incoming
from models.records import Column, SessionLine, columns_of

KEPT_COLUMNS = ("session_date", "session", "player", "coach")
"""Who and when: asked first, because the next block number hangs on it, and kept from block to block."""

_SHORT_FORM = {*SessionLine.identity, "setup"}

WHO_AND_WHEN = tuple(column for column in columns_of(SessionLine) if column.name in KEPT_COLUMNS)
BLOCK = tuple(
    column
    for column in columns_of(SessionLine)
    if column not in WHO_AND_WHEN and (column.is_required or column.name in _SHORT_FORM)
)
MORE = tuple(column for column in columns_of(SessionLine) if column not in (*WHO_AND_WHEN, *BLOCK))


def as_file(values: Mapping[str, Any], written_at: datetime) -> Incoming:
    """The block as a sessions file of one line."""
    return lines_as_file([values], f"form {written_at:%Y-%m-%d %H:%M}")


def lines_as_file(lines: Iterable[Mapping[str, Any]], name: str) -> Incoming:
    """Lines that were written on a screen as one sessions file; a column that a line does not name is empty."""
    text = io.StringIO()
    names = [column.name for column in columns_of(SessionLine)]
    writer = csv.writer(text, lineterminator="\r\n")
    writer.writerow(names)
    writer.writerows([_cell(line.get(column)) for column in names] for line in lines)
    return Incoming(name, text.getvalue().encode(), source="form")


def _cell(value: Any) -> str:
    return "" if value is None else str(value)


def asked_as(column: Column) -> str:
    """The name of a field on the screen: its column's, with the unit apart and a star where it is needed."""
    name, unit = column.name, column.shape.unit
    if unit not in ("", "date"):
        name = name.removesuffix("_bpm").removesuffix("_cm").removesuffix("_deg")
    unit = f" ({unit})" if unit not in ("", "date", name) else ""
    return f"{name.replace('_', ' ').capitalize()}{unit}{' *' if column.is_required else ''}"
