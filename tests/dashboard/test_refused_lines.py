"""Refused lines on their way to whoever mends them: as a table on a page, and as a file that takes their place."""

import csv
import io
from datetime import date

import polars as pl
import pytest

from dashboard import questions
from dashboard.questions import Desk
from dashboard.refused_lines import RefusedFile, as_html, csv_to_mend, refused_files, refused_lines
from ingest.loading import check, load
from sql.folder import DataFolder
from tests.dashboard.conftest import SMALL_CLUB, incoming
from tests.dashboard.shown import rows

WEEK = date(2025, 3, 10)


def the_refused_file(club: DataFolder) -> RefusedFile:
    (file,) = refused_files(questions.refused_in_week(Desk(club), WEEK))
    return file


def test_a_refused_line_keeps_its_cells_as_typed_in_a_verdict_and_in_the_published_tables(
    small_club: DataFolder,
) -> None:
    text = SMALL_CLUB["2025-w11.csv"].replace("player,", "PLAYER ,").replace("M. Roe", "")
    (report,) = check(small_club, incoming({"other.csv": text}), today=date(2025, 3, 12))
    load(small_club, incoming({"other.csv": text}), "test", today=date(2025, 3, 12))
    (published,) = refused_files(questions.refused_in_batch(Desk(small_club), 6))

    (line,) = refused_lines(report)
    assert line == published.lines[0]
    assert dict(zip(line.header, line.cells, strict=True))["PLAYER "] == "BEN"
    assert line.faulty_columns == {"spin"}


def test_a_file_to_mend_loaded_with_the_cell_corrected_takes_the_place_of_the_refused_line(
    small_club: DataFolder,
) -> None:
    """Ben's line of the second week was refused for its spin; mended, the week has three blocks and 120 balls."""
    mended = csv_to_mend(the_refused_file(small_club)).replace(",topsin,", ",topspin,")
    (report,) = load(small_club, incoming({"mended.csv": mended}), "test", today=date(2025, 3, 12))

    assert (report.lines_accepted, report.lines_refused) == (1, 0)
    assert questions.refused_in_week(Desk(small_club), WEEK).is_empty()
    assert questions.club_weeks(Desk(small_club)).row(0, named=True)["balls"] == 120


def test_a_mended_line_that_is_still_wrong_waits_in_the_place_of_the_first(small_club: DataFolder) -> None:
    still_wrong = csv_to_mend(the_refused_file(small_club)).replace(",topsin,", ",topspn,")
    load(small_club, incoming({"mended.csv": still_wrong}), "test", today=date(2025, 3, 12))

    assert questions.refused_in_batch(Desk(small_club), 5)["is_mended"].to_list() == [True]
    (file,) = refused_files(questions.refused_in_batch(Desk(small_club), 6).filter(~pl.col("is_mended")))
    assert (file.batch, file.file_name, len(file.lines)) == (6, "mended.csv", 1)
    assert "mends" not in file.lines[0].header
    assert "refused_because" not in file.lines[0].header


def test_the_file_to_mend_says_in_its_last_columns_which_line_it_mends_and_why(small_club: DataFolder) -> None:
    header, row = csv.reader(io.StringIO(csv_to_mend(the_refused_file(small_club))))

    assert header[-2:] == ["mends", "refused_because"]
    assert row[-2] == "5:4"
    assert row[-1].startswith("2025-w11.csv, line 4, column spin: saw 'topsin', expected one of")


def test_what_somebody_typed_never_becomes_part_of_the_page(small_club: DataFolder) -> None:
    wicked = SMALL_CLUB["2025-w11.csv"].replace("topsin", "<img src=x onerror=alert(1)>")
    (report,) = check(small_club, incoming({"wicked.csv": wicked}), today=date(2025, 3, 12))

    html = as_html(refused_lines(report))
    assert "<img" not in html
    assert "&lt;img src=x" in html


def test_an_empty_needed_cell_is_shown_as_empty_and_marked(small_club: DataFolder) -> None:
    empty = SMALL_CLUB["2025-w11.csv"].replace("topsin", "")
    (report,) = check(small_club, incoming({"empty.csv": empty}), today=date(2025, 3, 12))

    assert "✗ spin (empty)" in rows(as_html(refused_lines(report)))[1][2]


@pytest.mark.parametrize("with_cells", [True, False])
def test_the_table_has_as_many_headings_as_columns(with_cells: bool, small_club: DataFolder) -> None:
    head, line = rows(as_html(the_refused_file(small_club).lines, with_cells=with_cells))

    assert len(head) == len(line) == (3 if with_cells else 2)


def test_a_file_refused_as_a_whole_has_no_refused_lines(small_club: DataFolder) -> None:
    (report,) = check(small_club, incoming({"page.csv": "<html></html>"}), today=date(2025, 3, 12))

    assert refused_lines(report) == ()
