"""Workbooks as people really have them: a sheet in, plain cells out."""

import datetime as dt
import io
import zipfile

import pytest

from ingest.reading import read_log
from models.shapes import YesOrNo
from tests.ingest.log_files import HEADER, LINE, column, filled, sheet_of, why_unreadable, with_part_changed, workbook

REQUIRED = dict(zip(HEADER, LINE, strict=True))
SHEET = "xl/worksheets/sheet1.xml"
PLAIN_SHEET = sheet_of([HEADER, LINE])


def sheet_with(name, *cells, number_format=None, **options):
    """A sessions sheet with a column of the given values, written as Excel writes them."""

    def fill(book):
        sheet = book.add_worksheet("Log")
        sheet.write_row(0, 0, HEADER)
        place = HEADER.index(name) if name in HEADER else len(HEADER)
        sheet.write(0, place, name)
        cell_format = book.add_format({"num_format": number_format}) if number_format else None
        for row, value in enumerate(cells, start=1):
            sheet.write_row(row, 0, LINE)
            sheet.write(row, place, value, cell_format)

    return workbook(fill, **options)


def with_cell_added(row, address):
    cell = f'<row r="{row}"><c r="{address}"><v>1</v></c></row></sheetData>'.encode()
    return with_part_changed(PLAIN_SHEET, SHEET, lambda part: part.replace(b"</sheetData>", cell))


def test_a_sheet_gives_the_same_lines_as_a_csv_file():
    reading = read_log("week12.xlsx", PLAIN_SHEET)

    assert filled(reading) == [REQUIRED]
    assert (reading.taken.file_form, reading.taken.sheet) == ("xlsx", "Log")
    assert (reading.taken.encoding, reading.taken.separator) == (None, None)
    assert (reading.header, reading.cells.row(0)) == (tuple(HEADER), (2, *LINE))


def test_the_content_decides_and_not_the_name_of_the_file():
    assert read_log("week12.csv", PLAIN_SHEET).taken.file_form == "xlsx"


@pytest.mark.parametrize(
    ("serial", "system_1904", "day"),
    [(39448, False, "2008-01-01"), (35981, False, "1998-07-05"), (34519, True, "1998-07-05")],
)
def test_a_true_date_is_the_day_that_excel_shows(serial, system_1904, day):
    """Microsoft's help on DATEVALUE (39448 is 1 January 2008) and on the 1900 and 1904 date systems (5 July 1998 is
    35981 in the one and 34519 in the other). From memory."""
    content = sheet_with("session_date", serial, number_format="dd/mm/yy", date_1904=system_1904)

    assert column(content, "session_date") == [day]
    assert read_log("week12.xlsx", content).taken.date_form == "true dates"


def test_true_dates_and_typed_dates_may_stand_in_one_column():
    content = sheet_with("session_date", "13.3.2026", "2026-03-14")

    assert column(content, "session_date") == ["2026-03-13", "2026-03-14"]
    assert read_log("week12.xlsx", content).taken.date_form == "day first"


def test_a_typed_date_in_a_sheet_may_be_ambiguous_as_in_a_csv_file():
    assert "which may be 2026-03-02 or 2026-02-03" in why_unreadable(sheet_with("session_date", "02/03/2026"))


def test_a_number_in_place_of_a_date_stays_a_number_for_screening_to_refuse():
    assert column(sheet_with("session_date", 46083), "session_date") == ["46083"]


def test_a_start_time_is_read_as_the_clock_shows_it():
    content = sheet_with("session", dt.time(17, 30), dt.time(9, 5), number_format="hh:mm")

    assert column(content, "session") == ["17:30", "09:05"]


@pytest.mark.parametrize(
    ("number", "plain"),
    [
        (3.0, "3"),
        (12.5, "12.5"),
        (-0.25, "-0.25"),
        (0.1 + 0.2, "0.3"),
        (1 / 3, "0.333333333"),
        (0.0000001, "0.0000001"),
        (1e15, "1000000000000000"),
    ],
)
def test_a_true_number_is_the_shortest_plain_text(number, plain):
    assert column(sheet_with("tempo_bpm", number), "tempo_bpm") == [plain]


def test_a_number_as_a_code_has_no_decimals():
    assert column(sheet_with("setup", 7), "setup") == ["7"]


def test_true_and_false_are_read_as_yes_and_no():
    content = sheet_of([["setup", "x_cm", "y_cm", "net_folded"], ["BC", 0, 0, True], ["MR", 60, 0, False]])

    assert [YesOrNo().read(cell) for cell in column(content, "net_folded")] == [True, False]


def test_a_number_typed_as_text_with_a_comma_stands_beside_true_numbers():
    """A true number has no decimal sign of its own, so that nothing is mixed."""
    content = sheet_with("tempo_bpm", 40.5, "41,5")

    assert column(content, "tempo_bpm") == ["40.5", "41.5"]


@pytest.mark.parametrize("error", ["#DIV/0!", "#N/A", "#NAME?", "#NULL!", "#NUM!", "#REF!", "#VALUE!"])
def test_an_error_cell_is_kept_so_that_its_line_is_refused(error):
    """The error values of ECMA-376, part 1, section 18.17.3."""

    def fill(book):
        sheet = book.add_worksheet()
        sheet.write_row("C4", [*HEADER, "net"])
        for row in (4, 5):
            sheet.write_row(row, 2, [*LINE, "3"])
        sheet.write_formula("J6", "=1/0", None, error)

    assert column(workbook(fill), "net") == ["3", error]


def test_a_formula_counts_with_its_last_value_and_without_one_it_is_empty():
    def fill(book):
        sheet = book.add_worksheet()
        sheet.write_row(0, 0, [*HEADER, "minutes", "net"])
        sheet.write_row(1, 0, LINE)
        sheet.write_formula("H2", "=2+3", None, 5)
        sheet.write_formula("I2", "=2+3", None, "")

    assert filled(read_log("week12.xlsx", workbook(fill))) == [REQUIRED | {"minutes": "5"}]


def test_the_first_visible_sheet_with_the_header_of_a_log_is_read_and_the_others_are_named():
    def fill(book):
        chart = book.add_chart({"type": "line"})
        chart.add_series({"values": "=Log!$F$4:$F$6"})
        book.add_chartsheet("Chart").set_chart(chart)
        book.add_worksheet("Empty")
        book.add_worksheet("Notes").write_row(0, 0, ["who", "what"])
        hidden = book.add_worksheet("Old")
        hidden.write_row(0, 0, HEADER)
        hidden.hide()
        log = book.add_worksheet("Log")
        log.merge_range("A1:G1", "Week 12")
        log.write_row("C4", HEADER)
        log.write_row("C6", LINE)
        book.add_worksheet("Log 2").write_row(0, 0, HEADER)

    reading = read_log("week12.xlsx", workbook(fill))

    assert filled(reading) == [REQUIRED]
    assert (reading.taken.sheet, reading.taken.header_line) == ("Log", 4)
    assert reading.taken.unread_sheets == ("Chart", "Empty", "Notes", "Old", "Log 2")
    assert "not read: Chart, Empty, Notes, Old, Log 2" in reading.taken.sentences[0]
    assert reading.lines["line"].to_list() == [6]


def test_remarks_beside_the_table_are_no_lines_and_do_not_refuse_any():
    rows = [[*HEADER, None, None], [*LINE, None, "rain"], [], [None] * 8 + ["legend"]]

    reading = read_log("week12.xlsx", sheet_of(rows))

    assert filled(reading) == [REQUIRED]
    assert reading.malformed == ()
    assert reading.taken.ignored_columns == ("a column without a name, with 'rain'",)


def test_macros_and_pictures_in_a_workbook_are_left_alone():
    content = io.BytesIO(PLAIN_SHEET)
    with zipfile.ZipFile(content, "a") as package:
        package.writestr("xl/vbaProject.bin", b"Sub AutoOpen()")
        package.writestr("xl/media/image1.png", b"\x89PNG" * 1000)

    assert filled(read_log("week12.xlsm", content.getvalue())) == [REQUIRED]


@pytest.mark.parametrize("declared", ["A1:XFD1048576", "A1:ZZZZZZ99999999999", "A1:G2000000000"])
def test_a_sheet_that_only_declares_to_be_huge_is_read_as_it_is(declared):
    content = with_part_changed(
        PLAIN_SHEET, SHEET, lambda part: part.replace(b'ref="A1:G2"', f'ref="{declared}"'.encode())
    )

    assert declared.encode() in zipfile.ZipFile(io.BytesIO(content)).read(SHEET)
    assert filled(read_log("week12.xlsx", content)) == [REQUIRED]


@pytest.mark.parametrize(
    ("row", "address"),
    [(1048576, "A1048576"), (100000, "B100000"), (9, "GS9"), (9, "IA9"), (9, "XFD9"), (1048576, "XFD1048576")],
)
def test_a_cell_far_away_is_refused_before_it_fills_the_memory(row, address):
    assert "a cell below row 99999 or right of column 200" in why_unreadable(with_cell_added(row, address))


def test_a_cell_without_an_address_in_a_row_far_away_is_refused_too():
    cell = b'<row r="1048576"><c><v>1</v></c></row></sheetData>'
    content = with_part_changed(PLAIN_SHEET, SHEET, lambda part: part.replace(b"</sheetData>", cell))

    assert "a cell below row 99999" in why_unreadable(content)


@pytest.mark.parametrize(("row", "address"), [(99999, "A99999"), (9, "GR9")])
def test_the_last_row_and_column_that_are_allowed_are_read(row, address):
    assert read_log("week12.xlsx", with_cell_added(row, address)).lines["line"][0] == 2


def test_formatted_empty_cells_far_away_do_no_harm():
    cell = b'<row r="1048576"><c r="XFD1048576" s="0"/></row></sheetData>'
    content = with_part_changed(PLAIN_SHEET, SHEET, lambda part: part.replace(b"</sheetData>", cell))

    assert filled(read_log("week12.xlsx", content)) == [REQUIRED]


def test_a_workbook_that_unpacks_to_more_than_the_machine_should_hold_is_refused_unopened(monkeypatch):
    monkeypatch.setattr("ingest.workbook.MOST_UNPACKED_BYTES", 2_000_000)
    written = io.BytesIO(PLAIN_SHEET)
    with zipfile.ZipFile(written, "a", zipfile.ZIP_DEFLATED) as package:
        package.writestr("xl/worksheets/sheet2.xml", b" " * 3_000_000)

    assert "a workbook that unpacks to 3 MB" in why_unreadable(written.getvalue())


def test_a_text_that_swells_when_many_cells_show_it_is_refused():
    """One text of 30,000 signs, shown by 70,000 cells: 60 kB in the workbook, 2 GB in the memory."""

    def swollen(part):
        cells = b"".join(b'<row r="%d"><c r="H%d" t="s"><v>0</v></c></row>' % (row, row) for row in range(3, 70_003))
        return part.replace(b"</sheetData>", cells + b"</sheetData>")

    content = with_part_changed(sheet_of([["x" * 30_000], HEADER, LINE]), SHEET, swollen)

    assert "very long texts in very many cells" in why_unreadable(content)


def test_sizes_that_the_package_states_wrongly_are_not_believed():
    """The central directory (signature PK 01 02, APPNOTE section 4.3.12) states the unpacked size at offset 24."""
    written = io.BytesIO()
    with zipfile.ZipFile(written, "w", zipfile.ZIP_DEFLATED) as package:
        package.writestr("xl/workbook.xml", b" " * 1_000_000)
    content = bytearray(written.getvalue())
    place = content.index(b"PK\x01\x02") + 24
    content[place : place + 4] = (1000).to_bytes(4, "little")

    assert "damaged" in why_unreadable(bytes(content))


@pytest.mark.parametrize("kept", [100, 1000, -1000, -30])
def test_a_workbook_cut_short_is_called_damaged(kept):
    assert "a workbook that is damaged, cut short or locked" in why_unreadable(PLAIN_SHEET[:kept])


@pytest.mark.parametrize("part", ["xl/workbook.xml", SHEET, "xl/sharedStrings.xml", "xl/styles.xml"])
@pytest.mark.parametrize("junk", [b"", b"<<<\x00 no xml"])
def test_a_workbook_with_a_damaged_part_is_called_damaged(part, junk):
    content = with_part_changed(PLAIN_SHEET, part, lambda _: junk)

    assert "a workbook that is damaged, cut short or locked" in why_unreadable(content)


def test_a_cell_that_points_to_a_text_that_is_not_there_does_not_pass_for_an_empty_one():
    content = with_part_changed(PLAIN_SHEET, SHEET, lambda part: part.replace(b"<v>9</v>", b"<v>99</v>"))

    assert "damaged" in why_unreadable(content)


@pytest.mark.parametrize(
    ("members", "seen"),
    [
        (["a.csv"], "a packed file (zip)"),
        ([], "a packed file (zip)"),
        (["mimetype", "content.xml"], "an OpenDocument file"),
        (["[Content_Types].xml", "word/document.xml"], "a text document"),
        (["[Content_Types].xml", "xl/workbook.bin"], "a binary .xlsb workbook"),
    ],
)
def test_a_package_that_is_no_xlsx_workbook_is_told_by_what_it_holds(members, seen):
    written = io.BytesIO()
    with zipfile.ZipFile(written, "w") as package:
        for name in members:
            package.writestr(name, b"x")

    assert seen in why_unreadable(written.getvalue())


def test_a_workbook_without_a_log_names_its_sheets():
    content = sheet_of([["who", "what"], ["Ada", "came"]])

    assert "a workbook with the sheets Log, and no line with the column names of a log" in why_unreadable(content)
