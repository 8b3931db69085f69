"""What runs in the processes that are killed: the commands of `halflong`, with fewer published tables.

A publication of the tables named here takes a fraction of the time of a whole one, and is written in the same steps.
"""

import json
import sys
import time
from datetime import date
from pathlib import Path

import sql.backup as backing_up
import sql.build as building
from dashboard import command_line
from dashboard.at_table.handing_over import hand_over
from models.permits import Role
from sql.catalogue import models_in_order
from sql.checksums import checksums_now
from sql.club import accounts
from sql.club.file import club_file
from sql.club.taps import Scorer, store
from sql.folder import DataFolder, FolderProblem
from sql.forgetting import forget
from sql.holding import drafts
from sql.judging import judgements_in_order
from sql.verify import verify
from sql.warehouse import ask, held, warehouse
from tests.at_table.blocks import PhoneBlock
from tests.few_tables import publish_few_tables

# Read before a process is forked: else it would spend its first second on this, and be killed there.
models_in_order()
judgements_in_order()

BOTH_SIDES = (
    "select (select batches from report.build), (select count(*) from core.batches where withdrawn_at is null),"
    " (select balls from report.build), (select cast(coalesce(sum(balls), 0) as bigint) from core.fed_lines)"
)
"""Batches and balls, each twice: a reader who saw half of a publication would see them differ."""


def halflong(*arguments: str) -> None:
    """The command, as its users type it."""
    publish_few_tables()
    halflong_in_full(*arguments)


def halflong_in_full(*arguments: str) -> None:
    """The command, with all published tables."""
    sys.argv = ["halflong", *arguments]
    command_line.main()


def halflong_without_foresight(*arguments: str) -> None:
    """The command, where nobody looks for room before a build: another program may take it while the build runs."""
    building.require_room = lambda *_, **__: None  # type: ignore[assignment]
    backing_up.require_room = lambda *_, **__: None  # type: ignore[assignment]
    halflong(*arguments)


def look(path: str, answer: str) -> None:
    """What a later command meets in a data folder: it mends, unasked; then everything is read and told as JSON."""
    publish_few_tables()
    folder = DataFolder(Path(path))
    sys.argv = ["halflong", "query", "select count(*) from core.batches", "--data", path]
    try:
        command_line.main()
    except SystemExit as ended:
        if ended.code:
            raise
    with held(folder), warehouse(folder) as connection:
        connection.register("checksums_now", checksums_now(connection))
        stored = connection.execute(
            "select b.batch, b.file_name, b.lines_accepted, b.withdrawn_at is not null, n.lines"
            " from log.batches as b join checksums_now as n on b.batch = n.batch order by b.batch"
        ).fetchall()
        left = [str(draft) for draft in drafts(folder)]
    published = ask(folder, "select batch, withdrawn_at is not null from core.batches order by batch").rows()
    balls = ask(folder, "select cast(coalesce(sum(balls), 0) as bigint) from core.fed_lines").item()
    told = {
        "stored": stored,
        "published": published,
        "balls": balls,
        "left": left,
        "owed": folder.owed_file.exists(),
        "findings": [finding.sentence for finding in verify(folder).findings],
    }
    Path(answer).write_text(json.dumps(told), encoding="utf-8")


def read_until(path: str, stop: str, answers: str) -> None:
    """Read the publication in force again and again until the file `stop` is there; each answer once, as JSON."""
    folder, seen = DataFolder(Path(path)), set()
    while not Path(stop).exists():
        seen.add(ask(folder, BOTH_SIDES).row(0))
        time.sleep(0.05)
    Path(answers).write_text(json.dumps(sorted(seen)), encoding="utf-8")


def tap(path: str, day: str, balls: int) -> None:
    """A phone at the table counts a block of balls and closes it; when this ends, it was told that they are safe."""
    phone = PhoneBlock("P1", day)
    events = [phone.begin({"setup": "B", "spin": "backspin", "length": "short"}), *phone.balls(*["good"] * balls)]
    with club_file(DataFolder(Path(path))) as connection:
        if not connection.execute("select 1 from accounts").fetchone():
            accounts.add(connection, "M. Roe", Role.COACH, groups=["*"])
        stored = store(connection, Scorer(1, lambda _: True, is_coordinator=True), [*events, phone.done()])
    assert stored.held == [], stored.held


def hand_taps_over(path: str) -> None:
    """What the serving process does with closed blocks, when it begins and whenever one is closed."""
    publish_few_tables()
    hand_over(DataFolder(Path(path)), date.today())  # noqa: DTZ011 - as the serving process does


def erase(path: str, player: str) -> None:
    """Forget a player; given again, it says that nobody has this code."""
    publish_few_tables()
    try:
        forget(DataFolder(Path(path)), player, keeps_lines=True)
    except FolderProblem as problem:
        if "expected the code of a player" not in str(problem):
            raise
