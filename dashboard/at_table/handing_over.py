"""Finished blocks go into the log: one worker in the background, many blocks in one load, each block exactly once."""

import logging
import threading
from collections.abc import Iterable
from contextlib import suppress
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime, timedelta
from itertools import groupby

from dashboard import questions
from dashboard.at_table.block_file import as_file
from dashboard.questions import owners_desk
from dashboard.services.logs import load, withdraw
from ingest.club_day import today
from ingest.loading import Incoming, Report
from ingest.problems import Refusal
from models.permits import Reader, owner
from sql.club import accounts
from sql.club.blocks import Block, blocks_to_hand_over, hits_of, numbered, prune, settle
from sql.club.file import ClubConnection, at, club_file
from sql.folder import DataFolder, FolderProblem
from sql.log_book import CannotWithdraw
from sql.warehouse import NothingPublished

log = logging.getLogger(__name__)

TRY_AGAIN_AFTER_S = 60.0
REASONS_TOLD = 3


class Worker:
    """The one thread of a serving process that hands blocks over; woken when one is done."""

    def __init__(self, folder: DataFolder) -> None:
        self._folder = folder
        self._woken = threading.Event()
        self._woken.set()  # What an earlier process left is handed over first.

    def start(self) -> None:
        """Begin to work, until the process ends. Being killed at any moment loses nothing and doubles nothing."""
        threading.Thread(target=self._work, name="hand-over", daemon=True).start()

    def wake(self) -> None:
        """There may be something to hand over."""
        self._woken.set()

    def _work(self) -> None:
        is_trouble = False
        while True:
            self._woken.wait(TRY_AGAIN_AFTER_S if is_trouble else None)
            self._woken.clear()
            is_trouble = not is_handed_over(self._folder)


def is_handed_over(folder: DataFolder) -> bool:
    """Hand over what is ready; False where something was in the way, which is then noted with the blocks."""
    try:
        hand_over(folder, today())
    except Exception as error:
        # Whatever it was: the next block must find the worker at work, and its maker must be told.
        log.exception("blocks that were counted at the table are not in the log yet")
        with suppress(FolderProblem):
            _note_trouble(folder, str(error))
        return False
    return True


def hand_over(folder: DataFolder, today: date) -> None:
    """Load every block that is ready as a ball log, in the name of its maker, and note what became of it.

    The file of a block is always the same bytes, and the log takes the same file once: so a block that was loaded
    before the note could be made is not loaded again. Raises FolderProblem or BuildFailed.
    """
    with club_file(folder) as connection:
        prune(connection, at(datetime.now(UTC) - timedelta(days=folder.settings().taps_kept_days)))
        ready = [_prepared(connection, folder, block) for block in blocks_to_hand_over(connection)]
        for handed in ready:
            if handed.file is None:
                settle(connection, handed.block, "dropped", None, "there was no ball to count")
        for account, blocks in groupby(sorted(ready, key=_account), key=_account):
            maker = accounts.by_number(connection, account)
            reader = maker.reader if maker else owner("somebody who has left")
            own = maker is None or not maker.reader.makes_plans
            _load(connection, folder, reader, [_said_by(handed, is_own=own) for handed in blocks if handed.file], today)


@dataclass(frozen=True)
class Prepared:
    """A block that is ready, and the file that it became; None where no ball counts."""

    block: Block
    file: Incoming | None


def _said_by(prepared: Prepared, *, is_own: bool) -> Prepared:
    """Balls that no coach counted are marked; so are those of somebody whose account is gone."""
    return replace(prepared, file=replace(prepared.file, is_own=is_own)) if prepared.file else prepared


def _account(prepared: Prepared) -> int:
    return prepared.block.account or 0


def _prepared(connection: ClubConnection, folder: DataFolder, block: Block) -> Prepared:
    hits = hits_of(connection, block.block)
    if not hits:
        return Prepared(block, None)
    return Prepared(block, as_file(block, numbered(connection, block, _first_free(folder, block)), hits))


def _first_free(folder: DataFolder, block: Block) -> int:
    try:
        day = date.fromisoformat(block.session_date)
        return questions.next_block(owners_desk(folder), block.player, day, block.session)
    except NothingPublished:
        return 1


def _load(connection: ClubConnection, folder: DataFolder, maker: Reader, blocks: list[Prepared], today: date) -> None:
    files = {handed.file.name: handed for handed in blocks if handed.file}
    counted = [handed.file for handed in blocks if handed.file]
    reports = load(folder, counted, maker, today=today, was_permitted=True) if counted else []
    for report in reports:
        block = files[report.file_name].block
        _replace_earlier(folder, block, report, maker)
        settle(connection, block, _state(report), report.batch or report.repeats_batch, _reasons(report.refusals))


def _replace_earlier(folder: DataFolder, block: Block, report: Report, maker: Reader) -> None:
    """A block that goes into the log once more may have fewer balls: the lines of its earlier batch must go."""
    if block.batch is not None and report.is_sound and block.batch != (report.batch or report.repeats_batch):
        with suppress(CannotWithdraw):  # The coordinator, or this worker before it was killed, was quicker.
            withdraw(folder, block.batch, maker, was_permitted=True)


def _state(report: Report) -> str:
    return "in_log" if report.is_sound else "refused"


def _reasons(refusals: Iterable[Refusal]) -> str | None:
    """Why lines were refused: each reason once, as so many balls share it."""
    reasons = list(dict.fromkeys(_reason(refusal) for refusal in refusals))
    more = [f"and {len(reasons) - REASONS_TOLD} more"] if len(reasons) > REASONS_TOLD else []
    return "; ".join([*reasons[:REASONS_TOLD], *more]) or None


def _reason(refusal: Refusal) -> str:
    column = f"{refusal.column}: " if refusal.column else ""
    return f"{column}saw {refusal.seen or 'nothing'}, expected {refusal.expected}; to do: {refusal.to_do}"


def _note_trouble(folder: DataFolder, sentence: str) -> None:
    with club_file(folder) as connection:
        for block in blocks_to_hand_over(connection):
            settle(connection, block, "done", None, sentence)
