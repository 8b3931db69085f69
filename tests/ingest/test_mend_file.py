"""The file to mend: what is in it, and that reading it back gives the lines as they were typed."""

import csv
import io
from collections.abc import Callable
from datetime import date

import pytest

from ingest.csv_out import harmless
from ingest.encoding import encoded
from ingest.loading import Incoming, Report, check
from ingest.mend_file import RefusedLine, mend_file, refused_lines
from ingest.reading import read_log
from ingest.refusal_rows import refusal_rows
from ingest.screening import Screened, screen
from ingest.taken import Taken
from sql.folder import DataFolder
from sql.log_book import Known
from sql.warehouse import ask
from tests.ingest.conftest import TODAY, csv_file
from tests.ingest.log_files import sheet_of

HEADER = "session_date,player,setup,spin,length,balls,good,note"
WRONG = "2026-05-04,P1,BC,bakspin,short,40,30,"
RIGHT = WRONG.replace("bakspin", "topspin")
KNOWN = Known(TODAY, frozenset({"P1"}), frozenset(), {"BC": date(1900, 1, 1)}, {})


def screened(content: str | bytes) -> Screened:
    return screen(read_log("week.csv", content if isinstance(content, bytes) else content.encode()), KNOWN)


def refused(content: str | bytes) -> tuple[RefusedLine, ...]:
    found = screened(content)
    return refused_lines(found.reading.taken.sha256, found.reading.header, found.reading.cells, found.refusals)


def with_note(note: str) -> str:
    text = io.StringIO()
    csv.writer(text).writerows([HEADER.split(","), [*WRONG.split(",")[:-1], note]])
    return text.getvalue()


def test_a_file_to_mend_from_a_check_still_fits_when_another_file_came_in_between(
    folder: DataFolder, load_files: Callable[..., list[Report]]
) -> None:
    week = csv_file("week.csv", f"{HEADER}\n{WRONG}\n")
    (checked,) = check(folder, [week], today=TODAY)
    load_files(csv_file("other.csv", f"{HEADER}\n{RIGHT}\n"), week)

    load_files(csv_file("mended.csv", checked.mendable.replace("bakspin,", "backspin,", 1)))

    assert ask(folder, "select count(*), count(*) filter (where is_mended) from core.refusals").row(0) == (1, 1)


TYPED = ["=1+1", "+a", "-", "@x", "\tx", "'=1+1", "''", "it's", "-20", "+5", "-1,5", "a;=1+1", "a\n- b", " =x", "＝x"]


@pytest.mark.parametrize("form", ["csv", "xlsx"])
@pytest.mark.parametrize("typed", TYPED)
def test_a_line_is_read_back_as_it_was_typed(typed: str, form: str) -> None:
    """Also when a spreadsheet program has saved it as a workbook, apostrophes and all."""
    lines = refused(with_note(typed))
    rows = list(csv.reader(io.StringIO(mend_file(lines), newline="")))
    assert rows[1][7] == harmless(typed)

    again = mend_file(lines).encode() if form == "csv" else sheet_of([list(row) for row in rows])

    assert read_log("mended", again).cells["c7"].to_list() == [typed]
    assert [line.cells for line in refused(again)] == [line.cells for line in lines]


def test_a_file_of_somebody_else_keeps_its_apostrophes() -> None:
    assert read_log("week.csv", with_note("'=1+1").encode()).lines["note"].to_list() == ["'=1+1"]


def test_a_header_is_read_back_as_it_was_typed() -> None:
    lines = refused(f"{HEADER},=cmd\n{WRONG},x\n")
    assert ",'=cmd,mends,refused_because" in mend_file(lines)

    (line,) = refused(mend_file(lines))

    assert line.header == (*HEADER.split(","), "=cmd")


def test_surplus_cells_are_kept_and_refused_again_until_somebody_has_seen_to_them() -> None:
    lines = refused(f"{HEADER}\n{RIGHT}wobbly, but good, all in all\n")
    text = mend_file(lines)
    header, row = csv.reader(io.StringIO(text))
    assert header[7:] == ["note", "surplus", "surplus", "mends", "refused_because"]
    assert row[7:10] == ["wobbly", " but good", " all in all"]

    assert [line.cells for line in refused(text)] == [line.cells for line in lines]

    seen_to = screened(text.replace("wobbly, but good, all in all", '"wobbly, but good, all in all",,'))
    assert (seen_to.lines_read, seen_to.accepted["note"].to_list()) == (1, ["wobbly, but good, all in all"])


def test_surplus_cells_of_a_workbook_are_told_without_a_separator_that_it_does_not_have() -> None:
    rows = list(csv.reader(io.StringIO(mend_file(refused(f"{HEADER}\n{RIGHT}a,b\n")))))

    (line,) = refused(sheet_of([list(row) for row in rows]))

    assert [fault.to_do for fault in line.faults] == ["delete the surplus cell"]


def test_a_column_called_surplus_is_nothing_to_us_in_a_file_that_is_not_ours() -> None:
    assert screened(f"{HEADER},surplus\n{RIGHT},7\n").accepted.height == 1


def test_a_line_that_is_malformed_still_names_the_line_it_mends() -> None:
    lines = refused(f"{HEADER}\n{WRONG}a,b\n")

    again = refusal_rows(screened(mend_file(lines)), {})

    assert again["mends"].to_list() == [lines[0].name]


def test_a_line_stands_on_its_own_day_else_on_that_of_the_line_it_mends_else_on_the_last() -> None:
    """The first has its own day, within those of its file; the others' days are impossible, and no line at all."""
    days = {"4f2ab31c9e01:3": date(2026, 4, 27)}
    rows = [f"{RIGHT},", f"{WRONG},", *(f"{WRONG.replace('05-04', day)},{name}" for day, name in FAR_AWAY)]

    found = refusal_rows(screened("\n".join([f"{HEADER},mends", *rows])), days).filter(fault=1)

    assert found["session_date"].to_list() == [date(2026, 5, 4), date(2026, 4, 27), date(2026, 5, 4)]


FAR_AWAY = [("02-31", "4f2ab31c9e01:3"), ("01-05", "4f2ab31c9e01:4")]


@pytest.mark.parametrize(
    ("column", "expected"),
    [
        ("player", "the code of a player who is in the players log, such as P01"),
        ("balls", "balls fed: a whole number from 1 to 2000"),
        ("length", "how far the fed ball carries: one of short, half_long, long"),
    ],
)
def test_an_empty_cell_that_is_needed_is_told_by_what_it_should_hold(column: str, expected: str) -> None:
    cells = dict(zip(HEADER.split(","), RIGHT.split(","), strict=True)) | {column: ""}

    (line,) = refused(f"{HEADER}\n{','.join(cells.values())}\n")

    assert [(fault.column, fault.seen, fault.expected) for fault in line.faults] == [(column, "", expected)]


@pytest.mark.parametrize("separator", [",", ";", "\t"])
@pytest.mark.parametrize("codec", ["utf-8", "utf-8-sig", "utf-16", "cp1252"])
def test_a_file_to_mend_is_written_as_the_file_was_that_came_in(folder: DataFolder, separator: str, codec: str) -> None:
    """So the spreadsheet that wrote the one opens the other; the decimal sign is the one that was typed."""
    typed = f"{HEADER}\n{WRONG}Zoë: 2,5 m".split("\n")
    cells = [row.split(",", 7) for row in typed]
    text = io.StringIO()
    csv.writer(text, delimiter=separator).writerows(cells)
    (report,) = check(folder, [Incoming("week.csv", text.getvalue().encode(codec))], today=TODAY)

    back = report.mendable_file

    same_codec = "utf-8-sig" if codec == "utf-8" else codec
    header, row = csv.reader(io.StringIO(back.decode(same_codec), newline=""), delimiter=separator)
    assert header == [*HEADER.split(","), "mends", "refused_because"]
    assert row[:8] == cells[1]
    assert Taken.form_told(" ".join(report.taken.sentences if report.taken else ())) == (ENCODINGS[codec], separator)


ENCODINGS = {"utf-8": "UTF-8", "utf-8-sig": "UTF-8 with BOM", "utf-16": "UTF-16", "cp1252": "Windows-1252"}


def test_of_a_workbook_the_file_to_mend_is_separated_by_commas() -> None:
    assert Taken.form_told("week.xlsx is a sessions log: the sheet Log of a workbook.") == (None, ",")


def test_letters_that_the_encoding_does_not_have_are_written_in_one_that_has_them() -> None:
    """A line of a Windows-1252 file may be mended by a word of the club that is not in Windows-1252."""
    assert encoded("Łucja", "Windows-1252") == "Łucja".encode("utf-8-sig")
