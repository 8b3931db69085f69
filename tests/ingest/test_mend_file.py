"""The file to mend: what is in it, and that reading it back gives the lines as they were typed."""

import csv
import io
from collections.abc import Callable
from datetime import date

import pytest

from ingest.csv_out import harmless
from ingest.loading import Incoming, Report, check
from ingest.reading import read_log
from sql.folder import DataFolder
from sql.warehouse import ask, held, warehouse
from tests.ingest.conftest import TODAY, csv_file
from tests.ingest.log_files import sheet_of

Load = Callable[..., list[Report]]

HEADER = "session_date,player,setup,spin,length,balls,good,note"
WRONG = "2026-05-04,P1,BC,bakspin,short,40,30,"


def to_mend(report: Report) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(report.mendable)))


def mended(report: Report, name: str = "mended.csv") -> Incoming:
    return csv_file(name, report.mendable.replace("bakspin,", "backspin,", 1))


def outstanding(folder: DataFolder) -> int:
    count: int = ask(folder, "select count(*) from core.refusals where not is_mended").item()
    return count


def test_a_file_to_mend_from_a_check_still_fits_when_another_file_came_in_between(
    folder: DataFolder, load_files: Load
) -> None:
    week = csv_file("week.csv", f"{HEADER}\n{WRONG}\n")
    (checked,) = check(folder, [week], today=TODAY)
    load_files(csv_file("other.csv", f"{HEADER}\n{WRONG.replace('bakspin', 'topspin')}\n"), week)

    load_files(mended(checked))

    assert outstanding(folder) == 0


def test_a_file_to_mend_that_names_its_lines_by_their_batch_still_fits(folder: DataFolder, load_files: Load) -> None:
    """As older files to mend have it."""
    (report,) = load_files(csv_file("week.csv", f"{HEADER}\n{WRONG}\n"))
    (row,) = to_mend(report)

    load_files(csv_file("mended.csv", mended(report).content.decode().replace(row["mends"], f"{report.batch}:2")))

    assert outstanding(folder) == 0


def test_a_mended_line_is_mended_still_when_its_file_was_withdrawn_and_came_in_again(
    folder: DataFolder, load_files: Load
) -> None:
    from ingest.loading import withdraw

    week = csv_file("week.csv", f"{HEADER}\n{WRONG}\n")
    (report,) = load_files(week)
    load_files(mended(report))
    assert report.batch
    withdraw(folder, report.batch, "tester")

    load_files(week)

    assert outstanding(folder) == 0


TYPED = ["=1+1", "+a", "-", "@x", "\tx", "'=1+1", "''", "it's", "-20", "+5", "-1,5", "a;=1+1", "a\n- b", " =x", "＝x"]


@pytest.mark.parametrize("form", ["csv", "xlsx"])
@pytest.mark.parametrize("typed", TYPED)
def test_a_line_is_read_back_as_it_was_typed(folder: DataFolder, typed: str, form: str) -> None:
    """Also when a spreadsheet program has saved it as a workbook, apostrophes and all."""
    line = io.StringIO()
    csv.writer(line).writerow([*WRONG.split(",")[:-1], typed])
    (report,) = check(folder, [csv_file("week.csv", f"{HEADER}\n{line.getvalue()}")], today=TODAY)
    rows = list(csv.reader(io.StringIO(report.mendable)))
    assert rows[1][7] == harmless(typed)

    again = report.mendable.encode() if form == "csv" else sheet_of([list(row) for row in rows])
    reading = read_log("mended", again)

    assert reading.cells["c7"].to_list() == [typed]
    (still,) = check(folder, [Incoming("mended", again)], today=TODAY)
    assert [line.cells for line in still.refused] == [line.cells for line in report.refused]


def test_a_file_of_somebody_else_keeps_its_apostrophes() -> None:
    content = f"{HEADER}\n{WRONG}'=1+1\n".encode()

    assert read_log("week.csv", content).lines["note"].to_list() == ["'=1+1"]


def test_surplus_cells_are_kept_and_refused_again_until_somebody_has_seen_to_them(folder: DataFolder) -> None:
    content = f"{HEADER}\n{WRONG.replace('bakspin', 'topspin')}wobbly, but good, all in all\n"
    (report,) = check(folder, [csv_file("week.csv", content)], today=TODAY)
    (row,) = csv.DictReader(io.StringIO(report.mendable.replace("surplus,surplus", "surplus,surplus 2")))
    assert (row["note"], row["surplus"], row["surplus 2"]) == ("wobbly", " but good", " all in all")

    (unchanged,) = check(folder, [csv_file("mended.csv", report.mendable)], today=TODAY)
    assert (unchanged.lines_read, unchanged.lines_refused) == (1, 1)
    assert unchanged.refused[0].cells == report.refused[0].cells

    seen_to = report.mendable.replace("wobbly, but good, all in all", '"wobbly, but good, all in all",,')
    (accepted,) = check(folder, [csv_file("mended.csv", seen_to)], today=TODAY)
    assert (accepted.lines_read, accepted.lines_accepted) == (1, 1)


def test_a_column_called_surplus_is_nothing_to_us_in_a_file_that_is_not_ours(folder: DataFolder) -> None:
    content = f"{HEADER},surplus\n{WRONG.replace('bakspin', 'topspin')},7\n"

    (report,) = check(folder, [csv_file("week.csv", content)], today=TODAY)

    assert report.lines_accepted == 1


def test_a_line_that_is_malformed_still_names_the_line_it_mends(folder: DataFolder, load_files: Load) -> None:
    """Counted once, where it is now."""
    (report,) = load_files(csv_file("week.csv", f"{HEADER}\n{WRONG}a,b\n"))

    load_files(csv_file("mended.csv", report.mendable.replace("bakspin", "topspin")))

    assert outstanding(folder) == 1
    with held(folder), warehouse(folder) as connection:
        days = connection.execute("select session_date from log.refusals order by batch").fetchall()
    assert days[-1] == (date.today(),)  # noqa: DTZ011 - neither file has a day; it was loaded just now


@pytest.mark.parametrize(
    ("column", "expected"),
    [
        ("player", "the code of a player who is in the players log, such as P01"),
        ("balls", "balls fed: a whole number from 1 to 2000"),
        ("length", "how far the fed ball carries: one of short, half_long, long"),
    ],
)
def test_an_empty_cell_that_is_needed_is_told_by_what_it_should_hold(
    folder: DataFolder, column: str, expected: str
) -> None:
    cells = dict(zip(HEADER.split(","), WRONG.replace("bakspin", "topspin").split(","), strict=True)) | {column: ""}

    (report,) = check(folder, [csv_file("week.csv", f"{HEADER}\n{','.join(cells.values())}\n")], today=TODAY)

    assert [(fault.column, fault.seen, fault.expected) for fault in report.refusals] == [(column, "", expected)]
