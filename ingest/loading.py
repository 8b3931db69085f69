"""Batches: a file or a form goes into the log whole, or is only checked; a batch can be withdrawn."""

import json
from collections.abc import Callable, Iterable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass, replace
from datetime import date

from ingest.csv_text import SIGNS
from ingest.encoding import encoded
from ingest.incoming import Incoming, in_loading_order
from ingest.mend_file import RefusedLine, mend_file, refused_lines
from ingest.problems import Refusal, Unreadable
from ingest.reading import Reading
from ingest.refusal_rows import mends_of, refusal_rows
from ingest.remembered import remembered_in
from ingest.screening import Screened, screen
from ingest.taken import Taken
from models.records import RECORDS, columns_of
from sql.build import build, is_current
from sql.concerned import concerned, concerned_by_batch
from sql.folder import DataFolder
from sql.log_book import (
    Comparison,
    EarlierBatch,
    batch_of_file,
    compare,
    days_of_refused,
    known,
    mark_withdrawn,
    next_batch,
    require_club,
    store_batch,
)
from sql.making_tables import Progress
from sql.warehouse import Connection, held, memory_warehouse, transaction, utc_now, warehouse

__all__ = ("Incoming", "Permit", "Report", "check", "load", "withdraw")

Permit = Callable[[str, Mapping[str, str | None]], None]
"""Told the kind of log and the players whom its lines concern, each with the group that the log gives them, where they
are about to be written or withdrawn; raises NotPermitted, and nothing is changed."""


@dataclass(frozen=True)
class Report:
    """What became of one file."""

    file_name: str
    taken: Taken | None
    batch: int | None
    """The batch it became; None where nothing was stored."""
    repeats_batch: int | None
    """The batch in force that came from the same bytes, where nothing has changed since."""
    lines_read: int
    lines_accepted: int
    comparison: Comparison
    refusals: tuple[Refusal, ...]
    refused: tuple[RefusedLine, ...]
    """The refused lines to mend; a file refused as a whole has none."""

    @property
    def lines_refused(self) -> int:
        """Refused lines. accepted + refused = read."""
        return self.lines_read - self.lines_accepted

    @property
    def lines_left_out(self) -> int:
        """Of the refused lines, those that somebody left out for good."""
        return sum(refusal.is_final for refusal in self.refusals)

    @property
    def mendable(self) -> str:
        """The refused lines as CSV, the reason in the last column, to mend and load again; empty if there are none."""
        return mend_file(self.refused, SIGNS.get(self.taken.separator or "", ",") if self.taken else ",")

    @property
    def mendable_file(self) -> bytes:
        """The same as the bytes of a file, in the encoding of the one that came in."""
        return encoded(self.mendable, self.taken.encoding if self.taken else None)

    @property
    def is_sound(self) -> bool:
        """Nothing was refused that is to be mended."""
        return all(refusal.is_final for refusal in self.refusals)


def load(
    folder: DataFolder,
    files: Iterable[Incoming],
    who: str,
    *,
    today: date,
    permit: Permit = lambda *_: None,
    say: Callable[[str], None] = lambda _: None,
    progress: Progress = lambda *_: None,
) -> list[Report]:
    """Load files, each in one transaction, and publish. Players, setups and targets go first.

    Raises FolderProblem where the folder is busy or its settings are broken, BuildFailed where publishing failed, and
    what `permit` raises: a file that is not permitted ends it, and those before it are stored.
    """
    club_id = folder.settings().club_id
    with held(folder, say):
        reports = []
        with warehouse(folder) as connection:
            require_club(connection, club_id)
            for file, reading in in_loading_order(files, remembered_in(folder)):
                with transaction(connection):
                    reports.append(_load_one(connection, club_id, file, reading, who, today, permit))
        if not is_current(folder):
            build(folder, progress)
    return reports


def check(
    folder: DataFolder, files: Iterable[Incoming], *, today: date, say: Callable[[str], None] = lambda _: None
) -> list[Report]:
    """What `load` would say of these files. Changes nothing."""
    club_id = folder.settings().club_id
    with _warehouse_to_try(folder, say) as connection:
        return [
            replace(_load_one(connection, club_id, file, reading, "check", today, lambda *_: None), batch=None)
            for file, reading in in_loading_order(files, remembered_in(folder))
        ]


@contextmanager
def _warehouse_to_try(folder: DataFolder, say: Callable[[str], None]) -> Iterator[Connection]:
    """The warehouse in a transaction that is taken back; an empty one in memory where the folder has none."""
    if not folder.warehouse_file.exists():
        with memory_warehouse() as connection:
            yield connection
        return
    with held(folder, say), warehouse(folder) as connection:
        connection.begin()
        try:
            yield connection
        finally:
            connection.rollback()


def withdraw(
    folder: DataFolder,
    batch: int,
    who: str,
    *,
    permit: Permit = lambda *_: None,
    say: Callable[[str], None] = lambda _: None,
) -> None:
    """Withdraw a batch and publish; the lines that it superseded are in force again.

    Raises CannotWithdraw, and what `permit` raises.
    """
    with held(folder, say):
        with warehouse(folder) as connection, transaction(connection):
            if found := concerned_by_batch(connection, batch):
                permit(*found)
            mark_withdrawn(connection, batch, who, utc_now(), local=folder.local)
        build(folder)


def _load_one(
    connection: Connection,
    club_id: str,
    file: Incoming,
    reading: Reading | Unreadable,
    who: str,
    today: date,
    permit: Permit,
) -> Report:
    if isinstance(reading, Unreadable):
        return _unread(file, reading)
    screened = screen(reading, known(connection, today))
    permit(reading.taken.kind, concerned(connection, reading.taken.kind, screened.accepted))
    report = _report(connection, screened)
    earlier = batch_of_file(connection, reading.taken.sha256)
    if earlier and (earlier.is_erased or _says_nothing_new(file, earlier, report)):
        return replace(report, repeats_batch=earlier.batch)
    batch = next_batch(connection)
    row = {"club_id": club_id, "batch": batch, "source": file.source, "file_name": file.name, "loaded_by": who}
    row |= {"is_own": True} if file.is_own else {}
    days = days_of_refused(connection, set(mends_of(reading).values()))
    store_batch(connection, row | _of_reading(reading, report), screened.accepted, refusal_rows(screened, days))
    return replace(report, batch=batch)


def _says_nothing_new(file: Incoming, earlier: EarlierBatch, report: Report) -> bool:
    """A file that is brought again changes nothing, unless somebody said since what its columns or words mean.

    A form that says once more what it said before undoes the later.
    """
    is_as_meant = report.taken is not None and report.taken.is_as_meant
    is_meant = (file.source == "form" or is_as_meant) and report.comparison.correcting > 0
    return earlier.lines_refused == report.lines_refused and not is_meant


def _of_reading(reading: Reading, report: Report) -> dict[str, object]:
    """What a batch says of its file: how it was taken, and how many lines went in."""
    return {
        "kind": reading.taken.kind,
        "file_sha256": reading.taken.sha256,
        "header": json.dumps(reading.header, ensure_ascii=False),
        "taken": " ".join(report.taken.sentences if report.taken else reading.taken.sentences),
        "lines_read": report.lines_read,
        "lines_accepted": report.lines_accepted,
        "lines_refused": report.lines_refused,
        "loaded_at": utc_now(),
    }


def _unread(file: Incoming, error: Unreadable) -> Report:
    return Report(file.name, None, None, None, 0, 0, Comparison(0, 0, 0), (error.refusal,), ())


def _report(connection: Connection, screened: Screened) -> Report:
    taken = screened.reading.taken
    record = RECORDS[taken.kind]
    names = [column.name for column in columns_of(record)]
    return Report(
        file_name=taken.file_name,
        taken=taken,
        batch=None,
        repeats_batch=None,
        lines_read=screened.lines_read,
        lines_accepted=screened.accepted.height,
        comparison=compare(connection, taken.kind, record.identity, names, screened.accepted),
        refusals=screened.refusals,
        refused=refused_lines(taken.sha256, screened.reading.header, screened.reading.cells, screened.refusals),
    )
