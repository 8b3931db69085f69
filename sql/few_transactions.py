"""Writing in as few transactions as the rows allow."""

from collections.abc import Callable, Iterator
from contextlib import contextmanager

import duckdb

from sql.warehouse import transaction


@contextmanager
def few_transactions(connection: duckdb.DuckDBPyConnection, rows: int) -> Iterator[Callable[[int], None]]:
    """Transactions one after another, each ended once it has written so many rows: what is yielded is told how many.

    Every end waits for the disk, which for a small club takes longer than the work; and all rows of an open transaction
    may stand in memory, so that a large club must not be built in one. What ended before an exception stays.
    """
    waiting = 0

    def written(more: int) -> None:
        nonlocal waiting
        waiting += more
        if waiting >= rows:
            connection.commit()
            connection.begin()
            waiting = 0

    with transaction(connection):
        yield written
