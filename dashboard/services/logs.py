"""Loading and withdrawing, noted in the audit trail."""

from collections.abc import Callable, Iterable
from datetime import date

from dashboard.questions import Desk, require_open
from ingest import loading
from ingest.loading import Incoming, Report
from models.permits import Reader
from sql.build import Progress
from sql.club.audit_trail import Event, record
from sql.club.file import club_file
from sql.folder import DataFolder


def load(
    folder: DataFolder,
    files: Iterable[Incoming],
    reader: Reader,
    *,
    today: date,
    say: Callable[[str], None] = lambda _: None,
    progress: Progress = lambda *_: None,
) -> list[Report]:
    """Load files on somebody's behalf. Raises what ingest.loading.load raises."""
    reports = loading.load(folder, files, reader.name, today=today, say=say, progress=progress)
    with club_file(folder) as connection:
        for report in reports:
            record(connection, Event.LOAD, _told(report), reader=reader)
    return reports


def load_block(
    desk: Desk, file: Incoming, player: str, *, today: date, say: Callable[[str], None] = lambda _: None
) -> Report:
    """Load a block of one player. Raises NotPermitted for whoever may not see the player at this moment.

    What somebody began to write while the player was theirs is not written once that is over.
    """
    require_open(desk, player)
    (report,) = load(desk.folder, [file], desk.reader, today=today, say=say)
    return report


def withdraw(folder: DataFolder, batch: int, reader: Reader, *, say: Callable[[str], None] = lambda _: None) -> None:
    """Withdraw a batch on somebody's behalf. Raises what ingest.loading.withdraw raises."""
    loading.withdraw(folder, batch, reader.name, say=say)
    with club_file(folder) as connection:
        record(connection, Event.WITHDRAWAL, f"batch {batch}", reader=reader)


def _told(report: Report) -> str:
    if report.taken is None:
        return f"{report.file_name}: refused as a whole"
    if report.repeats_batch:
        return f"{report.file_name}: in already as batch {report.repeats_batch}"
    lines = f"{report.lines_accepted} lines accepted, {report.lines_refused} refused"
    return f"{report.file_name}: batch {report.batch}, {lines}"
