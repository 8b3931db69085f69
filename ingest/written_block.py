"""A block written on a screen, made into a file like any other, so that it goes the same way into the log."""

from collections.abc import Mapping
from datetime import datetime
from typing import Any

from ingest.loading import Incoming
from ingest.written_lines import lines_as_file
from models.records import SessionLine, columns_of

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
