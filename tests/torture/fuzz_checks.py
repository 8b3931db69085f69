"""What is true of every file, however bad: refused as a whole, or every line of it accepted or refused."""

import csv
import io
import json
from collections import Counter
from dataclasses import dataclass, field
from datetime import date

from ingest.bounds import MOST_COLUMNS
from ingest.grid import is_blank
from ingest.mend_file import as_typed_by_people, mend_file, refused_lines
from ingest.problems import Unreadable
from ingest.reading import Reading, read_log
from ingest.refusal_rows import refusal_rows
from ingest.screening import Screened, screen
from models.shapes import BLANKS
from sql.dials import Dials
from sql.log_book import Known, store_batch
from sql.warehouse import Connection, utc_now
from tests.torture.fuzz_cases import Case

TODAY = date(2026, 11, 25)
KNOWN = Known(
    TODAY,
    frozenset({"P01"}),
    frozenset({"Juniors"}),
    {"BC": date(1900, 1, 1)},
    {},
    {"F1": Dials(0, 10, 0, 10)},
)
NOT_KNOWN_FROM_A_PART = ("dates as 2026-03-02", "one decimal sign", "a quoted cell", f"at most {MOST_COLUMNS} columns")
"""What the lines of a whole file showed, its refused lines alone may not show; the columns that we add may be too many;
and a line break with many commas behind it was no riddle while semicolons separated."""


@dataclass
class Figures:
    """What became of the cases."""

    cases: int = 0
    refused_whole: int = 0
    lines_read: int = 0
    lines_accepted: int = 0
    lines_refused: int = 0
    mended: int = 0
    reasons: Counter[str] = field(default_factory=Counter)


def examine(case: Case, connection: Connection, figures: Figures) -> None:
    """Read, screen and store a case, and read its refused lines back. Raises AssertionError, or what went wrong."""
    figures.cases += 1
    try:
        reading = read_log(case.file_name, case.content, kind=case.kind, date_form=case.date_form)
    except Unreadable as refused:
        assert refused.refusal.line is None
        assert all((refused.refusal.seen, refused.refusal.expected, refused.refusal.to_do))
        figures.refused_whole += 1
        figures.reasons[refused.refusal.expected] += 1
        return
    screened = screen(reading, KNOWN)
    _every_line_is_accepted_or_refused(case, screened)
    _the_log_holds_what_was_accepted(connection, screened)
    _refused_lines_come_back_as_typed(case, screened, figures)
    figures.lines_read += screened.lines_read
    figures.lines_accepted += screened.accepted.height
    figures.lines_refused += screened.lines_refused


def _every_line_is_accepted_or_refused(case: Case, screened: Screened) -> None:
    accepted = set(screened.accepted["line"])
    refused = {refusal.line for refusal in screened.refusals}
    assert not accepted & refused
    assert accepted | refused == set(screened.reading.cells["line"])
    assert len(accepted) + len(refused) == screened.lines_read == screened.reading.cells.height
    assert case.lines in (None, screened.lines_read)
    assert all(refusal.expected and refusal.to_do for refusal in screened.refusals)
    assert all(refusal.sentence.isprintable() and len(refusal.seen) <= 400 for refusal in screened.refusals)


def _the_log_holds_what_was_accepted(connection: Connection, screened: Screened) -> None:
    kind = screened.reading.taken.kind
    connection.begin()
    try:
        rows = refusal_rows(screened, {})
        store_batch(connection, _batch(screened), screened.accepted, rows)
        counts = f"select (select count(*) from log.{kind}), (select count(distinct line) from log.refusals)"
        stored = connection.execute(counts).fetchall()[0]
    finally:
        connection.rollback()
    assert stored == (screened.accepted.height, screened.lines_refused)
    assert all(isinstance(json.loads(cells), list) for cells in rows["cells"])


def _batch(screened: Screened) -> dict[str, object]:
    taken = screened.reading.taken
    return {
        "club_id": "club",
        "batch": 1,
        "kind": taken.kind,
        "source": "file",
        "file_name": taken.file_name,
        "file_sha256": taken.sha256,
        "header": json.dumps(screened.reading.header),
        "taken": " ".join(taken.sentences),
        "lines_read": screened.lines_read,
        "lines_accepted": screened.accepted.height,
        "lines_refused": screened.lines_refused,
        "loaded_by": "fuzzer",
        "loaded_at": utc_now(),
    }


def _refused_lines_come_back_as_typed(case: Case, screened: Screened, figures: Figures) -> None:
    reading = screened.reading
    refused = refused_lines(reading.taken.sha256, reading.header, reading.cells, screened.refusals)
    text = mend_file(refused)
    assert bool(text) == bool(screened.refusals)
    if not text:
        return
    for row in csv.reader(io.StringIO(text, newline="")):
        assert not any(_would_run(cell) for cell in row)
    again = _read_again(case, reading, text)
    if again:
        figures.mended += 1
        back = [as_typed_by_people(again.header, cells) for _, *cells in again.cells.iter_rows()]
        assert back == [(line.header, line.cells) for line in refused]


def _read_again(case: Case, reading: Reading, text: str) -> Reading | None:
    try:
        return read_log("mend.csv", text.encode(), kind=reading.taken.kind, date_form=case.date_form)
    except Unreadable as error:
        assert error.refusal.expected.startswith(NOT_KNOWN_FROM_A_PART), error.refusal
        return None


def _would_run(cell: str) -> bool:
    """A spreadsheet would take the cell for a formula, and it is no number."""
    bare = cell.lstrip(BLANKS)
    return not is_blank(cell) and bare[0] in "=+-@" and not bare[1:].replace(".", "").replace(",", "").isdigit()
