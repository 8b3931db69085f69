"""Loading, withdrawing and accepting, noted in the audit trail.

Whether somebody may is asked once more where it is written: under the lock, in the transaction, of the club file and of
the log as they are then. Meanwhile they may have waited for minutes, and what they began with may be over.
"""

from collections.abc import Callable, Iterable, Iterator, Mapping
from contextlib import contextmanager
from datetime import date

from dashboard.questions import Desk, require_open
from dashboard.services.as_of_now import as_of_now
from ingest import accepting, loading
from ingest.loading import Incoming, Permit, Report
from models.permits import NotPermitted, Reader, require_planner
from sql.club.audit_trail import Event, record, record_in
from sql.club.file import club_file
from sql.folder import DataFolder
from sql.making_tables import Progress


def load(
    folder: DataFolder,
    files: Iterable[Incoming],
    reader: Reader,
    *,
    today: date,
    was_permitted: bool = False,
    say: Callable[[str], None] = lambda _: None,
    progress: Progress = lambda *_: None,
) -> list[Report]:
    """Load files on somebody's behalf. Raises what ingest.loading.load raises, NotPermitted.

    `was_permitted`: of balls counted at the table each was permitted when it was stored; what was acknowledged goes
    into the log whatever has become of its maker since.
    """
    permit = _nothing_asked if was_permitted else _asked_again(folder, reader)
    with _refusal_noted(folder, reader):
        reports = loading.load(folder, files, reader.name, today=today, permit=permit, say=say, progress=progress)
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
    return load_lines(desk, file, [player], today=today, say=say)


def load_lines(
    desk: Desk, file: Incoming, players: Iterable[str], *, today: date, say: Callable[[str], None] = lambda _: None
) -> Report:
    """Load lines of these players. Raises NotPermitted for whoever may not see all of them at this moment."""
    for player in players:
        require_open(desk, player)
    (report,) = load(desk.folder, [file], desk.reader, today=today, say=say)
    return report


def withdraw(
    folder: DataFolder,
    batch: int,
    reader: Reader,
    *,
    was_permitted: bool = False,
    say: Callable[[str], None] = lambda _: None,
) -> None:
    """Withdraw a batch on somebody's behalf. Raises what ingest.loading.withdraw raises, NotPermitted."""
    permit = _nothing_asked if was_permitted else _asked_again(folder, reader)
    with _refusal_noted(folder, reader):
        loading.withdraw(folder, batch, reader.name, permit=permit, say=say)
    with club_file(folder) as connection:
        record(connection, Event.WITHDRAWAL, f"batch {batch}", reader=reader)


def accept(desk: Desk, batches: Iterable[int], *, say: Callable[[str], None] = lambda _: None) -> None:
    """Accept blocks that players counted of themselves. Raises NotPermitted, CannotAccept.

    Only a coach of the player, or a coordinator, has seen what was fed.
    """
    require_planner(desk.reader)
    wanted = sorted(set(batches))
    with _refusal_noted(desk.folder, desk.reader):
        permit = _asked_again(desk.folder, desk.reader)
        accepting.accept(desk.folder, wanted, desk.reader.name, permit=permit, say=say)
    with club_file(desk.folder) as connection:
        for batch in wanted:
            record(connection, Event.ACCEPTANCE, f"batch {batch}", reader=desk.reader)


_UNCHANGED = "Nothing was changed. If you should be able to, ask your coordinator."
_NOT_YOURS = {
    "setups": "Players who are not yours (any more) were fed from this setup, and their figures would change with it. "
    f"{_UNCHANGED} Or save the place under a code of its own.",
    "targets": f"You may set what is wanted for your own players and groups only. {_UNCHANGED}",
}


def _nothing_asked(_kind: str, _players: Mapping[str, str | None]) -> None:
    """Permitted already."""


def _asked_again(folder: DataFolder, reader: Reader) -> Permit:
    def ask(kind: str, players: Mapping[str, str | None]) -> None:
        with club_file(folder) as connection:
            now = as_of_now(connection, reader)
        if now is None or not now.may_log(kind, players):
            raise NotPermitted(
                _NOT_YOURS.get(kind, f"You may not write {kind} of these players (any more). {_UNCHANGED}")
            )

    return ask


@contextmanager
def _refusal_noted(folder: DataFolder, reader: Reader) -> Iterator[None]:
    try:
        yield
    except NotPermitted:
        record_in(folder, Event.REFUSAL, "to write into the log", reader=reader)
        raise


def _told(report: Report) -> str:
    if report.taken is None:
        return f"{report.file_name}: refused as a whole"
    if report.repeats_batch:
        return f"{report.file_name}: in already as batch {report.repeats_batch}"
    lines = f"{report.lines_accepted} lines accepted, {report.lines_refused} refused"
    return f"{report.file_name}: batch {report.batch}, {lines}"
