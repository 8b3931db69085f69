"""Refused lines on their way to whoever mends them: as a table on a page, and as a file that takes their place."""

import csv
import io
from datetime import date
from hashlib import sha256

import pytest

from dashboard import questions
from dashboard.questions import owners_desk
from dashboard.tables.refused_lines import RefusedFile, as_html, refused_files
from ingest.loading import check, load
from ingest.mend_file import mend_file
from sql.folder import DataFolder
from tests.dashboard.conftest import SMALL_CLUB, incoming
from tests.dashboard.shown import rows

pytestmark = pytest.mark.usefixtures("coordinators_tables")

WEEK = date(2025, 3, 10)


def the_refused_file(club: DataFolder) -> RefusedFile:
    (file,) = refused_files(questions.refused_in_week(owners_desk(club), WEEK))
    return file


def the_header_of_the_second_week() -> tuple[str, ...]:
    return tuple(SMALL_CLUB["2025-w11.csv"].splitlines()[0].split(","))


def test_a_refused_line_keeps_its_cells_as_typed_in_a_verdict_and_in_the_published_tables(
    small_club: DataFolder,
) -> None:
    text = SMALL_CLUB["2025-w11.csv"].replace("player,", "PLAYER ,").replace("M. Roe", "")
    (report,) = check(small_club, incoming({"other.csv": text}), today=date(2025, 3, 12))
    load(small_club, incoming({"other.csv": text}), "test", today=date(2025, 3, 12))
    (published,) = refused_files(questions.refused_in_batch(owners_desk(small_club), 6))

    (line,) = report.refused
    assert line == published.lines[0]
    assert dict(zip(line.header, line.cells, strict=True))["PLAYER "] == "BEN"
    assert line.faulty_columns == {"spin"}


def test_a_file_to_mend_loaded_with_the_cell_corrected_takes_the_place_of_the_refused_line(
    small_club: DataFolder,
) -> None:
    """Ben's line of the second week was refused for its spin; mended, the week has three blocks and 120 balls."""
    mended = mend_file(the_refused_file(small_club).lines).replace(",topsin,", ",topspin,")
    (report,) = load(small_club, incoming({"mended.csv": mended}), "test", today=date(2025, 3, 12))

    assert (report.lines_accepted, report.lines_refused) == (1, 0)
    assert questions.refused_in_week(owners_desk(small_club), WEEK) == ()
    assert questions.club_weeks(owners_desk(small_club))[0].balls == 120


def test_a_mended_line_that_is_still_wrong_waits_in_the_place_of_the_first(small_club: DataFolder) -> None:
    still_wrong = mend_file(the_refused_file(small_club).lines).replace(",topsin,", ",topspn,")
    load(small_club, incoming({"mended.csv": still_wrong}), "test", today=date(2025, 3, 12))

    assert [fault.is_mended for fault in questions.refused_in_batch(owners_desk(small_club), 5)] == [True]
    faults = questions.refused_in_batch(owners_desk(small_club), 6)
    (file,) = refused_files(fault for fault in faults if not fault.is_mended)
    assert (file.batch, file.file_name, len(file.lines)) == (6, "mended.csv", 1)
    assert file.lines[0].header == the_header_of_the_second_week()


def test_the_file_to_mend_says_in_its_last_columns_which_line_it_mends_and_why(small_club: DataFolder) -> None:
    header, row = csv.reader(io.StringIO(mend_file(the_refused_file(small_club).lines)))

    assert header[-2:] == ["mends", "refused_because"]
    assert row[-2] == f"{sha256(SMALL_CLUB['2025-w11.csv'].encode()).hexdigest()[:12]}:4"
    assert row[-1].startswith("2025-w11.csv, line 4, column spin: saw 'topsin', expected one of")


def test_what_somebody_typed_never_becomes_part_of_the_page(small_club: DataFolder) -> None:
    wicked = SMALL_CLUB["2025-w11.csv"].replace("topsin", "<img src=x onerror=alert(1)>")
    (report,) = check(small_club, incoming({"wicked.csv": wicked}), today=date(2025, 3, 12))

    html = as_html(report.refused)
    assert "<img" not in html
    assert "&lt;img src=x" in html


def test_an_empty_needed_cell_is_shown_as_empty_and_marked(small_club: DataFolder) -> None:
    empty = SMALL_CLUB["2025-w11.csv"].replace("topsin", "")
    (report,) = check(small_club, incoming({"empty.csv": empty}), today=date(2025, 3, 12))

    assert "✗ spin (empty)" in rows(as_html(report.refused))[1][2]


@pytest.mark.parametrize("with_cells", [True, False])
def test_the_table_has_as_many_headings_as_columns(with_cells: bool, small_club: DataFolder) -> None:
    head, line = rows(as_html(the_refused_file(small_club).lines, with_cells=with_cells))

    assert len(head) == len(line) == (3 if with_cells else 2)


def test_a_file_refused_as_a_whole_has_no_refused_lines(small_club: DataFolder) -> None:
    (report,) = check(small_club, incoming({"page.csv": "<html></html>"}), today=date(2025, 3, 12))

    assert report.refused == ()


def test_a_mended_file_that_is_wrong_throughout_waits_in_the_week_of_the_lines_it_mends(small_club: DataFolder) -> None:
    """It is loaded three weeks later, and none of its lines is accepted to tell its days; nor the second time."""
    for number, day in enumerate((date(2025, 4, 1), date(2025, 4, 8))):
        still_wrong = mend_file(the_refused_file(small_club).lines) + "\r\n" * number
        load(small_club, incoming({f"mended-{number}.csv": still_wrong}), "test", today=day)

    (file,) = refused_files(questions.refused_in_week(owners_desk(small_club), WEEK))
    assert file.file_name == "mended-1.csv"


def test_a_surplus_cell_is_shown_and_is_in_the_file_to_mend(small_club: DataFolder) -> None:
    """A note with a comma and without quotes, in a week that is loaded and then read from the published tables."""
    text = SMALL_CLUB["2025-w11.csv"].replace("BC,topsin,long,40,22,5", "BC,topspin,long,40,22,5,wobbly")
    load(small_club, incoming({"wide.csv": text}), "test", today=date(2025, 3, 12))
    (file,) = refused_files(questions.refused_in_batch(owners_desk(small_club), 6))

    header, row = csv.reader(io.StringIO(mend_file(file.lines)))
    assert header == [*the_header_of_the_second_week(), "surplus", "mends", "refused_because"]
    assert row[-3] == "wobbly"
    assert "✗ (beyond the header) wobbly" in rows(as_html(file.lines))[1][2]
