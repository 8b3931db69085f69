"""Whether a batch that a player logged of themselves is accepted. Takes the open warehouse."""

from datetime import datetime

import duckdb

from models.refusal import Refused


class CannotAccept(Refused):
    """A batch that needs nobody's acceptance; the text says why."""


def mark_accepted(connection: duckdb.DuckDBPyConnection, batch: int, who: str, when: datetime) -> None:
    """Accept a batch that a player logged of themselves. Only inside a transaction. Raises CannotAccept."""
    found = connection.execute(
        "select coalesce(is_own, false), withdrawn_at is not null, accepted_by from log.batches where batch = ?",
        [batch],
    ).fetchall()
    is_own, is_withdrawn, accepted_by = found[0] if found else (False, False, None)
    if not is_own:
        raise CannotAccept(f"Batch {batch} is none that a player logged of themselves, so it counts already.")
    if is_withdrawn:
        raise CannotAccept(f"Batch {batch} was withdrawn, and does not count. Its balls may have come in once more.")
    if accepted_by is not None:
        raise CannotAccept(f"Batch {batch} was accepted already, by {accepted_by}.")
    connection.execute("update log.batches set accepted_by = ?, accepted_at = ? where batch = ?", [who, when, batch])
