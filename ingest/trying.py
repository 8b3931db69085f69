"""What figures would be if a file were loaded: tried on the log as it is, and nothing is kept."""

from collections.abc import Callable, Iterable
from datetime import date

import polars as pl

from ingest.incoming import Incoming
from ingest.reading import read_log
from ingest.screening import screen
from sql.folder import DataFolder
from sql.log_book import known
from sql.trial import tried
from sql.warehouse import held, warehouse


def try_file(
    folder: DataFolder,
    file: Incoming,
    tables: Iterable[str],
    *,
    today: date,
    say: Callable[[str], None] = lambda _: None,
) -> dict[str, pl.DataFrame]:
    """Published tables, by name, as the accepted lines of the file would make them. Raises Unreadable, BuildFailed."""
    reading = read_log(file.name, file.read(), kind=file.kind, date_form=file.date_form)
    with held(folder, say):
        with warehouse(folder) as connection:
            accepted = screen(reading, known(connection, today)).accepted
        return tried(folder, folder.settings(), tables, {reading.taken.kind: accepted})
